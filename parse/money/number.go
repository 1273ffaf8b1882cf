package money

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"counterfoil/parse/internal/phrase"
)

// maxDigits bounds the whole part of an amount; a longer run of digits is a
// number of another kind.
const maxDigits = 12

// maxDecimals bounds the decimals; unit prices in data feeds have up to six.
const maxDecimals = 6

// number is a run of digits with separators in the clean text.
type number struct {
	text       string // digits, '.', ',', ' ', '\''
	start, end int    // in the clean text
	// joined says that the decimals stood apart from the mark ("12, 50") or
	// behind the currency ("12€50"), so that the last separator is a mark.
	joined bool
}

// clean makes the digits of every script, spaces, apostrophes and full-width
// signs ASCII and drops invisible characters. Case is kept: it tells currency
// abbreviations from words.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r < utf8.RuneSelf:
			if r < ' ' {
				return ' '
			}
			return r
		case unicode.Is(unicode.Nd, r):
			return rune('0' + phrase.DigitValue(r))
		case unicode.IsSpace(r), r >= 0x2000 && r <= 0x200A, r == 0x202F:
			return ' '
		case unicode.Is(unicode.Cf, r):
			return -1
		case unicode.Is(unicode.Pd, r), r == 0x2212:
			return '-'
		}
		switch r {
		case '’', '‘', 'ʼ', '´', '＇', '٬': // the last one is the Arabic grouping mark
			return '\''
		case '．', '٫', '。':
			return '.'
		case '，', '،':
			return ','
		case '：':
			return ':'
		case '／':
			return '/'
		case '％', '٪':
			return '%'
		case '（':
			return '('
		case '）':
			return ')'
		}
		return r
	}, s)
}

func findNumbers(s string) []number {
	var all []number
	for i := 0; i < len(s); {
		lead := (s[i] == '.' || s[i] == ',') && digitAt(s, i+1) && (i == 0 || s[i-1] == ' ' || s[i-1] >= utf8.RuneSelf || s[i-1] == '$')
		if !digitAt(s, i) && !lead {
			i++
			continue
		}
		n := readNumber(s, i)
		all = append(all, n)
		i = n.end
	}
	return all
}

// readNumber reads the number that starts at i.
func readNumber(s string, start int) number {
	var text strings.Builder
	n := number{start: start}
	i := start
	if s[i] == '.' || s[i] == ',' {
		text.WriteByte('0')
	}
	segment, onlySpaces := 0, true
	for i < len(s) {
		c := s[i]
		switch {
		case digitAt(s, i):
			segment++
			text.WriteByte(c)
			i++
			continue
		case c == '.' || c == ',' || c == '\'':
			if digitAt(s, i+1) {
				onlySpaces = false
				break
			}
			// "119. 95": a mark, a space and exactly two digits.
			if c != '\'' && i+1 < len(s) && s[i+1] == ' ' && digitRun(s, i+2) == 2 && !strings.ContainsRune(text.String(), rune(c)) {
				text.WriteByte(c)
				text.WriteString(s[i+2 : i+4])
				return n.done(text.String(), i+4, true)
			}
			return n.done(text.String(), i, false)
		case c == ' ' && onlySpaces && segment <= 3 && digitRun(s, i+1) == 3 && (segment == 3 || !strings.Contains(text.String(), " ")):
		case strings.HasPrefix(s[i:], "€") && digitRun(s, i+len("€")) == 2:
			// "1250€60" or "1.250€60", as tills write it.
			j := i + len("€")
			whole := text.String()
			if !grouped(strings.FieldsFunc(whole, func(r rune) bool { return r < '0' || r > '9' })) && strings.ContainsAny(whole, ".,' ") {
				return n.done(whole, i, false)
			}
			mark := byte('.')
			if strings.Contains(whole, ".") {
				mark = ','
			}
			text.WriteByte(mark)
			text.WriteString(s[j : j+2])
			return n.done(text.String(), j+2, true)
		default:
			return n.done(text.String(), i, false)
		}
		text.WriteByte(c)
		segment = 0
		i++
	}
	return n.done(text.String(), i, false)
}

func (n number) done(text string, end int, joined bool) number {
	n.text, n.end, n.joined = text, end, joined
	return n
}

func digitAt(s string, i int) bool { return i < len(s) && s[i] >= '0' && s[i] <= '9' }

func digitRun(s string, i int) int {
	n := 0
	for digitAt(s, i+n) {
		n++
	}
	return n
}

// separatorHint is what is known about separators from outside the number.
type separatorHint struct {
	decimal rune // '.' or ',', or 0
	digits  int  // decimals of the currency, or -1
}

// value turns a number into a plain decimal. It reports whether a single
// separator before three digits was taken for grouping by default.
func (n *number) value(h separatorHint) (plain string, doubtful bool, err error) {
	mark, grouping, doubtful, err := n.separators(h)
	if err != nil {
		return "", false, err
	}
	whole, fraction := n.text, ""
	if mark != 0 {
		i := strings.LastIndexByte(n.text, mark)
		whole, fraction = n.text[:i], n.text[i+1:]
	}
	if grouping != 0 {
		if !grouped(strings.Split(whole, string(grouping))) {
			return "", false, fmt.Errorf("%q is not a number: its digits are not in groups of three", n.text)
		}
		whole = strings.ReplaceAll(whole, string(grouping), "")
	}
	switch {
	case len(whole) > maxDigits:
		return "", false, fmt.Errorf("%q has too many digits for a price", n.text)
	case len(fraction) > maxDecimals:
		return "", false, fmt.Errorf("%q has too many decimals for a price", n.text)
	case len(whole) > 1 && whole[0] == '0':
		return "", false, fmt.Errorf("%q starts with a zero, which is no price", n.text)
	}
	if fraction != "" {
		whole += "." + fraction
	}
	return whole, doubtful, nil
}

// separators tells the decimal mark and the grouping mark of the number, 0
// where it has none.
func (n *number) separators(h separatorHint) (mark, grouping byte, doubtful bool, err error) {
	last, other, count := lastSeparator(n.text)
	switch {
	case last == 0:
		return 0, 0, false, nil
	case n.joined:
		return last, other, false, nil
	case other != 0: // two kinds: the last one is the decimal mark
		if count > 1 || last == ' ' || last == '\'' {
			return 0, 0, false, fmt.Errorf("%q is not a number: separators in an unknown order", n.text)
		}
		return last, other, false, nil
	case count > 1 || last == ' ' || last == '\'':
		return 0, last, false, nil
	}
	i := strings.IndexByte(n.text, last)
	before, after := n.text[:i], n.text[i+1:]
	if len(after) != 3 || len(before) > 3 || before == "0" {
		return last, 0, false, nil
	}
	switch {
	case h.digits == 0, h.decimal != 0 && h.decimal != rune(last):
		return 0, last, false, nil
	case h.decimal == rune(last), h.digits == 3:
		return last, 0, false, nil
	}
	return 0, last, true, nil
}

// lastSeparator gives the last separator, how often it occurs, and another
// kind that stands before it, if any.
func lastSeparator(text string) (last, other byte, count int) {
	for i := len(text) - 1; i >= 0; i-- {
		c := text[i]
		switch {
		case c >= '0' && c <= '9':
		case last == 0 || c == last:
			last = c
			count++
		case other == 0:
			other = c
		}
	}
	return last, other, count
}

// grouped reports whether the parts of a whole number are groups of three, or
// of two before the last three, as in India.
func grouped(parts []string) bool {
	first, rest := parts[0], parts[1:]
	if len(rest) == 0 {
		return true
	}
	if len(first) == 0 || len(first) > 3 || len(rest[len(rest)-1]) != 3 {
		return false
	}
	size := len(rest[0])
	if len(rest) > 1 && size == 2 && len(first) > 2 {
		return false
	}
	for _, p := range rest[:len(rest)-1] {
		if len(p) != size || size != 2 && size != 3 {
			return false
		}
	}
	return true
}

// Mark tells which decimal mark, '.' or ',', the numbers of a price text show
// beyond doubt; 0 when they show none or both.
func Mark(text string) rune {
	if len(text) > MaxLength {
		return 0
	}
	var found rune
	numbers := findNumbers(clean(text))
	for i := range numbers {
		mark, grouping, doubtful, err := numbers[i].separators(separatorHint{digits: -1})
		if err != nil || doubtful {
			continue
		}
		seen := rune(mark)
		switch {
		case mark == 0 && grouping == '.':
			seen = ','
		case mark == 0 && grouping == ',':
			seen = '.'
		case mark == 0:
			continue
		}
		if found != 0 && found != seen {
			return 0
		}
		found = seen
	}
	return found
}
