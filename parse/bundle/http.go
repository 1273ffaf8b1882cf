package bundle

import (
	"bufio"
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/klauspost/compress/flate"
	"github.com/klauspost/compress/gzip"
	"github.com/klauspost/compress/zstd"
)

// response is the head of an HTTP response.
type response struct {
	status int
	header header
	size   int64 // bytes up to the body
}

// responseHead reads the head of a response in a record's block.
func responseHead(block []byte, limit int64) (response, error) {
	br := bufio.NewReader(bytes.NewReader(block))
	line, err := readLine(br, limit)
	proto, rest, _ := strings.Cut(strings.TrimSpace(string(line)), " ")
	code, _, _ := strings.Cut(strings.TrimSpace(rest), " ")
	status, aerr := strconv.Atoi(code)
	if err != nil || aerr != nil || !strings.HasPrefix(proto, "HTTP/") || status < 100 || status > 999 {
		return response{}, damaged{"no HTTP status line"}
	}
	h, used, err := readHeader(br, limit, false)
	if err == io.EOF {
		err = nil // a response without a body need not end its header
	}
	return response{status, h, int64(len(line)) + used}, err
}

// body undoes the transfer and content encodings (RFC 9112, 7.1; RFC 9110,
// 8.4.1). Crawlers often store a body decoded and keep the header lines that
// say it is not; bytes that are not in the stated encoding are taken for that.
func (p *response) body(raw []byte, b *budget, key string) (data []byte, doubt string, err error) {
	data = raw
	if strings.Contains(strings.ToLower(p.header.get("transfer-encoding")), "chunked") {
		data, doubt = dechunk(raw)
	}
	codings := strings.Split(strings.ToLower(p.header.get("content-encoding")), ",")
	if len(codings) > codingLimit {
		return nil, "", damaged{"more content encodings than are undone"}
	}
	for i := len(codings) - 1; i >= 0; i-- {
		more := ""
		data, more, err = decode(strings.TrimSpace(codings[i]), data, b, key)
		if err != nil {
			return nil, "", err
		}
		doubt = joinDoubts(doubt, more)
	}
	return data, doubt, nil
}

// codingLimit bounds encodings of one body inside each other.
const codingLimit = 3

func joinDoubts(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "; " + b
}

// dechunk undoes the chunked transfer encoding. A body that does not begin
// with a chunk size is taken as not chunked.
func dechunk(raw []byte) ([]byte, string) {
	out := make([]byte, 0, len(raw))
	rest := raw
	for first := true; ; first = false {
		line, after, found := bytes.Cut(rest, []byte("\n"))
		text, _, _ := strings.Cut(string(line[:min(len(line), 64)]), ";")
		size, err := strconv.ParseInt(strings.TrimSpace(text), 16, 64)
		if errors.Is(err, strconv.ErrRange) {
			err = nil // with the largest number
		}
		switch {
		case err != nil && first:
			return raw, ""
		case err != nil && len(bytes.TrimSpace(rest)) == 0:
			return out, "its last chunk is absent"
		case err != nil || size < 0:
			return append(out, rest...), "its chunks are damaged; what follows is left as it is"
		case size == 0:
			return out, ""
		case !found || size > int64(len(after)):
			return append(out, after...), "its last chunk is cut off"
		}
		out = append(out, after[:size]...)
		rest = after[size:]
		rest = bytes.TrimPrefix(bytes.TrimPrefix(rest, []byte("\r")), []byte("\n"))
	}
}

// decode undoes one content encoding.
func decode(coding string, data []byte, b *budget, key string) ([]byte, string, error) {
	var r io.Reader
	var err error
	in := bytes.NewReader(data)
	switch {
	case coding == "" || coding == "identity" || len(data) == 0:
		return data, "", nil
	case coding == "gzip" || coding == "x-gzip":
		if !bytes.HasPrefix(data, []byte("\x1f\x8b")) {
			return data, "", nil
		}
		r, err = gzip.NewReader(in)
	case coding == "deflate":
		// Senders mean either form; the zlib header has a check of its own.
		if r, err = zlib.NewReader(in); err != nil {
			if isDecoded(data) {
				return data, "", nil
			}
			in.Reset(data)
			r, err = flate.NewReader(in), nil
		}
	case coding == "zstd":
		if !bytes.HasPrefix(data, []byte("\x28\xb5\x2f\xfd")) {
			return data, "", nil
		}
		var z *zstd.Decoder
		if z, err = zstd.NewReader(in, zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxWindow(8<<20)); err == nil {
			defer z.Close()
			r = z
		}
	case isDecoded(data):
		return data, "", nil
	case coding == "br":
		return nil, "", hinted{"packed with brotli, which is not read", "save the page itself from the browser"}
	default:
		return nil, "", hinted{fmt.Sprintf("packed by the encoding %q, which is not read", coding), "save the page itself from the browser"}
	}
	if err != nil {
		return nil, "", damaged{"its packed body is damaged"}
	}
	m := &meter{r: r, budget: b, key: key + " body", limit: b.lim.Entry, packed: func() int64 { return int64(len(data)) }}
	out, err := io.ReadAll(m)
	var h hinted
	switch {
	case err == nil:
		return out, "", nil
	case errors.As(err, &h) || len(out) == 0:
		return nil, "", unpackReason(err)
	}
	return out, "its packed body is damaged or cut off; what comes before is kept", nil
}

// isDecoded reports whether bytes look like text in markup or JSON, and so not
// like the stated encoding.
func isDecoded(data []byte) bool {
	head := bytes.TrimSpace(data[:min(len(data), 512)])
	for i := 0; i < utf8.UTFMax && len(head) > 0 && !utf8.Valid(head); i++ {
		head = head[:len(head)-1]
	}
	return len(head) > 0 && (head[0] == '<' || head[0] == '{' || head[0] == '[') && utf8.Valid(head) && !bytes.ContainsRune(head, 0)
}
