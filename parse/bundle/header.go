package bundle

import (
	"bufio"
	"bytes"
	"io"
	"mime"
	"strings"
)

// header is a block of "Name: value" lines as mail (RFC 5322), HTTP and WARC
// have it. Names are in lower case, folded lines are joined.
type header []headerField

type headerField struct{ name, value string }

// get gives the first field of that lower-case name, "" if there is none.
func (h header) get(name string) string {
	for _, f := range h {
		if f.name == name {
			return f.value
		}
	}
	return ""
}

// mediaType gives the type in lower case and its parameters. What cannot be
// parsed gives what stands before the first semicolon.
func (h header) mediaType() (string, map[string]string) {
	value := h.get("content-type")
	if kind, params, err := mime.ParseMediaType(value); err == nil {
		return kind, params
	}
	kind, rest, _ := strings.Cut(value, ";")
	params := map[string]string{}
	for _, p := range strings.Split(rest, ";") {
		if name, v, ok := strings.Cut(p, "="); ok {
			params[strings.ToLower(strings.TrimSpace(name))] = strings.Trim(strings.TrimSpace(v), `"`)
		}
	}
	return strings.ToLower(strings.TrimSpace(kind)), params
}

var errHeaderSize = damaged{"its header lines do not end within the limit"}

// readHeader reads header lines up to and with the empty line, and gives the
// bytes used. A line that is no header line is skipped, or, if it may begin the
// body, ends the block and is left. io.EOF means an end before the empty line.
func readHeader(br *bufio.Reader, limit int64, bodyMayFollow bool) (h header, used int64, err error) {
	var value []byte // of the last field, which may go on
	done := func(err error) (header, int64, error) {
		if len(h) > 0 {
			h[len(h)-1].value = string(value)
		}
		return h, used, err
	}
	for {
		next, perr := br.Peek(1)
		if perr != nil {
			return done(io.EOF)
		}
		folded := next[0] == ' ' || next[0] == '\t'
		odd := !folded && !startsField(br)
		if odd && bodyMayFollow {
			return done(nil)
		}
		line, err := readLine(br, limit-used)
		used += int64(len(line))
		if err == errHeaderSize {
			return done(err)
		}
		text := bytes.TrimSpace(line)
		switch {
		case folded:
			value = append(append(value, ' '), text...)
		case len(text) == 0:
			return done(nil)
		case !odd:
			_, _, _ = done(nil)
			name, rest, _ := bytes.Cut(text, []byte(":"))
			h = append(h, headerField{name: strings.ToLower(string(bytes.TrimSpace(name)))})
			value = append(value[:0], bytes.TrimSpace(rest)...)
		}
	}
}

// startsField reports whether an empty line or a field name and colon come next.
func startsField(br *bufio.Reader) bool {
	ahead, _ := br.Peek(256)
	for i, c := range ahead {
		switch {
		case c == ':':
			return i > 0
		case c == '\n', c == '\r':
			return i == 0
		case c <= ' ' || c > '~':
			return false
		}
	}
	return false
}

// readLine reads a line with its end.
func readLine(br *bufio.Reader, limit int64) ([]byte, error) {
	var line []byte
	for {
		part, err := br.ReadSlice('\n')
		line = append(line, part...)
		if int64(len(line)) > limit {
			return line, errHeaderSize
		}
		if err != bufio.ErrBufferFull {
			return line, err
		}
	}
}

// bodyHeader splits a message held in memory.
func bodyHeader(message []byte, limit int64, bodyMayFollow bool) (header, []byte, error) {
	h, used, err := readHeader(bufio.NewReader(bytes.NewReader(message)), limit, bodyMayFollow)
	return h, message[used:], err
}
