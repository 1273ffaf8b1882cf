// Package phrase finds words and phrases of several languages in running text,
// whatever their case, width and diacritics, and says where they stand in the
// text as it was read.
package phrase

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Text is a text with its folded form: lower case, compatibility forms
// unified, diacritics dropped, runs of space made one space, dashes and
// apostrophes made ASCII, digits of every script made ASCII, invisible
// characters dropped.
type Text struct {
	Raw    string
	Folded string
	// at gives, for runs of folded bytes, the offset in Raw; nil when both
	// forms have the same offsets.
	at []int32
}

// Fold prepares a text.
func Fold(raw string) Text {
	if plain(raw) {
		return Text{Raw: raw, Folded: strings.ToLower(raw)}
	}
	var b strings.Builder
	b.Grow(len(raw))
	at := make([]int32, 0, len(raw)+1)
	space := false
	for i, r := range raw {
		var buf [utf8.UTFMax]byte
		folded := foldRune(r, &buf)
		if folded == " " {
			if space {
				continue
			}
			space = true
		} else if folded != "" {
			space = false
		}
		b.WriteString(folded)
		for range len(folded) {
			at = append(at, int32(i))
		}
	}
	return Text{Raw: raw, Folded: b.String(), at: append(at, int32(len(raw)))}
}

// Folded gives only the folded form.
func Folded(s string) string { return Fold(s).Folded }

// plain reports whether folding s is only a change of ASCII case.
func plain(s string) bool {
	for i := range len(s) {
		c := s[i]
		if c >= utf8.RuneSelf || c < ' ' || c == '`' || c == ' ' && i > 0 && s[i-1] == ' ' {
			return false
		}
	}
	return true
}

// Span turns a span of the folded text into one of the text as read.
func (t Text) Span(start, end int) (rawStart, rawEnd int) {
	if t.at == nil {
		return start, end
	}
	rawStart = int(t.at[start])
	if end == 0 {
		return rawStart, rawStart
	}
	// The end of a span is the end of the rune its last byte came from, with
	// the combining marks after it.
	last := t.at[end-1]
	i := end
	for i < len(t.at)-1 && t.at[i] == last {
		i++
	}
	rawEnd = int(last) + runeLen(t.Raw[last:])
	for rawEnd < int(t.at[i]) {
		r, n := utf8.DecodeRuneInString(t.Raw[rawEnd:])
		if !unicode.Is(unicode.Mn, r) {
			break
		}
		rawEnd += n
	}
	return rawStart, rawEnd
}

// Quote gives the words of the text as read that stand at a span of the folded
// text.
func (t Text) Quote(start, end int) string {
	i, j := t.Span(start, end)
	return t.Raw[i:j]
}

func runeLen(s string) int {
	_, n := utf8.DecodeRuneInString(s)
	return n
}

func foldRune(r rune, buf *[utf8.UTFMax]byte) string {
	if r < utf8.RuneSelf {
		return asciiFolded[r : r+1]
	}
	if r < tabled {
		return foldedTable()[r]
	}
	return foldSlowly(r, buf)
}

// tabled is the first rune that is not in the table of foldings: Latin, Greek,
// Cyrillic, Hebrew and Arabic are.
const tabled = 0x700

var foldedTable = sync.OnceValue(func() *[tabled]string {
	var t [tabled]string
	for r := rune(utf8.RuneSelf); r < tabled; r++ {
		var buf [utf8.UTFMax]byte
		t[r] = foldSlowly(r, &buf)
	}
	return &t
})

func foldSlowly(r rune, buf *[utf8.UTFMax]byte) string {
	switch {
	case r == utf8.RuneError:
		return "\uFFFD"
	case unicode.Is(unicode.Mn, r), unicode.Is(unicode.Cf, r):
		return ""
	case unicode.IsSpace(r), r >= 0x2000 && r <= 0x200A, r == 0x202F, r == 0x3000:
		return " "
	case unicode.Is(unicode.Pd, r), r == 0x2212:
		return "-"
	case unicode.Is(unicode.Nd, r):
		return string(rune('0' + DigitValue(r)))
	case unicode.Is(unicode.Han, r):
		return string(r)
	}
	switch r {
	case '’', '‘', 'ʼ', '´', '′', '＇':
		return "'"
	case 'ß', 'ẞ':
		return "ss"
	case 'ł', 'Ł':
		return "l"
	case 'ø', 'Ø':
		return "o"
	case 'đ', 'Đ':
		return "d"
	case 'ı':
		return "i"
	case 'æ', 'Æ':
		return "ae"
	case 'œ', 'Œ':
		return "oe"
	}
	n := utf8.EncodeRune(buf[:], r)
	decomposed := norm.NFKD.String(string(buf[:n]))
	return strings.Map(func(d rune) rune {
		if unicode.Is(unicode.Mn, d) {
			return -1
		}
		return unicode.ToLower(d)
	}, decomposed)
}

// asciiFolded holds the folded form of each ASCII character.
var asciiFolded = func() string {
	var b strings.Builder
	for r := range rune(utf8.RuneSelf) {
		switch {
		case r <= ' ' || r == 0x7F:
			b.WriteByte(' ')
		case r == '`':
			b.WriteByte('\'')
		default:
			b.WriteRune(unicode.ToLower(r))
		}
	}
	return b.String()
}()

// DigitValue gives the value of a decimal digit of any script. Unicode keeps
// the ten digits of a script in one run that starts with its zero.
func DigitValue(r rune) int {
	if r >= '0' && r <= '9' {
		return int(r - '0')
	}
	for _, rg := range unicode.Nd.R16 {
		if r >= rune(rg.Lo) && r <= rune(rg.Hi) {
			return int(r-rune(rg.Lo)) % 10
		}
	}
	for _, rg := range unicode.Nd.R32 {
		if r >= rune(rg.Lo) && r <= rune(rg.Hi) {
			return int(r-rune(rg.Lo)) % 10
		}
	}
	return 0
}
