package partno

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
)

// A phone number with its national 1 goes on with 2 to 9 (North American
// Numbering Plan), one with a trunk prefix starts with 0: neither is taken for
// eleven digits.
//
// The styles as they stand in one chunk of the folded text. Number styles:
// parts-shop guides; frame form: common practice, no source.
var (
	sixFour  = regexp.MustCompile(`^[0-9]{6}-[0-9]{1,4}[a-z]{0,2}$`)
	fiveFive = regexp.MustCompile(`^[0-9]{2}[0-9a-z][0-9]{2}-[0-9]{5}[a-z]?$`)
	eleven   = regexp.MustCompile(`^(?:(?:[2-9][0-9]|1[01])[0-9]{9}|[2-9][0-9]{3}-[0-9]{3}-[0-9]{4})$`)
	frame    = regexp.MustCompile(`^[a-z]{1,4}[0-9]{2,4}[a-z]{0,3}-(?:[0-9]{3,4}[a-z]{0,3}|[0-9]{2}[a-z]{1,3})$`)
)

// standards are prefixes of published standards, whose numbers look like the
// frame form.
var standards = []string{"iso", "din", "en", "sae", "ts", "ece", "astm", "iatf", "jis", "gb", "euro"}

func (s *Search) findNumbers() []Candidate {
	var found []Candidate
	for _, m := range s.labels {
		switch m.Value {
		case partLabel:
			found = append(found, s.afterLabel(m.End, Labelled)...)
		case oeLabel:
			found = append(found, s.afterLabel(m.End, OE)...)
		}
	}
	found = append(found, s.byStyle()...)
	slices.SortStableFunc(found, func(a, b Candidate) int { return cmp.Compare(a.Start, b.Start) })
	return distinct(found)
}

func (s *Search) afterLabel(at int, style Style) []Candidate {
	var found []Candidate
	for _, t := range s.tokensAfter(at, true) {
		text := s.text.Folded[t.start:t.end]
		if s.isTaken(t.start, t.end) || !numberLike(text) || priced(s.text.Folded, t.start, t.end) {
			break
		}
		own := style
		if style == Labelled {
			if known := styleOf(text); known != "" {
				own = known
			}
		}
		s.take(t.start, t.end)
		found = append(found, s.candidate(t.start, t.end, own))
	}
	return found
}

// numberLike tells a part number from words, years and sizes.
func numberLike(text string) bool {
	n := digits(text)
	if n < 3 || len(text) < 5 || len(text) > 30 {
		return false
	}
	return !dimension.MatchString(text)
}

var dimension = regexp.MustCompile(`^[0-9.]{1,5}(?:x[0-9.]{1,5})+[a-z]{0,2}$|^[0-9.]+(?:mm|cm|kw|ps|hp|ccm|cc|kg|km|nm|bar|v|w|l|h)$|^(?:19|20)[0-9]{2}[-/](?:19|20)?[0-9]{2}$|^[0-9]{1,2}[./-][0-9]{1,2}[./-](?:19|20)?[0-9]{2}$|^(?:19|20)[0-9]{2}-[0-9]{2}-[0-9]{2}$`)

// byStyle finds numbers of a known style without a label.
func (s *Search) byStyle() []Candidate {
	text := s.text.Folded
	var found []Candidate
	for i := 0; i < len(text) && len(found) < MaxFound; {
		if !isAlnum(text[i]) || letterBefore(text, i) {
			i++
			continue
		}
		end := chunkEnd(text, i)
		if digits(text[i:end]) >= 4 {
			if list := s.slashed(i, end); list != nil {
				found = append(found, list...)
				i = end
				continue
			}
			style, j := styleAt(text, i, end)
			if style != "" && !s.isTaken(i, j) && alone(text, i, j) && !s.afterOther(i) && !priced(text, i, j) {
				s.take(i, j)
				found = append(found, s.candidate(i, j, style))
				end = j
			}
		}
		i = max(end, i+1)
	}
	return found
}

// slashed cuts "123456-0001/123456-0002" when all its parts are numbers of a
// known style.
func (s *Search) slashed(start, end int) []Candidate {
	text := s.text.Folded
	if !strings.Contains(text[start:end], "/") || !alone(text, start, end) || s.isTaken(start, end) || s.afterOther(start) {
		return nil
	}
	var list []Candidate
	at := start
	for part := range strings.SplitSeq(text[start:end], "/") {
		style := styleOf(part)
		if style == "" {
			return nil
		}
		list = append(list, s.candidate(at, at+len(part), style))
		at += len(part) + 1
	}
	s.take(start, end)
	return list
}

// styleAt gives the style of the number at i and where it ends; groups with a
// space between them count as one number when their sizes fit a style.
func styleAt(text string, i, end int) (Style, int) {
	if style := styleOf(text[i:end]); style != "" {
		return style, end
	}
	for _, form := range spacedForms {
		j, ok := i, true
		for k, size := range form.sizes {
			if k > 0 {
				if j >= len(text) || text[j] != ' ' {
					ok = false
					break
				}
				j++
			}
			if !digitGroup(text, j, size) {
				ok = false
				break
			}
			j += size
		}
		if ok && !(form.style == Eleven && text[i] < '2') {
			return form.style, j
		}
	}
	return "", end
}

var spacedForms = []struct {
	style Style
	sizes []int
}{
	{SixFour, []int{6, 4}},
	{FiveFive, []int{5, 5}},
	{Eleven, []int{4, 3, 4}},
}

func digitGroup(text string, i, size int) bool {
	if i+size > len(text) || digits(text[i:i+size]) != size {
		return false
	}
	return i+size == len(text) || !isAlnum(text[i+size])
}

func styleOf(chunk string) Style {
	switch {
	case sixFour.MatchString(chunk):
		return SixFour
	case fiveFive.MatchString(chunk):
		return FiveFive
	case eleven.MatchString(chunk):
		return Eleven
	case isFrame(chunk):
		return Frame
	}
	return ""
}

func isFrame(chunk string) bool {
	if !frame.MatchString(chunk) {
		return false
	}
	head, tail, _ := strings.Cut(chunk, "-")
	if year(tail) {
		return false
	}
	letters := head[:strings.IndexAny(head, "0123456789")]
	return !slices.Contains(standards, letters)
}

func year(s string) bool {
	return len(s) == 4 && digits(s) == 4 && (strings.HasPrefix(s, "19") || strings.HasPrefix(s, "20"))
}

// priced reports a currency right before or behind the number.
func priced(text string, start, end int) bool {
	before := strings.TrimRight(text[:start], " ")
	after := strings.TrimLeft(text[end:], " ")
	for _, c := range []string{"€", "$", "£", "¥", "₽", "eur", "usd", "gbp", "pln", "zl", "rub", "руб", "cny", "rmb", "元"} {
		if strings.HasPrefix(after, c) || strings.HasSuffix(before, c) {
			return true
		}
	}
	return false
}
