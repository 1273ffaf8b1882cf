package wording

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"
)

// Names finds the names of many owners in a text in one pass. It is safe for
// concurrent use.
type Names struct {
	byFirst map[string][]name // by the first word of the name
}

type name struct{ text, owner string }

// Hit is one name in a text, Text[Start:End].
type Hit struct {
	Owner      string
	Start, End int
}

// minName is the least length of a name that is looked for, in letters.
const minName = 3

// NewNames makes an empty set of names.
func NewNames() *Names { return &Names{byFirst: map[string][]name{}} }

// Add adds the spellings of one owner. The order of calls does not matter: of
// owners with the same spelling the first by the alphabet is found.
func (n *Names) Add(owner string, spellings ...string) {
	for _, s := range spellings {
		text := Fold(strings.TrimSpace(s))
		if utf8.RuneCountInString(text) < minName {
			continue
		}
		first := text[:wordEnd(text, 0)]
		list := append(n.byFirst[first], name{text, owner})
		slices.SortFunc(list, func(a, b name) int {
			return cmp.Or(len(b.text)-len(a.text), cmp.Compare(a.text, b.text), cmp.Compare(a.owner, b.owner))
		})
		n.byFirst[first] = list
	}
}

// Find lists the names in a text, in order; of several that begin at one place
// the longest.
func (n *Names) Find(text string) []Hit { return n.FindFolded(Fold(text)) }

// FindFolded is Find for a text that Fold has folded.
func (n *Names) FindFolded(folded string) []Hit {
	var hits []Hit
	for at := 0; at < len(folded); {
		r, size := utf8.DecodeRuneInString(folded[at:])
		if !inWord(r) {
			at += size
			continue
		}
		end := wordEnd(folded, at)
		for _, m := range n.byFirst[folded[at:end]] {
			if strings.HasPrefix(folded[at:], m.text) && Boundary(folded, at+len(m.text)) {
				hits = append(hits, Hit{m.owner, at, at + len(m.text)})
				end = max(end, at+len(m.text))
				break
			}
		}
		at = end
	}
	return hits
}

// wordEnd is the end of the word, or of the single sign, that begins at.
func wordEnd(text string, at int) int {
	end := at
	for end < len(text) {
		r, size := utf8.DecodeRuneInString(text[end:])
		if !inWord(r) {
			if end == at {
				return at + size
			}
			break
		}
		end += size
	}
	return end
}
