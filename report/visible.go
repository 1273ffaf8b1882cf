package report

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Visible shows characters that deceive the eye: control characters,
// directional controls and zero-width characters become their code point in
// angle brackets, U+202E for instance "⟨U+202E⟩". Line feeds and tabs stay, a
// carriage return counts as a line feed. Bytes that are not UTF-8 become
// U+FFFD. All other text is kept exactly.
func Visible(s string) string {
	if isPlain(s) {
		return s
	}
	s = strings.ToValidUTF8(s, "\uFFFD")
	s = strings.ReplaceAll(s, "\r\n", "\n")
	var b strings.Builder
	var before rune
	for _, r := range s {
		switch {
		case r == '\r':
			b.WriteByte('\n')
		case isHidden(r, before):
			fmt.Fprintf(&b, "⟨U+%04X⟩", r)
		default:
			b.WriteRune(r)
		}
		before = r
	}
	return b.String()
}

func isPlain(s string) bool {
	for i := range len(s) {
		if c := s[i]; c >= utf8.RuneSelf || c < ' ' && c != '\n' && c != '\t' || c == 0x7f {
			return false
		}
	}
	return true
}

// isHidden reports whether r cannot be seen or changes how its neighbours are
// seen. Joiners belong to many scripts and to emoji, so they are shown only
// after Latin, Greek or Cyrillic letters, where they serve to break a word.
func isHidden(r, before rune) bool {
	switch {
	case r == '\n' || r == '\t':
		return false
	case r == 0x200c || r == 0x200d:
		return before < 0x590
	case r == 0xfffe || r == 0xffff:
		return true
	case r >= 0xe0000 && r <= 0xe007f: // tags, also used in flags
		return before < 0x590
	}
	return unicode.Is(unicode.Cc, r) || unicode.Is(unicode.Cf, r) || r == 0x2028 || r == 0x2029
}

// oneLine is Visible with white space runs as one blank.
func oneLine(s string) string {
	return strings.Join(strings.Fields(Visible(s)), " ")
}

// Width is the number of columns s takes in a fixed-width font: wide East
// Asian letters and emoji count two, combining marks none. It is an
// approximation.
func Width(s string) int {
	n := 0
	for _, r := range s {
		n += runeWidth(r)
	}
	return n
}

func runeWidth(r rune) int {
	switch {
	case r < 0x300:
		return 1
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	case r >= 0x1100 && r <= 0x115f, r >= 0x2e80 && r <= 0xa4cf, r >= 0xac00 && r <= 0xd7a3,
		r >= 0xf900 && r <= 0xfaff, r >= 0xfe30 && r <= 0xfe6f, r >= 0xff00 && r <= 0xff60,
		r >= 0xffe0 && r <= 0xffe6, r >= 0x1f300 && r <= 0x1faff, r >= 0x20000 && r <= 0x3fffd:
		return 2
	}
	return 1
}

// fit cuts s to width columns, with an ellipsis, or fills it up with blanks.
func fit(s string, width int) string {
	w := Width(s)
	if w <= width {
		return s + strings.Repeat(" ", width-w)
	}
	s = cut(s, width)
	return s + strings.Repeat(" ", width-Width(s))
}

// cut shortens s to at most width columns, with an ellipsis when it was cut.
func cut(s string, width int) string {
	if Width(s) <= width {
		return s
	}
	n := 0
	for i, r := range s {
		if n += runeWidth(r); n > width-1 {
			return s[:i] + "…"
		}
	}
	return s
}
