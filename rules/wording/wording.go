// Package wording finds the phrases of short fixed lists in a text, for rules
// whose wording is no stance of the lexicon in rules/claims.
//
// Letter case does not matter. A phrase matches whole words; one that ends
// with a star matches the beginning of a longer word too, for languages that
// inflect. In scripts without word spaces a phrase matches anywhere. Offsets
// are those of the raw text, so that it can be quoted exactly.
package wording

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Limit is how many bytes of a text are read.
const Limit = 64 << 10

// List is a list of phrases. It is safe for concurrent use.
type List struct {
	byFirst [256][]phrase // by the first byte, the longest first
}

type phrase struct {
	text string // folded
	stem bool
}

// New makes a list of phrases; an empty one is left out.
func New(phrases ...string) *List {
	l := &List{}
	for _, p := range phrases {
		text, stem := strings.CutSuffix(p, "*")
		if text = Fold(text); text != "" {
			l.byFirst[text[0]] = append(l.byFirst[text[0]], phrase{text, stem})
		}
	}
	for _, list := range l.byFirst {
		slices.SortStableFunc(list, func(a, b phrase) int { return len(b.text) - len(a.text) })
	}
	return l
}

// Find gives the place of the first phrase of the list that stands in the
// text, of several at one place the longest; ok is false when there is none.
func (l *List) Find(text string) (start, end int, ok bool) {
	return l.FindFolded(Fold(text))
}

// FindFolded is Find for a text that Fold has folded.
func (l *List) FindFolded(folded string) (start, end int, ok bool) {
	before := byte(' ')
	for at := range len(folded) {
		inside := plain[before] && plain[folded[at]]
		if before = folded[at]; inside {
			continue // most places are within a word
		}
		for _, p := range l.byFirst[folded[at]] {
			if strings.HasPrefix(folded[at:], p.text) && Boundary(folded, at) &&
				(p.stem || Boundary(folded, at+len(p.text))) {
				return at, at + len(p.text), true
			}
		}
	}
	return 0, 0, false
}

// plain are the letters and digits of ASCII.
var plain = func() (list [256]bool) {
	for b := range utf8.RuneSelf {
		list[b] = inWord(rune(b))
	}
	return list
}()

// Boundary reports whether a word may begin or end before the byte at.
func Boundary(text string, at int) bool {
	if at == 0 || at == len(text) {
		return true
	}
	before, _ := utf8.DecodeLastRuneInString(text[:at])
	after, _ := utf8.DecodeRuneInString(text[at:])
	return !inWord(before) || !inWord(after)
}

func inWord(r rune) bool {
	return (unicode.IsLetter(r) || unicode.IsDigit(r)) && !unicode.In(r, unicode.Han)
}

// Fold is Lower for as much of a text as is looked at: what is beyond [Limit] is
// cut off.
func Fold(text string) string { return Lower(text[:min(len(text), Limit)]) }

// Lower lowers the letters of a text and leaves every byte offset as it is: a
// letter whose small form has another length stays, and so do bytes that are
// not UTF-8.
func Lower(text string) string {
	if !strings.ContainsFunc(text, func(r rune) bool { return r >= utf8.RuneSelf || 'A' <= r && r <= 'Z' }) {
		return text
	}
	var out strings.Builder
	out.Grow(len(text))
	for i := 0; i < len(text); {
		if b := text[i]; b < utf8.RuneSelf {
			if 'A' <= b && b <= 'Z' {
				b += 'a' - 'A'
			}
			out.WriteByte(b)
			i++
			continue
		}
		r, n := utf8.DecodeRuneInString(text[i:])
		if small := unicode.ToLower(r); n > 1 && utf8.RuneLen(small) == n {
			out.WriteRune(small)
		} else {
			out.WriteString(text[i : i+n])
		}
		i += n
	}
	return out.String()
}
