package parse

import (
	"bytes"
	"unicode/utf8"

	"counterfoil/parse/bundle"
	"counterfoil/parse/photo"
)

// Kinds of a capture, told by content and never by name.
const (
	kindPage     = "page"
	kindTable    = "table"
	kindPhoto    = "photo"
	kindExtract  = "extract" // NDJSON, of `counterfoil extract` or another program
	kindWorkbook = "workbook"
	kindArchive  = "archive"
	kindRefused  = ""
)

// sniffSize is how much of a file decides its kind, in bytes.
const sniffSize = 8 << 10

// sniff tells the kind of a file by its first bytes. For a kind that is not
// read it gives the reason and what the user can do.
func sniff(head []byte) (kind, reason, hint string) {
	raw := head
	head = narrow(head)
	trimmed := bytes.TrimSpace(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")))
	lower := bytes.ToLower(trimmed)
	starts := func(s string) bool { return bytes.HasPrefix(head, []byte(s)) }
	switch {
	case len(head) == 0:
		return kindRefused, "the file is empty", "save or export it again"
	case photo.Format(raw) != "":
		return kindPhoto, "", ""
	case bundle.Kind(raw) == bundle.KindOffice:
		return kindWorkbook, "", ""
	case bundle.Kind(raw) != "":
		return kindArchive, "", ""
	case starts("\xd0\xcf\x11\xe0"):
		return kindRefused, "an encrypted or old office file", "open it with its password and export the table as CSV"
	case starts("%PDF"):
		return kindRefused, "a PDF; its listing cannot be read", "save the page from the browser as 'page, complete'"
	case starts("7z\xbc\xaf"), starts("Rar!"), starts("BZh"), starts("\xfd7zXZ"), starts("(\xb5/\xfd"):
		return kindRefused, "a compressed file; it is not unpacked", "unpack it first"
	case bytes.HasPrefix(lower, []byte("{")), isArray(lower):
		return kindExtract, "", ""
	case isHTML(lower):
		return kindPage, "", ""
	case bytes.HasPrefix(lower, []byte("<?xml")):
		return kindRefused, "an XML file that is no page", "give the saved page, or export the table as CSV"
	case isUTF16(head) || isText(head):
		return kindTable, "", ""
	}
	return kindRefused, "neither a page, a table nor a picture", "give the saved page, a CSV export or the photos"
}

func isHTML(lower []byte) bool {
	if bytes.HasPrefix(lower, []byte("<")) {
		return !bytes.HasPrefix(lower, []byte("<?xml")) || bytes.Contains(lower, []byte("<html"))
	}
	// A page cut at its top may begin with text. In a table's cell a tag does
	// not begin its line.
	for line := range bytes.Lines(lower) {
		line = bytes.TrimLeft(line, " \t")
		if bytes.HasPrefix(line, []byte("<html")) || bytes.HasPrefix(line, []byte("<!doctype html")) {
			return true
		}
	}
	return false
}

// isArray tells a JSON array of objects, perhaps empty, from a table whose
// first heading begins with a bracket.
func isArray(lower []byte) bool {
	rest, ok := bytes.CutPrefix(lower, []byte("["))
	rest = bytes.TrimLeft(rest, " \t\r\n")
	return ok && (len(rest) == 0 || rest[0] == '{' || rest[0] == ']')
}

func isUTF16(head []byte) bool {
	return bytes.HasPrefix(head, []byte("\xff\xfe")) || bytes.HasPrefix(head, []byte("\xfe\xff"))
}

// isText reports whether bytes look like text in some encoding: no control
// characters but white space.
func isText(head []byte) bool {
	odd := 0
	for _, b := range head {
		if b == 0 {
			return false
		}
		if b < ' ' && b != '\t' && b != '\n' && b != '\r' && b != '\f' {
			odd++
		}
	}
	return odd*100 <= len(head) && (utf8.Valid(trimPartialRune(head)) || bytes.ContainsAny(head, ",;\t|"))
}

// trimPartialRune drops an incomplete character at the end of a cut head.
func trimPartialRune(b []byte) []byte {
	for i := 0; i < utf8.UTFMax-1 && len(b) > 0; i++ {
		if r, _ := utf8.DecodeLastRune(b); r != utf8.RuneError {
			break
		}
		b = b[:len(b)-1]
	}
	return b
}
