package savedpage

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
	"golang.org/x/net/html/charset"
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"

	"counterfoil/parse/internal/guess"
)

// sniff is how many bytes are searched for a declaration, after the HTML
// Standard, and guessFrom how many a guess is made from.
const (
	sniff     = 4096
	guessFrom = 64 << 10
)

// Decode turns the bytes of a page into UTF-8. In this order count: a byte
// order mark, the charset of contentType (an archive's header, else ""), the
// page's own declaration, validity as UTF-8, a guess from the letters. A
// declared UTF-8 that is not valid is not believed. name is the encoding's
// name after the Encoding Standard; note says what a reader should doubt, or
// is "". Decode never fails: what cannot be decoded becomes U+FFFD.
func Decode(doc []byte, contentType string) (utf8 []byte, name string, note string) {
	if text, name, ok := decodeBOM(doc); ok {
		return text, name, ""
	}
	if name := wide(doc); name != "" {
		return transform(encodingOf(name), doc), name, "no byte order mark; " + name + " was told from its zero bytes"
	}
	valid := validUTF8(doc)
	declared := declaredName(doc, contentType)
	if declared != "" && declared != "utf-8" {
		if valid && !ascii(doc) {
			return doc, "utf-8", "the page declares " + declared + " but its bytes are UTF-8"
		}
		if e, err := htmlindex.Get(declared); err == nil {
			return transform(e, doc), declared, ""
		}
	}
	if valid {
		return doc, "utf-8", ""
	}
	name, confidence := guessName(doc)
	e, err := htmlindex.Get(name)
	if err != nil {
		name, e = "windows-1252", encodingOf("windows-1252")
	}
	note = fmt.Sprintf("no encoding is declared; %s was guessed from the letters, confidence %d of 100", name, confidence)
	if declared == "utf-8" {
		note = fmt.Sprintf("the page declares UTF-8 but is not; %s was guessed from the letters, confidence %d of 100", name, confidence)
		if invalidShare(doc) < 0.002 { // a few broken bytes do not make another encoding
			return bytes.ToValidUTF8(doc, []byte("\uFFFD")), "utf-8", "some bytes are not UTF-8 and were replaced"
		}
	}
	return transform(e, doc), name, note
}

func decodeBOM(doc []byte) ([]byte, string, bool) {
	switch {
	case bytes.HasPrefix(doc, []byte("\xef\xbb\xbf")):
		return bytes.ToValidUTF8(doc[3:], []byte("\uFFFD")), "utf-8", true
	case bytes.HasPrefix(doc, []byte("\xfe\xff")):
		return transform(unicode.UTF16(unicode.BigEndian, unicode.ExpectBOM), doc), "utf-16be", true
	case bytes.HasPrefix(doc, []byte("\xff\xfe")):
		return transform(unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM), doc), "utf-16le", true
	}
	return nil, "", false
}

func declaredName(doc []byte, contentType string) string {
	if _, label, ok := strings.Cut(strings.ToLower(contentType), "charset="); ok {
		if name := encodingName(label); name != "" {
			return name
		}
	}
	return metaCharset(doc[:min(len(doc), sniff)])
}

// metaCharset reads the declaration in the page's head: meta charset, meta
// http-equiv, or the XML declaration of XHTML. After the HTML Standard a page
// that can be read byte by byte up to its declaration is not UTF-16.
func metaCharset(head []byte) string {
	z := html.NewTokenizer(bytes.NewReader(head))
	for {
		switch z.Next() {
		case html.ErrorToken:
			return ""
		case html.CommentToken:
			text := string(z.Text())
			if _, rest, ok := strings.Cut(text, "encoding="); ok && strings.HasPrefix(text, "?xml") {
				if name := encodingName(rest); name != "" {
					return name
				}
			}
		case html.StartTagToken, html.SelfClosingTagToken:
			if t := z.Token(); t.DataAtom == atom.Meta {
				if name := metaName(t.Attr); name != "" {
					return name
				}
			}
		}
	}
}

func metaName(attrs []html.Attribute) string {
	content := ""
	for _, a := range attrs {
		switch a.Key {
		case "charset":
			return encodingName(a.Val)
		case "content":
			_, content, _ = strings.Cut(strings.ToLower(a.Val), "charset=")
		}
	}
	return encodingName(content)
}

// encodingName gives the standard name of a label as it stands in a
// declaration, "" when it names no encoding.
func encodingName(label string) string {
	label = strings.TrimLeft(label, ` "'`)
	if i := strings.IndexAny(label, ` "';?/>`); i >= 0 {
		label = label[:i]
	}
	_, name := charset.Lookup(label)
	if strings.HasPrefix(name, "utf-16") {
		return "utf-8"
	}
	return name
}

// wide tells UTF-16 without a byte order mark: every other byte of the first
// thousand is zero more often than not.
func wide(doc []byte) string {
	var zero [2]int
	n := min(len(doc), 1000)
	for i, c := range doc[:n] {
		if c == 0 {
			zero[i%2]++
		}
	}
	switch {
	case n >= 8 && zero[0] > n/4 && zero[1] < n/50+1:
		return "utf-16be"
	case n >= 8 && zero[1] > n/4 && zero[0] < n/50+1:
		return "utf-16le"
	}
	return ""
}

func ascii(b []byte) bool {
	for _, c := range b {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// validUTF8 allows a rune that is cut off at the end of a truncated file.
func validUTF8(b []byte) bool {
	if utf8.Valid(b) {
		return true
	}
	for cut := 1; cut < utf8.UTFMax && cut < len(b); cut++ {
		if utf8.RuneStart(b[len(b)-cut]) {
			return !utf8.FullRune(b[len(b)-cut:]) && utf8.Valid(b[:len(b)-cut])
		}
	}
	return false
}

func invalidShare(b []byte) float64 {
	bad := 0
	for i := 0; i < len(b); {
		r, size := utf8.DecodeRune(b[i:])
		if r == utf8.RuneError && size == 1 {
			bad++
		}
		i += size
	}
	return float64(bad) / float64(max(len(b), 1))
}

// guessName asks the detector about a part of the page with other letters than
// ASCII.
func guessName(doc []byte) (string, int) {
	from := 0
	for from < len(doc) && doc[from] < utf8.RuneSelf {
		from++
	}
	from = max(0, from-guessFrom/4)
	list := guess.HTML(doc[from:min(len(doc), from+guessFrom)])
	if len(list) == 0 {
		return "windows-1252", 0
	}
	best := list[0]
	label := best.Charset
	if label == "GB-18030" { // the detector's own spelling
		label = "gb18030"
	}
	if _, name := charset.Lookup(label); name != "" {
		return name, best.Confidence
	}
	return "windows-1252", 0
}

func encodingOf(name string) encoding.Encoding {
	e, _ := charset.Lookup(name)
	return e
}

func transform(e encoding.Encoding, doc []byte) []byte {
	out, err := e.NewDecoder().Bytes(doc)
	if err != nil {
		return bytes.ToValidUTF8(doc, []byte("\uFFFD"))
	}
	return out
}
