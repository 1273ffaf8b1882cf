package listing

import (
	"strings"
	"unicode/utf8"
)

// CanonicalNumber brings a part number or serial into the form in which two
// numbers are compared: upper case, without blanks, dots, hyphens, slashes and
// underscores. Letters and digits are never exchanged.
func CanonicalNumber(s string) string { return foldNumber(s, "") }

// HyphenatedNumber is [CanonicalNumber] with single hyphens kept where the
// text has a hyphen or dash between two characters.
func HyphenatedNumber(s string) string { return foldNumber(s, "-") }

func foldNumber(s, hyphen string) string {
	var b strings.Builder
	b.Grow(len(s))
	pending := false
	for _, r := range s {
		switch {
		case r == ' ' || r == '.' || r == '/' || r == '_' || r == '\t' || r == '\u00a0' || r == '\u202f' || r == '\u200b':
			continue
		case r == '-' || r >= '\u2010' && r <= '\u2015' || r == '\u2212':
			pending = b.Len() > 0
			continue
		}
		if pending {
			b.WriteString(hyphen)
			pending = false
		}
		switch {
		case r >= '\uff10' && r <= '\uff19':
			r -= '\uff10' - '0'
		case r >= 'a' && r <= 'z':
			r -= 'a' - 'A'
		}
		if r < utf8.RuneSelf {
			b.WriteByte(byte(r))
			continue
		}
		b.WriteString(strings.ToUpper(string(r)))
	}
	return b.String()
}
