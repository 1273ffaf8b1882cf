package table

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"github.com/saintfish/chardet"
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"
)

// decode gives the text of a table as UTF-8, without a byte order mark: by its
// mark, else as UTF-8 if the beginning is valid, else by detection, which the
// note then states.
func decode(r io.Reader) (text *bufio.Reader, note string, err error) {
	in := bufio.NewReaderSize(r, sniffSize)
	head, err := in.Peek(sniffSize)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, "", err
	}
	utf16 := func(e unicode.Endianness, bom unicode.BOMPolicy) (*bufio.Reader, string, error) {
		return decoded(in, unicode.UTF16(e, bom)), "", nil
	}
	switch {
	case bytes.HasPrefix(head, []byte("\xef\xbb\xbf")):
		_, _ = in.Discard(3)
		return in, "", nil
	case bytes.HasPrefix(head, []byte("\xff\xfe")):
		return utf16(unicode.LittleEndian, unicode.UseBOM)
	case bytes.HasPrefix(head, []byte("\xfe\xff")):
		return utf16(unicode.BigEndian, unicode.UseBOM)
	case len(head) > 3 && head[1] == 0 && head[3] == 0:
		return utf16(unicode.LittleEndian, unicode.IgnoreBOM)
	case len(head) > 3 && head[0] == 0 && head[2] == 0:
		return utf16(unicode.BigEndian, unicode.IgnoreBOM)
	case validStart(head):
		return in, "", nil
	}
	e, name := detect(head)
	return decoded(in, e), fmt.Sprintf("the table is not UTF-8; it was read as %s", name), nil
}

func decoded(r io.Reader, e encoding.Encoding) *bufio.Reader {
	return bufio.NewReaderSize(e.NewDecoder().Reader(r), sniffSize)
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

// detect guesses the encoding of bytes that are not UTF-8. Detectors confuse
// the Central European code page with the Western one, so that is looked at
// first.
func detect(head []byte) (encoding.Encoding, string) {
	if centralEuropean(head) {
		return charmap.Windows1250, "windows-1250"
	}
	if best, err := chardet.NewTextDetector().DetectBest(head); err == nil && best.Confidence >= 20 {
		if e, err := htmlindex.Get(best.Charset); err == nil {
			if name, err := htmlindex.Name(e); err == nil {
				return e, name
			}
		}
	}
	return charmap.Windows1252, "windows-1252"
}

// centralEuropean reports letters that only the Central European code page has
// at these places; in the Western one they are signs, which do not stand
// behind letters.
func centralEuropean(head []byte) bool {
	n := 0
	for i := 1; i < len(head); i++ {
		letter := head[i-1]|0x20 >= 'a' && head[i-1]|0x20 <= 'z'
		if letter && bytes.IndexByte([]byte{0xB3, 0xB9, 0xBF, 0x9F, 0xBE, 0xBC}, head[i]) >= 0 {
			n++
		}
	}
	return n >= 2
}
