package compare

import (
	"unicode"
	"unicode/utf8"
)

const (
	diffLimit = 64 << 10 // bytes of a text that are compared
	margin    = 3        // words of context around what differs
)

// difference gives the part of each text outside the words that both begin with
// and both end with, with a few words of context. Both parts are exact pieces of
// the texts; "" when nothing but white space differs.
func difference(old, new string) (oldPart, newPart string) {
	a, b := words(old), words(new)
	word := func(s string, w span) string { return s[w.from:w.to] }
	head := 0
	for head < len(a) && head < len(b) && word(old, a[head]) == word(new, b[head]) {
		head++
	}
	tail := 0
	for tail < len(a)-head && tail < len(b)-head && word(old, a[len(a)-1-tail]) == word(new, b[len(b)-1-tail]) {
		tail++
	}
	if head == len(a) && head == len(b) {
		return "", ""
	}
	return excerpt(old, a, head, tail), excerpt(new, b, head, tail)
}

// span is a word's byte range.
type span struct{ from, to int }

// words cuts a text at white space; in scripts without it, each character is a
// word.
func words(s string) []span {
	var list []span
	start := -1
	end := func(at int) {
		if start >= 0 {
			list = append(list, span{start, at})
			start = -1
		}
	}
	for i, r := range s {
		switch {
		case i >= diffLimit:
			end(i)
			return list
		case unicode.IsSpace(r):
			end(i)
		case unicode.Is(unicode.Han, r):
			end(i)
			list = append(list, span{i, i + utf8.RuneLen(r)})
		case start < 0:
			start = i
		}
	}
	end(len(s))
	return list
}

func excerpt(s string, list []span, head, tail int) string {
	from, to := max(head-margin, 0), min(len(list)-tail+margin, len(list))
	if from >= to {
		return ""
	}
	return s[list[from].from:list[to-1].to]
}
