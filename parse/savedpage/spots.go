package savedpage

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"

	"counterfoil/parse/listing"
	"counterfoil/parse/money"
)

// spot is a place of the page where a sum of money is shown.
type spot struct {
	i        int32 // the smallest element that holds number and currency
	text     string
	amount   float64
	currency bool // a currency stands in the text
	m        mark // what the names around it say
	block    int32
	group    int32 // the parent of the repeated blocks it belongs to, -1 when none
	alone    bool  // of the element, it takes up no more than one text
	pair     bool  // the family has two members only: not counted as repeated
	score    int
	was      bool
}

// repeated reports whether the sum stands in one of three or more blocks alike.
func (s *spot) repeated() bool { return s.group >= 0 && !s.pair }

const (
	maxSpots    = 3000
	maxSpotText = 60
	maxLetters  = 15 // in the text around a number that is still one price
)

// spots finds every sum of money that a reader sees.
func (r *reader) spots() []spot {
	p := r.p
	var out []spot
	last := int32(-1) // what the last sum takes up
	for k, i := range p.texts {
		x := &p.nodes[i]
		if x.ctx&notShown != 0 || len(x.n.Data) > 200 || !hasDigit(x.n.Data) || !r.mayBePrice(k) || p.noPriceAt(k) || p.centsOf(k) {
			continue
		}
		s, ok := r.spotAt(i)
		takes := s.i
		if s.alone {
			takes = i
		}
		if !ok || last >= 0 && (p.contains(last, takes) || p.contains(takes, last)) {
			continue
		}
		if out = append(out, s); len(out) >= maxSpots {
			break
		}
		last = takes
	}
	return out
}

// notShown are parts of a page in which no sum is looked for.
const notShown = noText | hidden | ariaHidden | crumbs | chrome

// mayBePrice is a cheap test before spotAt of the k-th text: a currency stands
// nearby, or a name around the text says price.
func (r *reader) mayBePrice(k int) bool {
	p := r.p
	i := p.texts[k]
	for ; k >= 0 && i-p.texts[k] <= 6; k-- {
		if x := &p.nodes[p.texts[k]]; x.ctx&notShown == 0 && mayNameCurrency(x.n.Data) {
			return true
		}
	}
	for j, up := p.nodes[i].parent, 0; up < 4 && j > 0; j, up = p.nodes[j].parent, up+1 {
		if p.nodes[j].own&(priceName|salePrice|oldPrice) != 0 {
			return true
		}
	}
	for j := i + 1; j < int32(len(p.nodes)) && j <= i+6; j++ {
		if n := p.nodes[j].n; n.Type == html.TextNode && len(n.Data) < 60 && mayNameCurrency(n.Data) {
			return true
		}
	}
	return false
}

// mayNameCurrency looks at the first letters of words only.
func mayNameCurrency(s string) bool {
	if len(s) > 100 {
		return false
	}
	letter := false
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c >= 0x80 || c == '$' {
			return true
		}
		is := 'a' <= c|0x20 && c|0x20 <= 'z'
		if is && !letter {
			end := i
			for end < len(s) && 'a' <= s[end]|0x20 && s[end]|0x20 <= 'z' {
				end++
			}
			if (end == len(s) || s[end] < 0x80) && isCurrencyWord(s[i:end]) {
				return true
			}
			i = end - 1
		}
		letter = is
	}
	return false
}

// noPriceAt is another one, for names of items: a text with more letters than
// spotAt lets stand around a number, which names no currency and is all that the
// two elements around it hold, neither of them named price.
func (p *page) noPriceAt(k int) bool {
	i := p.texts[k]
	text := p.nodes[i].n.Data
	if len(text) <= maxLetters || len(text) > maxSpotText || namesCurrency(text) || letters(text) <= maxLetters {
		return false
	}
	inner := p.nodes[i].parent
	outer := p.nodes[max(inner, 0)].parent
	if outer < 0 || (p.nodes[inner].own|p.nodes[outer].own)&(priceName|salePrice|oldPrice) != 0 {
		return false
	}
	return (k == 0 || p.texts[k-1] < outer) && (k+1 == len(p.texts) || p.texts[k+1] >= p.nodes[outer].end)
}

// spotAt grows the text node to the smallest element that shows a price.
func (r *reader) spotAt(i int32) (spot, bool) {
	p := r.p
	named := int32(-1)
	j := p.nodes[i].parent
	for up := 0; up < 4 && j > 0; up++ {
		text := p.priceText(j, maxSpotText+1)
		if len(text) > maxSpotText || up > 0 && p.otherNumber(j, i) && named < 0 {
			if text = p.withSign(i); namesCurrency(text) {
				return r.spot(p.nodes[i].parent, text, true)
			}
			break
		}
		if up == 0 && p.besideOld(j, i) {
			s, ok := r.spot(j, asciiDigits(squeeze(p.nodes[i].n.Data)), true)
			s.alone = true
			return s, ok
		}
		if p.nodes[j].own&(priceName|salePrice|oldPrice) != 0 && named < 0 {
			named = j
		}
		if up > 0 && named < 0 && letters(text) > maxLetters || p.title >= 0 && p.contains(j, p.title) && j != p.title {
			break
		}
		if namesCurrency(text) {
			if p.aside(j, i) {
				return r.spot(p.nodes[i].parent, p.withSign(i), true)
			}
			return r.spot(j, text, true)
		}
		j = p.nodes[j].parent
	}
	if named >= 0 {
		text := p.priceText(named, maxSpotText)
		if letters(text) <= 12 {
			return r.spot(named, text, false)
		}
	}
	return spot{}, false
}

// besideOld reports whether a text of an element names a sum in full, and a part
// of the element with a number is struck out: "90 € <s>120 €</s>".
func (p *page) besideOld(j, i int32) bool {
	if p.nodes[i].ctx&struck != 0 || p.nodes[j].end-j > 12 || !namesCurrency(p.nodes[i].n.Data) {
		return false
	}
	for _, k := range within(p.texts, j, p.nodes[j].end) {
		if k != i && p.nodes[k].ctx&struck != 0 && hasDigit(p.nodes[k].n.Data) {
			return true
		}
	}
	return false
}

// withSign gives the text of a node with the currency that stands right before
// or after it in another element.
func (p *page) withSign(i int32) string {
	text := asciiDigits(squeeze(p.nodes[i].n.Data))
	k := lowerBound(p.texts, i)
	if k > 0 && i-p.texts[k-1] <= 3 {
		if t := squeeze(p.nodes[p.texts[k-1]].n.Data); len(t) <= 6 && !hasDigit(t) {
			text = t + " " + text
		}
	}
	if k+1 < len(p.texts) && p.texts[k+1]-i <= 3 {
		t, _, _ := strings.Cut(squeeze(p.nodes[p.texts[k+1]].n.Data), " ")
		if len(t) <= 6 && !hasDigit(t) {
			text += " " + t
		}
	}
	return text
}

// otherNumber reports whether an element holds another text with a number than
// i. Decimals set apart are none, nor are parts of the same number.
func (p *page) otherNumber(j, i int32) bool {
	for _, k := range within(p.texts, j, p.nodes[j].end) {
		if p.work++; p.work > maxWork {
			return true
		}
		if k == i || !hasDigit(p.nodes[k].n.Data) || p.nodes[k].ctx&(noText|hidden|ariaHidden) != 0 {
			continue
		}
		if t := strings.TrimSpace(p.nodes[k].n.Data); t[0] != '.' && t[0] != ',' && !p.cents(k) && !p.oneNumber(i, k) {
			return true
		}
	}
	return false
}

func (r *reader) spot(i int32, text string, currency bool) (spot, bool) {
	price, err := money.Parse(text, r.money())
	if err != nil || price.Amount == "" || price.Has(money.Instalment) || price.Has(money.OtherUnit) || strings.ContainsAny(text, "%期") || strings.Contains(text, "://") {
		return spot{}, false
	}
	amount, err := strconv.ParseFloat(price.Amount, 64)
	if err != nil || amount <= 0 {
		return spot{}, false
	}
	s := spot{i: i, text: text, amount: amount, currency: currency, m: r.p.nodes[i].ctx, group: -1, block: -1}
	for j, up := i, 0; up < 4 && j > 0; j, up = r.p.nodes[j].parent, up+1 {
		if r.p.title >= 0 && r.p.contains(j, r.p.title) {
			break
		}
		s.m |= r.p.nodes[j].own & (priceName | salePrice)
	}
	s.was = s.m&(struck|oldPrice) != 0 || wasText(text) && !r.laterSum(text, price.Amount) || r.inside(i, struck)
	return s, true
}

// inside reports whether all text of the element stands in a part so marked.
func (r *reader) inside(i int32, m mark) bool {
	for j := i; j < r.p.nodes[i].end && r.p.work < maxWork; j++ {
		r.p.work++
		if x := &r.p.nodes[j]; x.n.Type == html.TextNode && hasDigit(x.n.Data) && x.ctx&m == 0 {
			return false
		}
	}
	return true
}

// wasText tells a text that itself says the price is an earlier or a
// recommended one.
func wasText(s string) bool {
	label := strings.TrimRightFunc(s, func(r rune) bool { return !unicode.IsLetter(r) })
	for k := range label {
		if unicode.IsDigit(rune(label[k])) {
			label = label[:k]
			break
		}
	}
	for _, w := range strings.FieldsFunc(label, func(r rune) bool { return r == ':' || unicode.Is(unicode.Sc, r) }) {
		if n, ok := labelField(w); ok && n == listing.PriceWas {
			return true
		}
	}
	return false
}

func (r *reader) money() money.Hints {
	return money.Hints{Currency: r.hints.Currency, Language: r.hints.Language, Host: r.hints.Host, DecimalMark: r.hints.DecimalMark}
}

var currencyWords = map[string]bool{"eur": true, "euro": true, "euros": true, "usd": true, "gbp": true, "chf": true, "pln": true, "zl": true, "zł": true,

	"kč": true, "czk": true, "ft": true, "huf": true, "lei": true, "ron": true, "kr": true, "sek": true, "nok": true, "dkk": true,
	"rub": true, "руб": true, "р": true, "тг": true, "тенге": true, "kzt": true, "грн": true, "uah": true, "лв": true, "bgn": true,
	"nzd": true, "aud": true, "cad": true, "brl": true, "mxn": true, "ars": true, "clp": true, "sgd": true, "hkd": true, "myr": true,
	"rm": true, "rp": true, "idr": true, "inr": true, "rs": true, "jpy": true, "cny": true, "rmb": true, "krw": true, "twd": true,
	"try": true, "tl": true, "zar": true, "aed": true, "sar": true, "ils": true, "kn": true, "hrk": true, "din": true, "rsd": true,
	"thb": true, "vnd": true, "php": true, "kuna": true, "dirham": true, "元": true, "円": true, "원": true, "บาท": true, "nt": true}

var currencyLengths = lengths(currencyWords)

// namesCurrency is a cheap test for a currency beside a number; package money
// decides which one it is.
func namesCurrency(s string) bool {
	for i := 0; i < len(s); i++ { // most texts are ASCII
		c := s[i]
		switch {
		case c >= utf8.RuneSelf:
			return namesAnyCurrency(s)
		case c == '$':
			return hasDigit(s)
		case 'a' <= c|0x20 && c|0x20 <= 'z':
			end := i + 1
			for end < len(s) && 'a' <= s[end]|0x20 && s[end]|0x20 <= 'z' {
				end++
			}
			if end < len(s) && s[end] >= utf8.RuneSelf {
				return namesAnyCurrency(s)
			}
			if isCurrencyWord(s[i:end]) {
				return hasDigit(s)
			}
			i = end - 1
		}
	}
	return false
}

// isCurrencyWord looks a word of ASCII letters up.
func isCurrencyWord(w string) bool {
	if len(w) > 6 || currencyLengths[w[0]|0x20]&(1<<len(w)) == 0 {
		return false
	}
	var b [6]byte
	for k := range len(w) {
		b[k] = w[k] | 0x20
	}
	return currencyWords[string(b[:len(w)])]
}

// namesAnyCurrency is namesCurrency for texts in any letters.
func namesAnyCurrency(s string) bool {
	start := -1
	for i, c := range s {
		if unicode.Is(unicode.Sc, c) || c == '元' || c == '円' || c == '원' {
			return hasDigit(s)
		}
		if unicode.IsLetter(c) {
			if start < 0 {
				start = i
			}
			continue
		}
		if start >= 0 && currencyWords[strings.ToLower(s[start:i])] {
			return hasDigit(s)
		}
		start = -1
	}
	return start >= 0 && currencyWords[strings.ToLower(s[start:])] && hasDigit(s)
}

func letters(s string) int {
	n := 0
	for _, c := range s {
		if unicode.IsLetter(c) {
			n++
		}
	}
	return n
}

// decimalMark learns the decimal mark from the prices of the page: a separator
// before exactly two digits at the end.
func decimalMark(list []spot) rune {
	var comma, stop int
	for i := range list {
		t := strings.TrimRightFunc(list[i].text, func(r rune) bool { return !unicode.IsDigit(r) })
		if len(t) < 4 || !digits(t[len(t)-2:]) {
			continue
		}
		switch c, _ := utf8.DecodeLastRuneInString(t[:len(t)-2]); c {
		case ',':
			comma++
		case '.':
			stop++
		}
	}
	switch {
	case comma > 0 && stop == 0:
		return ','
	case stop > 0 && comma == 0:
		return '.'
	}
	return 0
}

// laterSum reports whether the price of a text is not the first sum in it:
// "was $500 now $412".
func (r *reader) laterSum(text, amount string) bool {
	start := strings.IndexAny(text, "0123456789")
	if start < 0 {
		return false
	}
	end := start
	for k, c := range text[start:] {
		if !unicode.IsDigit(c) && c != '.' && c != ',' && c != '\'' {
			break
		}
		end = start + k + 1
	}
	first, err := money.Parse(text[:end], r.money())
	return err == nil && first.Amount != "" && first.Amount != amount
}
