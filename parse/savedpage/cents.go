package savedpage

import (
	"strings"
	"unicode/utf8"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// priceText is text with the raised or separately set cents told apart:
// "229<sup>99</sup>" is 229,99 and not 22999.
func (p *page) priceText(i int32, limit int) string {
	q := squeezer{buf: p.buf[:0]}
	for j := i; j < p.nodes[i].end && len(q.buf) <= limit && p.work < maxWork; j++ {
		p.work++
		x := &p.nodes[j]
		switch x.n.Type {
		case html.TextNode:
			if len(q.buf) > 0 && endsInDigit(q.buf) && p.cents(j) {
				q.pending = false
				q.add(centsMark(q.buf))
			}
			q.add(x.n.Data)
		case html.ElementNode:
			if x.own&(noText|hidden) != 0 || x.own&ariaHidden != 0 && len(q.buf) > 0 {
				j = x.end - 1
			} else if len(q.buf) > 0 && isBlock(x.n.DataAtom) && !p.centsElement(j) {
				q.space()
			}
		}
	}
	p.buf = q.buf
	return asciiDigits(clip(string(q.buf), limit))
}

// centsMark is the mark to set between whole units and cents: a comma where a full
// stop groups the units.
func centsMark(before []byte) string {
	for i := len(before) - 1; i >= 0 && before[i] < utf8.RuneSelf && (isSeparator(before[i]) || digits(string(before[i]))); i-- {
		if before[i] == '.' {
			return ","
		}
	}
	return "."
}

// centsOf reports whether the k-th text is the two decimals of the number in the
// text before, and so no sum of its own.
func (p *page) centsOf(k int) bool {
	i := p.texts[k]
	if k == 0 || len(p.nodes[i].n.Data) > 20 || len(strings.TrimSpace(p.nodes[i].n.Data)) != 2 || !p.cents(i) {
		return false
	}
	before := strings.TrimSpace(p.nodes[p.texts[k-1]].n.Data)
	return i-p.texts[k-1] <= 4 && before != "" && digits(before[len(before)-1:])
}

// cents reports whether a text is the two decimals of a price set apart.
func (p *page) cents(j int32) bool {
	t := strings.TrimSpace(p.nodes[j].n.Data)
	if len(t) < 2 || !digits(t[:2]) || len(t) > 2 && digits(t[2:3]) {
		return false
	}
	return p.centsElement(p.nodes[j].parent) || len(t) == 2 && p.centsBehind(j)
}

// centsBehind reports whether a text of two digits stands right behind the whole
// units in an element of its own ("$412<small>50</small>"), or behind them with a
// space within one part named price that holds a currency and no other number.
func (p *page) centsBehind(j int32) bool {
	k := lowerBound(p.texts, j)
	if k == 0 {
		return false
	}
	i := p.texts[k-1]
	whole := p.nodes[i].n.Data
	if p.nodes[i].parent == p.nodes[j].parent || len(whole) > 40 || !wholeUnits(strings.TrimSpace(whole)) {
		return false
	}
	if p.adjoin(i, j) {
		return true
	}
	for up, a := 0, p.nodes[j].parent; up < 3 && a > 0; up, a = up+1, p.nodes[a].parent {
		if !p.contains(a, i) {
			continue
		}
		if p.nodes[a].own&priceName == 0 {
			return false
		}
		sign := false
		for _, t := range within(p.texts, a, p.nodes[a].end) {
			if s := p.nodes[t].n.Data; t != i && t != j && hasDigit(s) {
				return false
			} else if t != j {
				sign = sign || len(s) < 40 && namesCurrency("1 "+squeeze(s))
			}
		}
		return sign
	}
	return false
}

// wholeUnits tells a sum without decimals, with at most a sign before it: "412",
// "$1,299", "1 299".
func wholeUnits(s string) bool {
	start := strings.IndexAny(s, "0123456789")
	if start < 0 || start > 5 {
		return false
	}
	for run := 0; ; run++ {
		n := 0
		for n < len(s[start:]) && digits(s[start+n:start+n+1]) {
			n++
		}
		if n == 0 || run > 0 && n != 3 || run == 0 && n > 4 {
			return false
		}
		if start += n; start == len(s) {
			return true
		}
		_, size := utf8.DecodeRuneInString(s[start:])
		start += size
	}
}

// adjoin reports whether nothing stands between two texts, not even the edge of
// a block.
func (p *page) adjoin(i, j int32) bool {
	a, b := p.nodes[i].n.Data, p.nodes[j].n.Data
	if a == "" || b == "" || a[len(a)-1] <= ' ' || b[0] <= ' ' || j-i > 4 || p.blockEnds(i, j) {
		return false
	}
	for k := i + 1; k < j; k++ {
		if n := p.nodes[k].n; n.Type != html.ElementNode || isBlock(n.DataAtom) {
			return false
		}
	}
	return true
}

// oneNumber reports whether two texts are parts of one number that is spread
// over elements: only digits and separators stand between them, without space,
// and a separator wherever two parts meet ("412", ",", "50").
func (p *page) oneNumber(i, j int32) bool {
	if i > j {
		i, j = j, i
	}
	a := lowerBound(p.texts, i)
	for b := a + 1; b < len(p.texts) && b-a < 8; b++ {
		last, next := p.texts[b-1], p.texts[b]
		x, y := p.nodes[last].n.Data, p.nodes[next].n.Data
		if next > j || !p.adjoin(last, next) || last != i && !numeric(x) || next != j && !numeric(y) {
			return false
		}
		if !isSeparator(x[len(x)-1]) && !isSeparator(y[0]) {
			return false
		}
		if next == j {
			return true
		}
	}
	return false
}

func isSeparator(c byte) bool { return c == '.' || c == ',' || c == '\'' }

// numeric reports whether a text is digits and separators alone.
func numeric(s string) bool {
	for i := range len(s) {
		if !isSeparator(s[i]) && (s[i] < '0' || s[i] > '9') {
			return false
		}
	}
	return true
}

// aside reports whether another sum behind text i in an element is set in
// brackets: a price per unit, a sum in another currency.
func (p *page) aside(j, i int32) bool {
	for _, k := range within(p.texts, i+1, p.nodes[j].end) {
		if s := strings.TrimSpace(p.nodes[k].n.Data); hasDigit(s) && s[0] == '(' && p.nodes[k].parent != p.nodes[i].parent {
			return namesCurrency(p.withSign(i)) && namesCurrency(s)
		}
	}
	return false
}

// hasDigit knows the digits of ASCII, the Arabic ones, and those of full width.
func hasDigit(s string) bool {
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case '0' <= c && c <= '9':
			return true
		case c >= 0xd9 && (c == 0xd9 || c == 0xdb || c == 0xef):
			if r, _ := utf8.DecodeRuneInString(s[i:]); asciiDigit(r) != r {
				return true
			}
		}
	}
	return false
}

func asciiDigit(r rune) rune {
	for _, zero := range [...]rune{0x660, 0x6f0, 0xff10} {
		if zero <= r && r <= zero+9 {
			return '0' + r - zero
		}
	}
	return r
}

// asciiDigits writes the digits that hasDigit knows as those of ASCII.
func asciiDigits(s string) string {
	for i := 0; i < len(s); i++ {
		if s[i] >= 0xd9 {
			return strings.Map(asciiDigit, s)
		}
	}
	return s
}

func (p *page) centsElement(i int32) bool {
	n := p.nodes[i].n
	if n.DataAtom == atom.Sup {
		return true
	}
	c := strings.ToLower(attr(n, "class"))
	for _, w := range [...]string{"cent", "decimal", "fraction", "minor", "kopeck", "penny", "pence"} {
		if strings.Contains(c, w) {
			return true
		}
	}
	return false
}

func endsInDigit(s []byte) bool {
	return s[len(s)-1] >= '0' && s[len(s)-1] <= '9'
}
