package money

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
)

// scanned is a price text cut into what matters. All offsets are in clean.
type scanned struct {
	clean      string
	numbers    []number
	currencies []currencyHit
	words      []wordHit
	known      []bool // bytes that belong to a currency or a known word
}

type wordHit struct {
	word
	start, end int
}

func scan(text string) *scanned {
	s := &scanned{clean: clean(text)}
	s.known = make([]bool, len(s.clean))
	s.numbers = findNumbers(s.clean)
	folded := phrase.Fold(s.clean)
	for _, m := range priceWords.All(folded) {
		i, j := folded.Span(m.Start, m.End)
		s.words = append(s.words, wordHit{m.Value, i, j})
		s.mark(i, j)
	}
	s.currencies = s.attachable(findCurrencies(s.clean))
	for _, c := range s.currencies {
		s.mark(c.start, c.end)
	}
	return s
}

func (s *scanned) mark(i, j int) {
	for ; i < j; i++ {
		s.known[i] = true
	}
}

// attachable drops the weak hits, which are currencies only beside a number,
// unless they stand there and nothing stronger does anywhere.
func (s *scanned) attachable(hits []currencyHit) []currencyHit {
	strong := false
	for _, c := range hits {
		strong = strong || !c.weak
	}
	var kept []currencyHit
	for _, c := range hits {
		if !c.weak || !strong && s.besideNumber(c) {
			kept = append(kept, c)
		}
	}
	return kept
}

func (s *scanned) besideNumber(c currencyHit) bool {
	for i := range s.numbers {
		n := &s.numbers[i]
		if s.leads(c.end, n.start) || s.trails(n.end, c.start) {
			return true
		}
	}
	return false
}

// leads reports that a currency that ends at i belongs to the number at j:
// "EUR: 5".
func (s *scanned) leads(i, j int) bool {
	return i <= j && j-i <= 4 && strings.Trim(s.clean[i:j], " :=.") == ""
}

// trails reports that a currency at j belongs to the number that ends at i:
// "5,- EUR".
func (s *scanned) trails(i, j int) bool {
	return i <= j && j-i <= 4 && strings.Trim(s.clean[i:j], " .,-") == ""
}

// readWords takes kind, tax and unit from the words of the text.
func (s *scanned) readWords(p *Price) {
	for _, w := range s.words {
		switch w.word {
		case from:
			p.Kind = listing.PriceFrom
		case upTo:
			p.doubt(UpperBound)
		case bid:
			p.Kind = listing.PriceBid
		case request:
			if len(s.numbers) == 0 {
				p.Kind = listing.PriceRequest
			}
		case taxIncluded:
			p.Tax = listing.TaxIncluded
		case taxExcluded:
			p.Tax = listing.TaxExcluded
		case perUnit:
			p.PerUnit = true
		case instalment:
			p.doubt(Instalment)
		}
	}
}

// choose picks the amount that is the price, and the upper end of a range.
func (s *scanned) choose(p *Price) (main, high *number, err error) {
	if p.Kind == listing.PriceRequest {
		return nil, nil, nil
	}
	good := s.usable()
	if len(good) == 0 {
		return nil, nil, s.noAmount()
	}
	if a, b := s.findRange(good); a != nil {
		return a, b, nil
	}
	var attached []*number
	for _, n := range good {
		if len(s.currenciesOf(n)) > 0 {
			attached = append(attached, n)
		}
	}
	if len(attached) == 0 {
		if w := s.unknownWord(); w != "" {
			return nil, nil, fmt.Errorf("%q is no part of a price", w)
		}
		attached = good
	}
	main = s.pick(p, attached)
	if p.Has(SeveralAmounts) && len(s.currenciesOf(main)) == 0 {
		return nil, nil, errors.New("several numbers and no currency")
	}
	if s.numberBeside(main) {
		p.doubt(SeveralAmounts)
	}
	if s.negative(main) {
		return nil, nil, fmt.Errorf("%q is a negative amount", strings.TrimSpace(s.clean))
	}
	s.unitOf(p, main)
	return main, nil, nil
}

// usable lists the numbers that may be amounts: no percentages, no counts, and
// none with a letter or a digit group hanging on it.
func (s *scanned) usable() []*number {
	var good []*number
	for i := range s.numbers {
		n := &s.numbers[i]
		if s.glued(n) || s.isCount(n) || s.percent(n) {
			continue
		}
		good = append(good, n)
	}
	return good
}

// glued reports whether an unknown letter touches the number, as in "12,5O".
func (s *scanned) glued(n *number) bool {
	before, k := utf8.DecodeLastRuneInString(s.clean[:n.start])
	if touches(before) && !s.known[n.start-k] {
		return true
	}
	end := n.end
	if strings.HasPrefix(s.clean[end:], ".") { // "1700." at the end of a sentence
		end++
		if end == len(s.clean) || s.clean[end] == ' ' || s.clean[end] == '-' {
			return false
		}
	}
	after, _ := utf8.DecodeRuneInString(s.clean[end:])
	return touches(after) && !s.known[end]
}

func touches(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsNumber(r) || strings.ContainsRune("_#.'", r))
}

// isCount reports a number such as the 12 of "12x" or the 2 of "/ 2 pcs".
func (s *scanned) isCount(n *number) bool {
	if len(n.text) > 3 || strings.ContainsAny(n.text, ".,' ") {
		return false
	}
	for _, w := range s.words {
		if w.start >= n.end && strings.TrimSpace(s.clean[n.end:w.start]) == "" && (w.word == times || w.word == pieces) {
			return true
		}
	}
	return false
}

func (s *scanned) noAmount() error {
	for i := range s.numbers {
		if n := &s.numbers[i]; s.glued(n) {
			return fmt.Errorf("%q is not a number", s.wordAround(n.start, n.end))
		}
	}
	return ErrNoAmount
}

func (s *scanned) wordAround(i, j int) string {
	if k := strings.LastIndexByte(s.clean[:i], ' '); k >= 0 {
		i = k + 1
	} else {
		i = 0
	}
	if k := strings.IndexByte(s.clean[j:], ' '); k >= 0 {
		j += k
	} else {
		j = len(s.clean)
	}
	return listing.Shorten(s.clean[i:j], 40)
}

// findRange finds two amounts with nothing but a range word or dash and
// currencies between them.
func (s *scanned) findRange(good []*number) (low, high *number) {
	for i := 0; i+1 < len(good); i++ {
		a, b := good[i], good[i+1]
		priced := len(s.currenciesOf(a))+len(s.currenciesOf(b)) > 0
		if !priced && (len(s.numbers) > 2 || s.unknownWord() != "") || !s.rangeBetween(a.end, b.start) {
			continue
		}
		x, _, errA := a.value(separatorHint{digits: -1})
		y, _, errB := b.value(separatorHint{digits: -1})
		if errA == nil && errB == nil && less(x, y) {
			return a, b
		}
	}
	return nil, nil
}

func (s *scanned) rangeBetween(i, j int) bool {
	rest := []byte(s.clean[i:j])
	blank := func(a, b int) {
		for k := max(a, i); k < min(b, j); k++ {
			rest[k-i] = ' '
		}
	}
	for _, c := range s.currencies {
		blank(c.start, c.end)
	}
	joined := false
	for _, w := range s.words {
		if w.word == to && w.start >= i && w.end <= j {
			joined = true
			blank(w.start, w.end)
		}
	}
	between := strings.TrimSpace(string(rest))
	return joined && between == "" || !joined && (between == "-" || between == "~" || between == "～")
}

// pick chooses among several amounts by the words before them.
func (s *scanned) pick(p *Price, amounts []*number) *number {
	var left []*number
	for _, n := range amounts {
		switch s.labelBefore(n) {
		case now:
			return n
		case was:
			continue
		}
		if s.otherUnit(n) || s.converted(n, amounts[0]) {
			continue
		}
		left = append(left, n)
	}
	if len(left) == 0 {
		left = amounts
	}
	for _, n := range left[1:] {
		if n.text != left[0].text {
			p.doubt(SeveralAmounts)
		}
	}
	if s.otherUnit(left[0]) {
		p.doubt(OtherUnit)
	}
	return left[0]
}

// labelBefore gives the last 'was' or 'now' between the number and the one
// before it.
func (s *scanned) labelBefore(n *number) word {
	label := none
	for _, w := range s.words {
		if (w.word == was || w.word == now) && w.end <= n.start && !s.numberBetween(w.end, n.start) {
			label = w.word
		}
	}
	return label
}

func (s *scanned) numberBetween(i, j int) bool {
	for k := range s.numbers {
		if s.numbers[k].start >= i && s.numbers[k].end <= j {
			return true
		}
	}
	return false
}

// otherUnit reports an amount for a measure: "599,00 EUR pro Kilogramm".
func (s *scanned) otherUnit(n *number) bool {
	for _, w := range s.words {
		if w.word == perOther && w.start >= n.end && !s.numberBetween(n.end, w.start) {
			return true
		}
	}
	return false
}

// converted reports an amount in brackets in another currency than the first.
func (s *scanned) converted(n, first *number) bool {
	if n == first || strings.Count(s.clean[:n.start], "(") <= strings.Count(s.clean[:n.start], ")") {
		return false
	}
	a, b := s.currenciesOf(first), s.currenciesOf(n)
	return len(a) > 0 && len(b) > 0 && a[0].text != b[0].text
}

// numberBeside reports a further number with only space between it and the
// price with its currency, as in "1250€ 60".
func (s *scanned) numberBeside(main *number) bool {
	start, end := main.start, main.end
	for _, c := range s.currenciesOf(main) {
		start, end = min(start, c.start), max(end, c.end)
	}
	for i := range s.numbers {
		n := &s.numbers[i]
		if n == main || len(s.currenciesOf(n)) > 0 || s.isCount(n) || s.percent(n) {
			continue
		}
		if n.start >= end && strings.TrimSpace(s.clean[end:n.start]) == "" ||
			n.end <= start && strings.TrimSpace(s.clean[n.end:start]) == "" {
			return true
		}
	}
	return false
}

func (s *scanned) percent(n *number) bool {
	return strings.HasPrefix(strings.TrimLeft(s.clean[n.end:], " "), "%")
}

func (s *scanned) negative(n *number) bool {
	start := n.start
	for _, c := range s.currenciesOf(n) {
		if c.end <= n.start {
			start = min(start, c.start)
		}
	}
	whole := strings.TrimSpace(s.clean)
	if strings.HasPrefix(whole, "(") && strings.HasSuffix(whole, ")") && len(s.numbers) == 1 && s.unknownWord() == "" && len(s.words) == 0 {
		return true // an accountant's minus
	}
	for _, i := range []int{n.start, start} {
		before := s.clean[:i]
		if strings.HasSuffix(before, "-") && !strings.HasSuffix(before, "--") {
			head := strings.TrimSuffix(before, "-")
			last, _ := utf8.DecodeLastRuneInString(head)
			if head == "" || !unicode.IsLetter(last) && !unicode.IsDigit(last) {
				return true
			}
		}
	}
	return false
}

// unitOf reads "12x" before the price, and "/ 2 pcs" after it.
func (s *scanned) unitOf(p *Price, main *number) {
	for i := range s.numbers {
		n := &s.numbers[i]
		if n == main || !s.isCount(n) {
			continue
		}
		if n.end <= main.start && !s.numberBetween(n.end, main.start) && s.wordFollows(n, times) {
			p.doubt(Instalment)
		}
		if n.start >= main.end && s.wordFollows(n, pieces) && strings.Contains(s.clean[main.end:n.start], "/") {
			p.Lot = atoi(n.text)
		}
	}
}

func (s *scanned) wordFollows(n *number, kind word) bool {
	for _, w := range s.words {
		if w.word == kind && w.start >= n.end && strings.TrimSpace(s.clean[n.end:w.start]) == "" {
			return true
		}
	}
	return false
}

func atoi(digits string) int {
	n := 0
	for _, d := range digits {
		n = n*10 + int(d-'0')
	}
	return n
}

// unknownWord gives the first word of the text that is neither a currency nor
// a known word about prices.
func (s *scanned) unknownWord() string {
	for i, r := range s.clean {
		if unicode.IsLetter(r) && !s.known[i] {
			return s.wordAround(i, i)
		}
	}
	return ""
}
