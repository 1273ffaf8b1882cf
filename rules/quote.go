package rules

import (
	"strings"
	"unicode/utf8"
)

// around gives the part of text with the first occurrence of word, letter case
// apart, and up to margin bytes on each side, cut at blanks. Without an
// occurrence it gives the beginning of the text.
func around(text, word string, margin int) string {
	at, end := -1, 0
	for i := range text {
		if j := i + len(word); j <= len(text) && strings.EqualFold(text[i:j], word) {
			at, end = i, j
			break
		}
	}
	if at < 0 {
		at, end = 0, 0
	}
	from, to := max(at-margin, 0), min(end+margin, len(text))
	if from > 0 {
		if i := strings.IndexByte(text[from:at], ' '); i >= 0 {
			from += i + 1
		}
	}
	if to < len(text) {
		if i := strings.LastIndexByte(text[end:to], ' '); i >= 0 {
			to = end + i
		}
	}
	for from > 0 && !utf8.RuneStart(text[from]) {
		from--
	}
	for to < len(text) && !utf8.RuneStart(text[to]) {
		to++
	}
	return text[from:to]
}
