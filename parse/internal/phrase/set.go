package phrase

import (
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// Row is a line of a word table: phrases of one language that mean the same,
// with commas between them. A star at the end of a phrase lets its last word
// go on ("regenerowan*" for its inflected forms).
type Row[T any] struct {
	Value    T
	Language string // BCP 47, or "" for words that several languages share
	Phrases  string
}

// Of makes a row.
func Of[T any](value T, language, phrases string) Row[T] {
	return Row[T]{value, language, phrases}
}

// Set finds the phrases of a table in a text.
type Set[T any] struct {
	once  sync.Once
	build []Row[T] // until the first search

	// By the first letter, the longest first.
	byFirst map[rune][]item[T]
	ascii   [utf8.RuneSelf][]item[T]
	// seconds tells cheaply of most places in a text that no phrase of ascii stands
	// there: a bit for the lower six of the second byte of each, all bits where a
	// phrase is one character.
	seconds [utf8.RuneSelf]uint64
}

type item[T any] struct {
	text   string
	second byte // of text, 0 when it has no more than one
	stem   bool
	value  T
}

// Match is a phrase found in a text; Start and End are offsets of the folded
// text.
type Match[T any] struct {
	Value T
	Start int
	End   int
}

// NewSet makes a set of a table. Of two rows with the same phrase the first one
// counts. The table is prepared at the first search: a program has many sets and
// needs few of them for a short answer.
func NewSet[T any](rows ...Row[T]) *Set[T] { return &Set[T]{build: rows} }

// prepare sorts the phrases by their first letter.
func (s *Set[T]) prepare() {
	s.byFirst = map[rune][]item[T]{}
	for _, row := range s.build {
		for _, p := range strings.Split(row.Phrases, ",") {
			p = strings.TrimSpace(Folded(p))
			text, stem := strings.CutSuffix(p, "*")
			if text == "" {
				continue
			}
			first, _ := utf8.DecodeRuneInString(text)
			it := item[T]{text: text, stem: stem, value: row.Value}
			if len(text) > 1 {
				it.second = text[1]
			}
			s.byFirst[first] = append(s.byFirst[first], it)
		}
	}
	for first, list := range s.byFirst {
		slices.SortStableFunc(list, func(a, b item[T]) int { return len(b.text) - len(a.text) })
		if first < utf8.RuneSelf {
			s.ascii[first], s.seconds[first] = list, secondsOf(list)
			delete(s.byFirst, first)
		}
	}
	s.build = nil
}

func secondsOf[T any](list []item[T]) (bits uint64) {
	for _, it := range list {
		if it.second == 0 {
			return ^uint64(0)
		}
		bits |= 1 << (it.second & 63)
	}
	return bits
}

// Find gives the first phrase that starts at or after the offset of the folded
// text; of several at the same place the longest.
func (s *Set[T]) Find(t Text, from int) (Match[T], bool) {
	s.once.Do(s.prepare)
	text := t.Folded
	var before rune
	if from > 0 {
		before, _ = utf8.DecodeLastRuneInString(text[:from])
	}
	for i := from; i < len(text); {
		r, n := rune(text[i]), 1
		if r >= utf8.RuneSelf {
			r, n = utf8.DecodeRuneInString(text[i:])
		}
		if r >= utf8.RuneSelf || s.seconds[r]>>(byteAt(text, i+1)&63)&1 != 0 {
			if i == 0 || Boundary(before, r) {
				if m, ok := s.at(text, i, r); ok {
					return m, true
				}
			}
		}
		before = r
		i += n
	}
	return Match[T]{}, false
}

// All gives all phrases of the text that do not overlap, from left to right.
func (s *Set[T]) All(t Text) []Match[T] {
	var all []Match[T]
	for from := 0; ; {
		m, ok := s.Find(t, from)
		if !ok {
			return all
		}
		all = append(all, m)
		from = m.End
	}
}

// Whole finds the value of a text that is one phrase and nothing else.
func (s *Set[T]) Whole(t Text) (value T, ok bool) {
	s.once.Do(s.prepare)
	text := strings.TrimSpace(t.Folded)
	r, _ := utf8.DecodeRuneInString(text)
	if text == "" {
		return value, false
	}
	m, ok := s.at(text, 0, r)
	if !ok || m.End != len(text) {
		return value, false
	}
	return m.Value, true
}

// WholeOf is [Set.Whole] of a text that is not folded. Of most texts the first two
// letters tell that it is no phrase.
func (s *Set[T]) WholeOf(raw string) (value T, ok bool) {
	s.once.Do(s.prepare)
	if len(raw) > 1 && ' ' < raw[0] && raw[0] < utf8.RuneSelf && raw[1] < utf8.RuneSelf &&
		s.seconds[asciiFolded[raw[0]]]>>(asciiFolded[raw[1]]&63)&1 == 0 {
		return value, false
	}
	return s.Whole(Fold(raw))
}

// At gives the phrase that starts at the offset of the folded text, the longest of
// several.
func (s *Set[T]) At(t Text, i int) (Match[T], bool) {
	s.once.Do(s.prepare)
	if i >= len(t.Folded) {
		return Match[T]{}, false
	}
	before, _ := utf8.DecodeLastRuneInString(t.Folded[:i])
	r, _ := utf8.DecodeRuneInString(t.Folded[i:])
	if i > 0 && !Boundary(before, r) {
		return Match[T]{}, false
	}
	return s.at(t.Folded, i, r)
}

func (s *Set[T]) at(text string, i int, first rune) (Match[T], bool) {
	var items []item[T]
	if first < utf8.RuneSelf {
		items = s.ascii[first]
	} else {
		items = s.byFirst[first]
	}
	second := byteAt(text, i+1)
	for k := range items {
		it := &items[k]
		if it.second != second && it.second != 0 || !strings.HasPrefix(text[i:], it.text) {
			continue
		}
		end := i + len(it.text)
		if it.stem {
			end = wordEnd(text, end)
		} else if end < len(text) {
			last, _ := utf8.DecodeLastRuneInString(it.text)
			next, _ := utf8.DecodeRuneInString(text[end:])
			if !Boundary(last, next) {
				continue
			}
		}
		return Match[T]{Value: it.value, Start: i, End: end}, true
	}
	return Match[T]{}, false
}

// byteAt gives the byte at an offset, 0 behind the end.
func byteAt(text string, i int) byte {
	if i < len(text) {
		return text[i]
	}
	return 0
}

// Boundary reports whether a word may end between two neighbouring runes: not
// inside a run of letters, nor inside a run of digits. Scripts that write
// without spaces have a boundary everywhere.
func Boundary(a, b rune) bool {
	if a < utf8.RuneSelf && b < utf8.RuneSelf {
		return !(asciiLetter(a) && asciiLetter(b)) && !(asciiDigit(a) && asciiDigit(b))
	}
	if spaceless(a) || spaceless(b) {
		return true
	}
	return !(unicode.IsLetter(a) && unicode.IsLetter(b))
}

func wordEnd(text string, i int) int {
	for i < len(text) {
		r, n := utf8.DecodeRuneInString(text[i:])
		if !unicode.IsLetter(r) || spaceless(r) {
			break
		}
		i += n
	}
	return i
}

func asciiLetter(r rune) bool { return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' }

func asciiDigit(r rune) bool { return r >= '0' && r <= '9' }

func spaceless(r rune) bool {
	return r > 0x0E00 && unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Thai, unicode.Lao)
}
