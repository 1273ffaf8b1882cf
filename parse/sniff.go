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
	trimmed := bytes.TrimSpace(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")))
	lower := bytes.ToLower(trimmed)
	starts := func(s string) bool { return bytes.HasPrefix(head, []byte(s)) }
	switch {
	case len(head) == 0:
		return kindRefused, "the file is empty", "save or export it again"
	case photo.Format(head) != "":
		return kindPhoto, "", ""
	case bundle.Kind(head) == bundle.KindOffice:
		return kindWorkbook, "", ""
	case bundle.Kind(head) != "":
		return kindArchive, "", ""
	case starts("\xd0\xcf\x11\xe0"):
		return kindRefused, "an encrypted or old office file", "open it with its password and export the table as CSV"
	case starts("%PDF"):
		return kindRefused, "a PDF; its listing cannot be read", "save the page from the browser as 'page, complete'"
	case starts("7z\xbc\xaf"), starts("Rar!"), starts("BZh"), starts("\xfd7zXZ"), starts("(\xb5/\xfd"):
		return kindRefused, "a compressed file; it is not unpacked", "unpack it first"
	case bytes.HasPrefix(lower, []byte("{")):
		return kindExtract, "", ""
	case isHTML(lower):
		return kindPage, "", ""
	case isUTF16(head) || isText(head):
		return kindTable, "", ""
	}
	return kindRefused, "neither a page, a table nor a picture", "give the saved page, a CSV export or the photos"
}

func isHTML(lower []byte) bool {
	if !bytes.HasPrefix(lower, []byte("<")) {
		// Some browsers write a comment or blank lines before the first tag, and
		// a page cut at its top may begin with text.
		return bytes.Contains(lower, []byte("<html")) || bytes.Contains(lower, []byte("<!doctype html"))
	}
	return !bytes.HasPrefix(lower, []byte("<?xml")) || bytes.Contains(lower, []byte("<html"))
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
