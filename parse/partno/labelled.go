package partno

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"counterfoil/parse/listing"
)

// tokensAfter gives the numbers that follow a label at an offset of the folded
// text: one, or several with commas, slashes or semicolons between them.
func (s *Search) tokensAfter(at int, spaced bool) []span {
	text := s.text.Folded
	i, ok := s.skipToNumber(at)
	if !ok {
		return nil
	}
	var found []span
	for len(found) < MaxFound {
		end := numberEnd(text, i, spaced)
		if end == i || letterAfter(text, end) {
			break
		}
		found = append(found, span{i, end})
		next := end
		for next < len(text) && strings.ContainsRune(" ,;/|&+", rune(text[next])) {
			next++
		}
		if strings.TrimSpace(text[end:next]) == "" && !spaced || next == end || digits(text[next:min(len(text), next+12)]) < 3 {
			break
		}
		i = next
	}
	return found
}

// skipToNumber passes over what may stand between a label and its number. At
// most two words and little punctuation may.
func (s *Search) skipToNumber(at int) (int, bool) {
	text := s.text.Folded
	i := at
	for range 3 {
		for i < len(text) {
			r, n := utf8.DecodeRuneInString(text[i:])
			if !strings.ContainsRune(" :#=.(-[)\"'*", r) {
				break
			}
			i += n
		}
		if i-at > 24 {
			return 0, false
		}
		m, ok := numberWords.At(s.text, i)
		if !ok {
			break
		}
		i = m.End
	}
	return i, i < len(text) && isAlnum(text[i])
}

// numberEnd gives the end of the number that starts at i. A spaced number is
// one written in short groups ("03x 253 016 t").
func numberEnd(text string, i int, spaced bool) int {
	end := chunkEnd(text, i)
	if !spaced {
		return end
	}
	if style, j := styleAt(text, i, end); style != "" {
		return j
	}
	if end-i > 4 {
		return end
	}
	groups := 1
	for end < len(text) && text[end] == ' ' && end-i < 16 {
		next := chunkEnd(text, end+1)
		size := next - end - 1
		group := text[end+1 : next]
		if size == 0 || size > 6 || letterAfter(text, next) || strings.ContainsAny(group, "./") {
			break
		}
		if digits(group) == 0 && (size > 1 || groups < 2) {
			break
		}
		end = next
		groups++
	}
	return end
}

// chunkEnd gives the end of a run of letters and digits with single joining
// marks inside.
func chunkEnd(text string, i int) int {
	end := i
	for j := i; j < len(text) && j-i < 40; j++ {
		c := text[j]
		switch {
		case isAlnum(c):
			end = j + 1
		case (c == '-' || c == '.' || c == '/' || c == '_') && j == end && j > i:
		default:
			return end
		}
	}
	return end
}

func (s *Search) findSerials() []Candidate {
	var found []Candidate
	for _, m := range s.labels {
		if m.Value != serialNo && m.Value != serialBrief {
			continue
		}
		for k, t := range s.tokensAfter(m.End, false) {
			text := s.text.Folded[t.start:t.end]
			if !serialLike(text) || k > 0 && digits(text) < 4 {
				break
			}
			if m.Value == serialBrief && k == 0 && digits(text) < 4 {
				break
			}
			s.take(t.start, t.end)
			found = append(found, s.candidate(t.start, t.end, ""))
		}
	}
	return distinct(found)
}

// serialLike tells a serial from a word: "serial plate", "serial 2".
func serialLike(text string) bool {
	return len(text) >= 4 && len(text) <= 30 && digits(text) >= 2
}

func (s *Search) findGTINs() []Candidate {
	var found []Candidate
	for _, m := range s.labels {
		if m.Value != gtinLabel {
			continue
		}
		for _, t := range s.tokensAfter(m.End, true) {
			text := strings.NewReplacer(" ", "", "-", "").Replace(s.text.Folded[t.start:t.end])
			if digits(text) != len(text) || !gtinLength(len(text)) {
				break
			}
			s.take(t.start, t.end)
			found = append(found, s.candidate(t.start, t.end, ""))
		}
	}
	text := s.text.Folded
	for i := 0; i < len(text) && len(found) < MaxFound; {
		if !isDigit(text[i]) {
			i++
			continue
		}
		end := i
		for end < len(text) && isDigit(text[end]) {
			end++
		}
		if n := end - i; n >= 12 && n <= 14 && !s.isTaken(i, end) && alone(text, i, end) && !s.afterOther(i) && listing.IsGTIN(text[i:end]) && strings.Trim(text[i:end], "0") != "" {
			s.take(i, end)
			found = append(found, s.candidate(i, end, ""))
		}
		i = end
	}
	return distinct(found)
}

func gtinLength(n int) bool { return n == 8 || n == 12 || n == 13 || n == 14 }

// alone reports that a number is not part of something longer.
func alone(text string, start, end int) bool {
	if start > 0 && strings.ContainsRune("+-./_#@=", rune(text[start-1])) || letterBefore(text, start) {
		return false
	}
	if end < len(text) && strings.ContainsRune("-/_@=%", rune(text[end])) || letterAfter(text, end) {
		return false
	}
	// A full stop ends a sentence, or goes on with decimals.
	return !(end+1 < len(text) && text[end] == '.' && isAlnum(text[end+1]))
}

// afterOther reports that the number at an offset follows a label of another
// kind, such as "tel".
func (s *Search) afterOther(at int) bool {
	for _, m := range s.labels {
		if m.Value != otherLabel || m.End > at || at-m.End > 24 {
			continue
		}
		between := s.text.Folded[m.End:at]
		if strings.IndexFunc(between, unicode.IsLetter) < 0 {
			return true
		}
	}
	return false
}

func distinct(list []Candidate) []Candidate {
	if len(list) < 2 {
		return list
	}
	var kept []Candidate
	for _, c := range list {
		if !containsCanonical(kept, c.Canonical) {
			kept = append(kept, c)
		}
	}
	return kept
}

func containsCanonical(list []Candidate, canonical string) bool {
	for _, c := range list {
		if c.Canonical == canonical {
			return true
		}
	}
	return false
}
