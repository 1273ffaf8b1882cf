package money

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"counterfoil/parse/listing"
)

// currencyHit is a currency written in a text.
type currencyHit struct {
	symbol
	start, end int
}

// Currency finds the currency that a text names: a code, a sign or a word. It
// gives "" as code when the text may mean several currencies, which are then
// listed, or one that ISO 4217 does not list; text is "" when none is named.
func Currency(text string, h Hints) (code, symbolText string, candidates []string) {
	if len(text) > MaxLength {
		return "", "", nil
	}
	hit, ok := namedCurrency(clean(text))
	if !ok {
		return "", "", nil
	}
	code, candidates = hit.decide(h)
	return code, hit.text, candidates
}

// namedCurrency finds the currency of a text that need not hold a number. A
// weak word such as "lei" counts only when it is the whole text.
func namedCurrency(text string) (currencyHit, bool) {
	if hit, ok := shortSigns()[text]; ok {
		return hit, true
	}
	hits := findCurrencies(text)
	for _, c := range hits {
		if !c.weak || strings.Trim(text[:c.start]+text[c.end:], " .:()") == "" {
			return c, true
		}
	}
	return currencyHit{}, false
}

// findCurrencies finds all currencies of a clean text, the longest at each
// place.
func findCurrencies(text string) []currencyHit {
	var hits []currencyHit
	var before rune
	for i := 0; i < len(text); {
		r, n := rune(text[i]), 1
		if r >= utf8.RuneSelf {
			r, n = utf8.DecodeRuneInString(text[i:])
		} else if !startsCurrency[r] || asciiLetter(r) && unicode.IsLetter(before) {
			before = r
			i++
			continue
		}
		if c, ok := currencyAt(text, i, before, r); ok {
			hits = append(hits, c)
			before, _ = utf8.DecodeLastRuneInString(text[:c.end])
			i = c.end
			continue
		}
		before = r
		i += n
	}
	return mergeHits(text, hits)
}

// startsCurrency tells the ASCII characters with which a symbol or a code may
// start.
var startsCurrency = func() (t [utf8.RuneSelf]bool) {
	for r := range t {
		t[r] = asciiLetter(rune(r)) || len(symbolsByFirst[rune(r)]) > 0
	}
	return t
}()

func asciiLetter(r rune) bool { return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' }

func currencyAt(text string, i int, before, first rune) (currencyHit, bool) {
	for _, sym := range symbolsByFirst[first] {
		if !strings.HasPrefix(text[i:], sym.text) {
			continue
		}
		end := i + len(sym.text)
		if unicode.IsLetter(first) && unicode.IsLetter(before) {
			continue
		}
		last, _ := utf8.DecodeLastRuneInString(sym.text)
		next, _ := utf8.DecodeRuneInString(text[end:])
		if sym.stem {
			for unicode.IsLetter(next) {
				end += utf8.RuneLen(next)
				next, _ = utf8.DecodeRuneInString(text[end:])
			}
		} else if unicode.IsLetter(last) && unicode.IsLetter(next) && !unicode.Is(unicode.Han, last) {
			continue
		}
		return currencyHit{sym, i, end}, true
	}
	return isoCodeAt(text, i, before)
}

// isoCodeAt reads three letters that are an ISO 4217 code; in small letters
// they may be a word ("all", "top") and are weak.
func isoCodeAt(text string, i int, before rune) (currencyHit, bool) {
	end := i + 3
	if end > len(text) || unicode.IsLetter(before) {
		return currencyHit{}, false
	}
	for k := i; k < end; k++ {
		if !asciiLetter(rune(text[k])) {
			return currencyHit{}, false
		}
	}
	if next, _ := utf8.DecodeRuneInString(text[end:]); unicode.IsLetter(next) {
		return currencyHit{}, false
	}
	written := text[i:end]
	code := strings.ToUpper(written)
	if _, ok := listing.MinorUnits(code); !ok {
		return currencyHit{}, false
	}
	return currencyHit{symbol{text: written, codes: []string{code}, weak: written != code}, i, end}, true
}

// mergeHits joins a code and a sign that stand together ("SGD$", "USD $").
func mergeHits(text string, hits []currencyHit) []currencyHit {
	var merged []currencyHit
	for _, c := range hits {
		k := len(merged) - 1
		if k < 0 || strings.TrimSuffix(text[merged[k].end:c.start], " ") != "" || len(common(merged[k].codes, c.codes)) == 0 {
			merged = append(merged, c)
			continue
		}
		if len(c.codes) == 1 && len(merged[k].codes) != 1 {
			merged[k].symbol = c.symbol
		}
		merged[k].end = c.end
	}
	return merged
}

func common(a, b []string) []string {
	var both []string
	for _, c := range a {
		if slices.Contains(b, c) {
			both = append(both, c)
		}
	}
	return both
}

// currenciesOf lists the currencies that belong to the number. One that stands
// between two numbers belongs to the right one if the text puts currencies
// first.
func (s *scanned) currenciesOf(n *number) []currencyHit {
	first := len(s.currencies) > 0 && len(s.numbers) > 0 && s.currencies[0].start < s.numbers[0].start
	var own []currencyHit
	for _, c := range s.currencies {
		left, right := s.neighbours(c)
		if left != nil && right != nil {
			if first {
				left = nil
			} else {
				right = nil
			}
		}
		inside := c.start >= n.start && c.end <= n.end // "1250€60"
		if inside || sameNumber(left, n) || sameNumber(right, n) {
			own = append(own, c)
		}
	}
	return own
}

func sameNumber(a, b *number) bool { return a != nil && a.start == b.start }

func (s *scanned) neighbours(c currencyHit) (left, right *number) {
	for i := range s.numbers {
		n := &s.numbers[i]
		switch {
		case s.trails(n.end, c.start):
			left = n
		case right == nil && s.leads(c.end, n.start):
			right = n
		}
	}
	return left, right
}

// setCurrency decides the currency of the price: that of the chosen amount,
// else the only one of the text, else that of the other field's text.
func (s *scanned) setCurrency(p *Price, main *number, h Hints) {
	hit, ok := s.currencyOf(main)
	if !ok {
		if h.CurrencyText == "" || len(h.CurrencyText) > MaxLength {
			return
		}
		if hit, ok = namedCurrency(clean(h.CurrencyText)); !ok {
			return
		}
	}
	p.CurrencyText = hit.text
	p.Currency, p.Candidates = hit.decide(h)
	p.Ambiguous = p.Currency == "" && len(p.Candidates) > 0
}

func (s *scanned) currencyOf(main *number) (currencyHit, bool) {
	hits := s.currencies
	if main != nil {
		if own := s.currenciesOf(main); len(own) > 0 {
			hits = own
		} else if !sameCurrency(hits) {
			return currencyHit{}, false
		}
	}
	if len(hits) == 0 {
		return currencyHit{}, false
	}
	// "$4.00 USD" and "￥1280元": what all of them may mean counts.
	hit := hits[0]
	for _, c := range hits[1:] {
		both := common(hit.codes, c.codes)
		if len(both) == 0 && c.text != hit.text {
			hit.codes, hit.usual = slices.Concat(hit.codes, c.codes), false
			return hit, true
		}
		if len(c.codes) == 1 {
			hit = c
		}
		hit.codes = both
	}
	return hit, true
}

func sameCurrency(hits []currencyHit) bool {
	for _, c := range hits {
		if c.text != hits[0].text {
			return false
		}
	}
	return true
}

// decide gives the code of a symbol, or the candidates when no hint tells
// which one is meant.
func (s symbol) decide(h Hints) (code string, candidates []string) {
	if len(s.codes) == 0 {
		return "", nil
	}
	if len(s.codes) == 1 {
		return s.codes[0], nil
	}
	if slices.Contains(s.codes, h.Currency) {
		return h.Currency, nil
	}
	if other, ok := namedCurrency(clean(h.CurrencyText)); ok && len(other.codes) == 1 && slices.Contains(s.codes, other.codes[0]) {
		return other.codes[0], nil
	}
	for _, c := range []string{currencyOfHost(h.Host), currencyOfLanguage(h.Language)} {
		if c != "" && slices.Contains(s.codes, c) {
			return c, nil
		}
	}
	if s.usual {
		return s.codes[0], nil
	}
	return "", s.codes
}

func currencyOfHost(host string) string {
	i := strings.LastIndexByte(strings.TrimSuffix(host, "."), '.')
	if i < 0 {
		return ""
	}
	tld := strings.ToUpper(strings.TrimSuffix(host[i+1:], "."))
	if tld == "UK" {
		tld = "GB"
	}
	return currencyOfCountry[tld]
}

func currencyOfLanguage(tag string) string {
	language, region, found := strings.Cut(strings.ReplaceAll(tag, "_", "-"), "-")
	if found {
		if i := strings.LastIndexByte(region, '-'); i >= 0 {
			region = region[i+1:]
		}
		if c := currencyOfCountry[strings.ToUpper(region)]; c != "" {
			return c
		}
	}
	return currencyOfSoleCountry[strings.ToLower(language)]
}
