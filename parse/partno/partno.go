// Package partno finds part numbers, serial numbers, GTINs and lot sizes in
// titles and descriptions.
//
// The files: partno.go the canonical form and the entry points, numbers.go
// part numbers by their style, labelled.go what follows a label such as
// "P/N", "S/N" or "EAN", lot.go how many units are offered together, words.go
// the labels in eight languages.
package partno

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"counterfoil/parse/internal/phrase"
)

// MaxText is the length, in bytes, to which a text is searched. What stands
// behind it is not looked at.
const MaxText = 64 << 10

// MaxFound bounds the findings of one kind in one text.
const MaxFound = 200

// Style says why a text is taken for a part number.
type Style string

// The styles, after the trade's usual ways to write turbocharger numbers.
const (
	SixFour  Style = "6+4"      // six digits and a suffix of up to four, "123456-5001S"
	Eleven   Style = "11-digit" // eleven digits, "5123 988 0123" or solid
	FiveFive Style = "5+5"      // five and five digits, "12345-06789"
	Frame    Style = "frame"    // short frame form, "X03-0123"
	Labelled Style = "labelled" // whatever follows "part no."
	OE       Style = "oe"       // whatever follows "OE no."
)

// Candidate is a number found in a text.
type Candidate struct {
	Text      string // as read
	Canonical string
	Style     Style // of part numbers only
	Start     int   // byte range in the text, half-open
	End       int
}

// Lot is a number of units offered together.
type Lot struct {
	N     int
	Start int // byte range in the text, half-open
	End   int
}

// Numbers finds part numbers: those of a known style anywhere, others after a
// label. Phone numbers, years, dimensions and prices are left out. The order
// is that of the text.
func Numbers(text string) []Candidate { return In(phrase.Fold(text)).Numbers() }

// Serials finds serial numbers after their labels.
func Serials(text string) []Candidate { return In(phrase.Fold(text)).Serials() }

// GTINs finds digits after a GTIN, EAN or UPC label, and runs of 12 to 14
// digits anywhere whose GS1 check digit is right. After a label a wrong check
// digit is kept: it is for the reader to see.
func GTINs(text string) []Candidate { return In(phrase.Fold(text)).GTINs() }

// LotSize finds how many units the offer holds: "lot of 2", "2 Stück", "x 4".
func LotSize(text string) (n, start, end int, ok bool) {
	l := In(phrase.Fold(text)).Lot()
	return l.N, l.Start, l.End, l.N > 0
}

// Canonical brings a number to the form in which numbers are compared:
// compatibility forms unified (NFKC), upper case, digits of any script ASCII,
// without spaces, dots, hyphens, slashes, underscores and invisible
// characters. A text of other characters keeps them.
func Canonical(s string) string {
	if isCanonical(s) {
		return s
	}
	var b strings.Builder
	b.Grow(len(s))
	for _, r := range norm.NFKC.String(s) {
		switch {
		case '0' <= r && r <= '9', 'A' <= r && r <= 'Z':
			b.WriteByte(byte(r))
		case 'a' <= r && r <= 'z':
			b.WriteByte(byte(r) - 'a' + 'A')
		case unicode.IsSpace(r), unicode.Is(unicode.Pd, r), unicode.Is(unicode.Cf, r), unicode.Is(unicode.Cc, r),
			strings.ContainsRune("./_\\‐−·", r):
		case unicode.Is(unicode.Nd, r):
			b.WriteByte(byte('0' + phrase.DigitValue(r)))
		default:
			b.WriteRune(unicode.ToUpper(r))
		}
	}
	return b.String()
}

func isCanonical(s string) bool {
	for i := range len(s) {
		if c := s[i]; !(c >= '0' && c <= '9' || c >= 'A' && c <= 'Z') {
			return false
		}
	}
	return true
}

// Search finds in one text what it is asked for, and no more. A number that is
// one of a kind is none of the next: serials come first, then GTINs, then part
// numbers.
type Search struct {
	text   phrase.Text
	labels []phrase.Match[label]
	taken  []span

	looked                  kind // what was searched for up to now
	serials, gtins, numbers []Candidate
}

// kind is a kind of number, in the order of the search.
type kind uint8

const (
	nothing kind = iota
	serial
	gtin
	partNumber
)

type span struct{ start, end int } // in the folded text

// In makes a search of a text.
func In(text phrase.Text) *Search {
	if len(text.Raw) > MaxText {
		text = phrase.Fold(text.Raw[:MaxText])
	}
	return &Search{text: text}
}

// Serials is as the function of that name.
func (s *Search) Serials() []Candidate {
	s.look(serial)
	return s.serials
}

// GTINs is as the function of that name.
func (s *Search) GTINs() []Candidate {
	s.look(gtin)
	return s.gtins
}

// Numbers is as the function of that name.
func (s *Search) Numbers() []Candidate {
	s.look(partNumber)
	return s.numbers
}

// look searches for the kinds up to one of them.
func (s *Search) look(last kind) {
	for s.looked < last {
		s.looked++
		switch s.looked {
		case serial:
			s.labels = labelWords.All(s.text)
			s.serials = s.findSerials()
		case gtin:
			s.gtins = s.findGTINs()
		case partNumber:
			s.numbers = s.findNumbers()
		}
	}
}

func (s *Search) candidate(start, end int, style Style) Candidate {
	i, j := s.text.Span(start, end)
	raw := s.text.Raw[i:j]
	return Candidate{Text: raw, Canonical: Canonical(raw), Style: style, Start: i, End: j}
}

func (s *Search) take(start, end int) { s.taken = append(s.taken, span{start, end}) }

func (s *Search) isTaken(start, end int) bool {
	return slices.ContainsFunc(s.taken, func(t span) bool { return start < t.end && t.start < end })
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func isAlnum(c byte) bool { return isDigit(c) || c >= 'a' && c <= 'z' }

func digits(s string) int {
	n := 0
	for i := range len(s) {
		if isDigit(s[i]) {
			n++
		}
	}
	return n
}

// letterBefore reports a letter or digit of any script right before i.
func letterBefore(s string, i int) bool {
	r, _ := utf8.DecodeLastRuneInString(s[:i])
	return wordRune(r)
}

func letterAfter(s string, i int) bool {
	r, _ := utf8.DecodeRuneInString(s[i:])
	return wordRune(r)
}

// wordRune is true of letters that would make a number part of a longer word.
// Chinese is written without spaces, so its characters do not.
func wordRune(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r)) && !unicode.Is(unicode.Han, r)
}
