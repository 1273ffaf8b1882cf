package table

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"

	"counterfoil/parse/internal/guess"
)

// Decode gives the text of a table as UTF-8, without a byte order mark: by its
// mark, else in the named encoding (a label of the Encoding Standard), else as
// UTF-8 if the beginning is valid, else by detection, which the note then
// states. What cannot be decoded becomes U+FFFD.
func Decode(r io.Reader, encoding string) (text io.Reader, note string, err error) {
	d, err := decode(r, encoding)
	return d.Reader, d.note, err
}

// decodedText is a table's text with what is to be said of its encoding.
type decodedText struct {
	*bufio.Reader
	note string
	lost *lossCounter // nil where the reader of cells looks at the bytes itself
}

func decode(r io.Reader, label string) (decodedText, error) {
	in := bufio.NewReaderSize(r, sniffSize)
	head, err := in.Peek(sniffSize)
	if err != nil && !errors.Is(err, io.EOF) {
		return decodedText{}, err
	}
	utf16 := func(e unicode.Endianness, bom unicode.BOMPolicy) (decodedText, error) {
		return decoded(in, unicode.UTF16(e, bom), ""), nil
	}
	switch {
	case bytes.HasPrefix(head, []byte("\xef\xbb\xbf")):
		_, _ = in.Discard(3)
		return decodedText{Reader: in}, nil
	case bytes.HasPrefix(head, []byte("\xff\xfe")):
		return utf16(unicode.LittleEndian, unicode.UseBOM)
	case bytes.HasPrefix(head, []byte("\xfe\xff")):
		return utf16(unicode.BigEndian, unicode.UseBOM)
	case label != "":
		return named(in, head, label)
	case len(head) > 3 && head[1] == 0 && head[3] == 0:
		return utf16(unicode.LittleEndian, unicode.IgnoreBOM)
	case len(head) > 3 && head[0] == 0 && head[2] == 0:
		return utf16(unicode.BigEndian, unicode.IgnoreBOM)
	case validStart(head):
		return decodedText{Reader: in}, nil
	}
	e, name := detect(head)
	return decoded(in, e, fmt.Sprintf("the table is not UTF-8; it was read as %s", name)), nil
}

// named decodes in the encoding that the user states.
func named(in *bufio.Reader, head []byte, label string) (decodedText, error) {
	e, err := htmlindex.Get(label)
	if err != nil {
		return decodedText{}, fmt.Errorf("%q is no encoding: %w", label, err)
	}
	name, err := htmlindex.Name(e)
	if err != nil {
		name = label
	}
	switch {
	case name == "utf-8":
		return decodedText{Reader: in}, nil
	case validStart(head) && !isASCII(head):
		return decoded(in, e, "its letters are UTF-8, but it was read as "+name+" because the user named that encoding"), nil
	}
	return decoded(in, e, ""), nil
}

func isASCII(b []byte) bool {
	for _, c := range b {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

func decoded(r io.Reader, e encoding.Encoding, note string) decodedText {
	lost := &lossCounter{r: e.NewDecoder().Reader(r)}
	return decodedText{bufio.NewReaderSize(lost, sniffSize), note, lost}
}

// lossCounter counts the replacement characters in decoded text.
type lossCounter struct {
	r    io.Reader
	tail []byte // of what was read before, for a character between two reads
	n    int
}

const replacement = "\uFFFD"

func (c *lossCounter) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	seam := append(c.tail, p[:min(n, len(replacement)-1)]...)
	c.n += bytes.Count(seam, []byte(replacement)) + bytes.Count(p[:n], []byte(replacement))
	if n >= len(replacement)-1 {
		seam = p[n-len(replacement)+1 : n]
	}
	c.tail = append(c.tail[:0], seam[max(0, len(seam)-len(replacement)+1):]...)
	return n, err
}

// sayLost reports what could not be decoded.
func (d decodedText) sayLost(p *problemList, file string) {
	if d.lost != nil && d.lost.n > 0 {
		p.note(file, fmt.Sprintf("%d characters could not be decoded and were replaced", d.lost.n), "name the right encoding with --encoding")
	}
}

// validStart reports valid UTF-8, but for a character cut at the end.
func validStart(head []byte) bool {
	for len(head) > 0 {
		r, n := utf8.DecodeRune(head)
		if r == utf8.RuneError && n == 1 {
			return len(head) < utf8.UTFMax && !utf8.FullRune(head)
		}
		head = head[n:]
	}
	return true
}

// detect guesses the encoding of bytes that are not UTF-8. The detector takes
// Central European text, and text with little of a foreign script, for Western
// text, so a Western result is looked at again.
func detect(head []byte) (encoding.Encoding, string) {
	foreign := foreignScript(head)
	for _, g := range guess.Text(head) {
		if western[g.Charset] && foreign {
			continue
		}
		if western[g.Charset] {
			break
		}
		name := g.Charset
		switch name {
		case "GB-18030":
			name = "gb18030"
		case "ISO-8859-9":
			name = "windows-1254"
		case "ISO-8859-8", "ISO-8859-8-I":
			name = "windows-1255"
		}
		if e, err := htmlindex.Get(name); err == nil {
			return e, name
		}
	}
	switch {
	case behindLetters(head, "\xb1\xb6\xbc") > behindLetters(head, "\xb9\x9c\x9f"):
		return charmap.ISO8859_2, "iso-8859-2"
	case behindLetters(head, "\xb3\xb9\xbf\x9f\xbe\xbc") >= 2:
		return charmap.Windows1250, "windows-1250"
	}
	return charmap.Windows1252, "windows-1252"
}

// western are the detector's names for the Western code page and for the one
// that it confuses with it.
var western = map[string]bool{"ISO-8859-1": true, "windows-1252": true, "ISO-8859-2": true, "windows-1250": true}

// foreignScript reports text whose letters beyond ASCII stand together, as
// those of Cyrillic, Hebrew or Greek do; accented letters stand among others.
func foreignScript(head []byte) bool {
	high, together := 0, 0
	for i, c := range head {
		if c < 0xC0 {
			continue
		}
		high++
		if i > 0 && head[i-1] >= 0xC0 {
			together++
		}
	}
	return high >= 8 && 2*together > high
}

// behindLetters counts bytes behind an ASCII letter that are letters in a
// Central European encoding only; in the Western one they are signs, which do
// not stand there.
func behindLetters(head []byte, letters string) int {
	n := 0
	for i := 1; i < len(head); i++ {
		before := head[i-1] | 0x20
		if before >= 'a' && before <= 'z' && strings.IndexByte(letters, head[i]) >= 0 {
			n++
		}
	}
	return n
}
