package workbook

import (
	"regexp"
	"strings"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"

	"counterfoil/report"
)

const (
	// textLimit is the length of a cell's text in UTF-16 units. The format
	// allows 32,767; longer text would be cut in silence.
	textLimit = 32000
	cutMark   = "… [cut]"
)

// cellText prepares any text for a cell: deceiving characters made visible,
// cut to the limit with a mark that says so.
func cellText(s string) string {
	s = report.Visible(s)
	if len(s) <= textLimit {
		return s
	}
	units := 0
	for i, r := range s {
		n := utf16.RuneLen(r)
		if units+n > textLimit-len([]rune(cutMark)) {
			if utf16Len(s[i:]) <= textLimit-units {
				return s
			}
			return s[:i] + cutMark
		}
		units += n
	}
	return s
}

func utf16Len(s string) int {
	n := 0
	for _, r := range s {
		n += utf16.RuneLen(r)
	}
	return n
}

// lost looks like the format's escape for half a surrogate pair. The library
// marks other texts that look like escapes, so that they read back as they
// are, but drops these.
var lost = regexp.MustCompile(`_x[dD][89a-fA-F][0-9a-fA-F]{2}_`)

// CellValue gives text in a form that is written whole: where it holds what
// the library would drop, it is split into runs.
func CellValue(s string) any {
	if !strings.Contains(s, "_x") || !lost.MatchString(s) {
		return s
	}
	var runs []excelize.RichTextRun
	for {
		at := lost.FindStringIndex(s)
		if at == nil {
			return append(runs, excelize.RichTextRun{Text: s})
		}
		runs = append(runs, excelize.RichTextRun{Text: s[:at[0]+1]})
		s = s[at[0]+1:]
	}
}

// StartsFormula reports whether text, typed again into its cell, would become
// a formula or a command (OWASP, CWE-1236).
func StartsFormula(s string) bool {
	return s != "" && strings.IndexByte("=+-@\t\r\n", s[0]) >= 0
}
