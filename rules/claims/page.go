package claims

import (
	"cmp"
	"slices"
	"strings"

	"counterfoil/parse/listing"
)

// Reach of a claim word, in words that mean nothing to the lexicon.
const (
	reachAhead   = 4  // to the noun in the direction of the language
	reachBack    = 6  // to the noun the other way, or before it
	reachNot     = 3  // from a negation to its claim
	reachSmall   = 4  // function words and nouns from "for" to the maker's name
	reachSubject = 3  // from "genuine" to the maker it names
	reachMost    = 12 // in all tokens, function words and makers' names too
)

// span is a resolved hit with the one meaning chosen for it.
type span struct {
	first, last int
	entry       *entry
}

// claim is a stance found in a text, with what it is bound to.
type claim struct {
	span
	scope   string
	negated bool
	object  string // maker after a word of fitting
	number  bool   // a part number stands there instead
	subject string // maker named beside a claim of being genuine
	decided bool
}

// page is one text on its way through the engine.
type page struct {
	folded
	field listing.Name
	raw   string
	hits  []hit
	votes []int // per language
	lang  int   // index of the language, or noLanguage

	layers [layerCount][]span
	at     [layerCount][]int32 // token to 1 + index of the span over it, 0 for none
	claims []claim
}

// resolve picks, layer by layer from the left, the longest phrase at each place.
func (p *page) resolve(a *automaton) {
	var next [layerCount]int32
	for l := range p.layers {
		p.layers[l] = p.layers[l][:0]
		p.at[l] = slices.Grow(p.at[l][:0], len(p.tokens))[:len(p.tokens)]
		clear(p.at[l])
	}
	p.claims = p.claims[:0]
	for _, h := range p.hits {
		out := a.nodes[h.node].out
		for len(out) > 0 {
			l := out[0].layer
			n := 1
			for n < len(out) && out[n].layer == l {
				n++
			}
			if h.first >= next[l] {
				if e := p.meaning(out[:n]); e != nil {
					next[l] = h.last + 1
					p.place(l, span{int(h.first), int(h.last), e})
				}
			}
			out = out[n:]
		}
	}
}

func (p *page) place(l layer, s span) {
	p.layers[l] = append(p.layers[l], s)
	for i := s.first; i <= s.last; i++ {
		p.at[l][i] = int32(len(p.layers[l]))
	}
	if l == layerStance && s.entry.stance != "" {
		p.claims = append(p.claims, claim{span: s})
	}
}

// english is the rank of English.
const english = 0

// meaning chooses among the meanings of a phrase in one layer: the user's,
// then that of the text's language, then the earliest language. Short words
// that decide grammar count only in the text's own language, English excepted,
// since English words stand in texts of every language.
func (p *page) meaning(out []*entry) *entry {
	var best *entry
	rank := func(e *entry) int {
		switch {
		case e.user:
			return -2
		case e.rank == p.lang:
			return -1
		}
		return e.rank
	}
	for _, e := range out {
		if !p.foreign(e) && (best == nil || rank(e) < rank(best)) {
			best = e
		}
	}
	return best
}

func (p *page) foreign(e *entry) bool {
	grammar := e.layer == layerNot || e.layer == layerWith || e.code == codeFits
	return grammar && !e.user && p.lang != noLanguage && e.rank != p.lang && e.rank != english
}

// over returns the span of a layer that covers token i.
func (p *page) over(l layer, i int) (span, bool) {
	if n := p.at[l][i]; n > 0 {
		return p.layers[l][n-1], true
	}
	return span{}, false
}

// light reports a token that a phrase may reach across: function words.
func (p *page) light(i int) bool { return p.at[layerWords][i] > 0 || p.at[layerMaker][i] > 0 }

// wall reports a token that ends a noun phrase: the end of a clause, or "with".
func (p *page) wall(i int) bool {
	k := p.tokens[i].kind
	return k == tokenBreak || k == tokenColon || p.at[layerWith][i] > 0
}

// claimWord reports a token of a phrase that itself wants a noun.
func (p *page) claimWord(i int) bool {
	s, ok := p.over(layerStance, i)
	if !ok {
		return false
	}
	switch s.entry.stance {
	case Genuine, Compatible, Hedge, Copy:
		return true
	}
	return false
}

func (p *page) bindPhrases() {
	question := p.questions()
	for i := range p.claims {
		c := &p.claims[i]
		noun, ok := p.noun(c.span)
		c.scope = c.entry.scope
		if c.scope == "" && ok {
			c.scope = noun.entry.scope
		}
		start := c.first
		if ok {
			start = min(start, noun.first)
		}
		if c.scope == ScopeUnit && p.accompanies(start) {
			c.scope = ScopeComponent
		}
		c.negated = p.negatedAt(c.first, noun, ok)
		switch c.entry.stance {
		case Compatible:
			c.object, c.number = p.objectAfter(c.last + 1)
		case Genuine:
			c.subject = p.subjectOf(c.span)
			if i > 0 && !c.negated && p.refersBack(p.claims[i-1], *c) {
				c.scope = ScopeReference
			}
		}
	}
	for i := range p.claims {
		if c := &p.claims[i]; p.claimWord(c.first) && question(c.last) {
			c.scope = ScopeQuestion
		}
	}
	p.claims = slices.DeleteFunc(p.claims, func(c claim) bool {
		return c.entry.code == codeFits && c.object == "" && !c.number
	})
}

// questions returns a function that reports whether a token's clause ends in a
// question mark. It must be asked from left to right.
func (p *page) questions() func(token int) bool {
	end := -1
	return func(token int) bool {
		for end < token || end < len(p.tokens) && !p.endsSentence(end) {
			end++
			if end >= len(p.tokens) {
				return false
			}
		}
		return end < len(p.tokens) && p.text[p.tokens[end].from] == '?'
	}
}

func (p *page) endsSentence(i int) bool {
	return p.tokens[i].kind == tokenBreak && strings.IndexByte("?!.;\n|", p.text[p.tokens[i].from]) >= 0
}

// noun finds the noun a phrase is bound to: in the direction of the phrase's
// language first, then the other way.
func (p *page) noun(s span) (span, bool) {
	if s.entry.scope != "" {
		return span{}, false
	}
	if s.entry.bind.after {
		if n, ok := p.nounAfter(s); ok {
			return n, true
		}
		return p.nounBefore(s)
	}
	if n, ok := p.nounBefore(s); ok {
		return n, true
	}
	return p.nounAfter(s)
}

func (p *page) nounAfter(s span) (span, bool) {
	for i, gap := s.last+1, 0; i < min(len(p.tokens), s.last+reachMost) && gap <= reachAhead; i++ {
		if p.wall(i) || p.claimWord(i) {
			break
		}
		if n, ok := p.over(layerNoun, i); ok {
			if !s.entry.bind.last {
				return n, true
			}
			for n.last+1 < min(len(p.tokens), s.last+reachMost) {
				next, ok := p.over(layerNoun, n.last+1)
				if !ok {
					break
				}
				n = next
			}
			return n, true
		}
		if !p.light(i) {
			gap++
		}
	}
	return span{}, false
}

func (p *page) nounBefore(s span) (span, bool) {
	for i, gap := s.first-1, 0; i >= max(0, s.first-reachMost) && gap <= reachBack; i-- {
		if p.wall(i) || p.claimWord(i) {
			break
		}
		if n, ok := p.over(layerNoun, i); ok {
			if s.entry.bind.last {
				return n, true
			}
			return p.headBefore(n), true
		}
		if !p.light(i) {
			gap++
		}
	}
	return span{}, false
}

// headBefore walks from the last noun of "kit de joints de turbo" to its first.
func (p *page) headBefore(n span) span {
	for i, end := n.first-1, n.first-reachMost; i >= max(0, end); i-- {
		if m, ok := p.over(layerNoun, i); ok {
			n = m
			i = m.first
			continue
		}
		if p.at[layerWords][i] == 0 || p.wall(i) {
			break
		}
	}
	return n
}

// accompanies reports a word of company ("with", "using") right before i.
func (p *page) accompanies(i int) bool {
	for j, small := i-1, 0; j >= 0 && small <= 2; j, small = j-1, small+1 {
		if p.at[layerWith][j] > 0 {
			return true
		}
		if p.at[layerWords][j] == 0 {
			break
		}
	}
	return false
}

// negatedAt looks for a negation before token first. A noun in between stops
// the search unless it is the one the claim is bound to.
func (p *page) negatedAt(first int, noun span, bound bool) bool {
	for i, gap := first-1, 0; i >= max(0, first-reachMost) && gap <= reachNot; i-- {
		if p.tokens[i].kind == tokenBreak {
			return false
		}
		if _, ok := p.over(layerNot, i); ok {
			_, swallowed := p.over(layerStance, i)
			return !swallowed
		}
		if n, ok := p.over(layerNoun, i); ok && !(bound && n.first == noun.first) {
			return false
		}
		if !p.light(i) && p.at[layerNoun][i] == 0 {
			gap++
		}
	}
	return false
}

// objectAfter finds the maker after a word of fitting, or that a part number
// stands there; only function words, nouns, claim words and a colon may stand
// between.
func (p *page) objectAfter(i int) (maker string, number bool) {
	for small := 0; i < len(p.tokens) && small <= reachSmall; i, small = i+1, small+1 {
		if m, ok := p.over(layerMaker, i); ok {
			return m.entry.maker, false
		}
		if partNumber(p.word(i)) {
			return "", true
		}
		if !p.passable(i) {
			break
		}
	}
	return "", false
}

// passable reports a token that may stand between a word of fitting and its
// object.
func (p *page) passable(i int) bool {
	k := p.tokens[i].kind
	return k == tokenColon || k != tokenBreak && (p.at[layerWords][i] > 0 || p.at[layerNoun][i] > 0 || p.claimWord(i))
}

// partNumber reports a word that can only be a number of a part: at least six
// digits, or five among letters.
func partNumber(word []byte) bool {
	digits := 0
	for _, b := range word {
		if b >= '0' && b <= '9' {
			digits++
		}
	}
	return digits >= 6 || digits == 5 && len(word) > 5
}

// subjectOf finds the maker named beside a claim: "genuine Kestwyn turbo". A
// maker that is the object of a word of fitting is not it.
func (p *page) subjectOf(s span) string {
	for i, gap := s.last+1, 0; i < len(p.tokens) && gap <= reachSubject; i, gap = i+1, gap+1 {
		if p.wall(i) || p.claimWord(i) {
			break
		}
		if m, ok := p.over(layerMaker, i); ok {
			return m.entry.maker
		}
	}
	for i, gap := s.first-1, 0; i >= 0 && gap <= reachBack; i, gap = i-1, gap+1 {
		if p.wall(i) {
			break
		}
		if m, ok := p.over(layerMaker, i); ok {
			if p.fitted(m.first) {
				return ""
			}
			return m.entry.maker
		}
	}
	return ""
}

// fitted reports whether the maker at token i is what the item is for.
func (p *page) fitted(i int) bool {
	for j := i - 1; j >= max(0, i-1-reachSmall); j-- {
		s, ok := p.over(layerStance, j)
		if ok && s.entry.stance == Compatible && s.last == j && p.reaches(j+1, i) {
			return true
		}
	}
	return false
}

// reaches reports whether objectAfter from token i ends at the maker at token m.
func (p *page) reaches(i, m int) bool {
	if m-i > reachSmall {
		return false
	}
	for ; i < m; i++ {
		if p.at[layerMaker][i] > 0 || !p.passable(i) {
			return false
		}
	}
	return true
}

// refersBack reports a claim word that only names what the item stands for:
// "replacement for the original", "copy of the genuine turbo".
func (p *page) refersBack(prev, c claim) bool {
	refers := prev.entry.stance == Compatible || prev.entry.stance == Copy || prev.entry.code == codeLike
	if !refers {
		return false
	}
	for i := prev.last + 1; i < c.first; i++ {
		if p.wall(i) || p.at[layerWords][i] == 0 && p.at[layerNoun][i] == 0 {
			return false
		}
	}
	return true
}

// brand judges the brand field's text.
func (p *page) brand() (state, maker string) {
	if u := p.layers[layerUnbranded]; len(u) > 0 && u[0].first == 0 && u[0].last == len(p.tokens)-1 {
		return BrandUnbranded, ""
	}
	for _, m := range p.layers[layerMaker] {
		if !p.fitted(m.first) {
			return BrandMaker, m.entry.maker
		}
	}
	return BrandOther, ""
}

// leading gives the maker first named in the title, unless a word of fitting
// or of being compatible comes before it.
func (p *page) leading() string {
	makers := p.layers[layerMaker]
	if len(makers) == 0 {
		return ""
	}
	for _, s := range p.layers[layerStance] {
		if s.last >= makers[0].first {
			break
		}
		if s.entry.stance == Compatible && (s.entry.code != codeFits || p.reaches(s.last+1, makers[0].first)) {
			return ""
		}
	}
	return makers[0].entry.maker
}

// report appends the phrases in the order of the text.
func (p *page) report(out []Phrase) []Phrase {
	for _, c := range p.claims {
		start, end := int(p.tokens[c.first].start), int(p.tokens[c.last].end)
		out = append(out, Phrase{
			Meaning: c.entry.meaning, Field: p.field,
			Start: start, End: end, Quote: p.raw[start:end],
			Negated: c.negated, Scope: c.scope, Maker: cmp.Or(c.object, c.subject), Decided: c.decided,
		})
	}
	return out
}
