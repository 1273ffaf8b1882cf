package texts

import (
	"strings"
	"unicode/utf8"
)

// maxWords bounds the words of a text in which a shared passage is sought.
const maxWords = 3000

// Passage is a run of words that two texts share. Offsets are bytes in the raw
// texts, half-open.
type Passage struct {
	QuoteA, QuoteB string // a[StartA:EndA] and b[StartB:EndB], exactly
	StartA, EndA   int
	StartB, EndB   int
	Words          int // in a script without word spaces: characters
}

// word is a word of a raw text.
type word struct {
	hash       uint64
	start, end int
}

// SharedPassage finds the longest run of words that two texts share, the first
// one in a among equals. Letter case, width and what stands between the words do
// not count; numbers count as they are. Only the first 3,000 words of each text
// are compared. ok is false when they share no word.
func SharedPassage(a, b string) (p Passage, ok bool) {
	wa, wb := words(a), words(b)
	length := make([]int32, len(wb)+1) // of the run that ends at wa[i], wb[j-1]
	best, endA, endB := int32(0), 0, 0
	for i := range wa {
		for j := len(wb); j > 0; j-- {
			if wa[i].hash != wb[j-1].hash {
				length[j] = 0
				continue
			}
			length[j] = length[j-1] + 1
			if length[j] > best {
				best, endA, endB = length[j], i, j-1
			} else if length[j] == best && endA == i {
				endB = j - 1 // the first place in b
			}
		}
	}
	if best == 0 {
		return Passage{}, false
	}
	p.Words = int(best)
	p.StartA, p.EndA = wa[endA-p.Words+1].start, wa[endA].end
	p.StartB, p.EndB = wb[endB-p.Words+1].start, wb[endB].end
	p.QuoteA, p.QuoteB = a[p.StartA:p.EndA], b[p.StartB:p.EndB]
	return p, true
}

// words cuts a raw text into words without changing offsets.
func words(s string) []word {
	var f folder
	f.keepNumbers = true
	var out []word
	start := -1
	add := func(from, to int) {
		f.fold(s[from:to])
		h := uint64(len(f.tokens))
		for _, t := range f.tokens {
			h = mix(h*fnvPrime + t.hash)
		}
		out = append(out, word{h, from, to})
	}
	for i, r := range s {
		if len(out) >= maxWords {
			return out
		}
		kind := kindOf(r)
		if start >= 0 && (kind == gap || kind == unspaced) {
			add(start, i)
			start = -1
		}
		switch {
		case kind == unspaced:
			add(i, i+utf8.RuneLen(r))
		case kind != gap && start < 0:
			start = i
		}
	}
	if start >= 0 && len(out) < maxWords {
		add(start, len(s))
	}
	return out
}

// cutPassage shortens a quote to at most n characters, at the end of a word
// where there is one.
func cutPassage(s string, n int) string {
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	s = string([]rune(s)[:n])
	if i := strings.LastIndexAny(s, " \t\r\n\u00a0"); i > 0 {
		s = s[:i]
	}
	return strings.TrimSpace(s)
}
