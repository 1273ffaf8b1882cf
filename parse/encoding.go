package parse

import (
	"bytes"
	"fmt"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"

	"counterfoil/parse/savedpage"
)

// CheckEncoding reports a label that the Encoding Standard does not know.
func CheckEncoding(label string) error {
	if _, err := htmlindex.Get(label); err != nil {
		return fmt.Errorf("%q is no encoding of the Encoding Standard, such as utf-8, windows-1251 or gb18030", label)
	}
	return nil
}

// pageText gives a page as UTF-8, in the encoding that the user states unless a
// byte order mark says otherwise. note says what a reader should doubt, or is
// "".
func (in *intake) pageText(doc []byte, contentType string) (text []byte, note string) {
	e, err := htmlindex.Get(in.opt.Encoding)
	if in.opt.Encoding == "" || err != nil || hasMark(doc) {
		text, _, note = savedpage.Decode(doc, contentType)
	} else if text, err = e.NewDecoder().Bytes(doc); err != nil {
		text, note = bytes.ToValidUTF8(doc, []byte("\uFFFD")), "the page could not be decoded in the named encoding: "+err.Error()
	} else if utf8.Valid(doc) && len(text) != len(doc) {
		note = "its letters are UTF-8, but it was read as " + in.opt.Encoding + " because the user named that encoding"
	}
	if note == "" {
		note = misread(text)
	}
	return text, note
}

func hasMark(doc []byte) bool {
	return bytes.HasPrefix(doc, []byte("\xef\xbb\xbf")) || isUTF16(doc)
}

// Traces of a wrong encoding that are more than a slip, in characters.
const (
	fewLost  = 5
	fewTwice = 3
)

// misread looks for traces of a wrong encoding in decoded text: characters
// that were lost, and pairs that arise when the bytes of UTF-8 are each taken
// for a Western character.
func misread(text []byte) string {
	lost := bytes.Count(text, []byte("\uFFFD"))
	if lost >= fewLost {
		return fmt.Sprintf("%d characters could not be decoded or were lost before the page was saved", lost)
	}
	if n := takenTwice(text); n >= fewTwice {
		return fmt.Sprintf("%d pairs of characters look as if UTF-8 had been read in another encoding", n)
	}
	return ""
}

// takenTwice counts "Ã" or "Â" before a character that windows-1252 has where
// UTF-8 has the second byte of a letter. Some of these are quotation marks and
// dashes, which may follow a real "Ã": alone they are not counted.
func takenTwice(text []byte) int {
	pairs, signs := 0, 0
	for i := 0; i+2 < len(text); i++ {
		if text[i] != 0xC3 || text[i+1] != 0x83 && text[i+1] != 0x82 {
			continue
		}
		r, _ := utf8.DecodeRune(text[i+2:])
		b, ok := charmap.Windows1252.EncodeRune(r)
		switch {
		case r >= 0x80 && r <= 0xBF:
			pairs++
		case ok && b >= 0x80 && b <= 0xBF:
			signs++
		}
	}
	if pairs == 0 {
		return 0
	}
	return pairs + signs
}

// narrow gives the beginning of a file as UTF-8 where it is UTF-16, by its mark
// or by the zero bytes of its first characters.
func narrow(head []byte) []byte {
	order, mark := unicode.LittleEndian, unicode.UseBOM
	switch {
	case isUTF16(head):
	case len(head) >= 4 && head[0] != 0 && head[1] == 0 && head[2] != 0 && head[3] == 0:
		mark = unicode.IgnoreBOM
	case len(head) >= 4 && head[0] == 0 && head[1] != 0 && head[2] == 0 && head[3] != 0:
		order, mark = unicode.BigEndian, unicode.IgnoreBOM
	default:
		return head
	}
	text, err := unicode.UTF16(order, mark).NewDecoder().Bytes(head[:len(head)/2*2])
	if err != nil || (bytes.Count(text, []byte("\uFFFD"))-1)*50 > len(text) {
		return head
	}
	return text
}
