package savedpage

import (
	"strings"
	"unicode"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"counterfoil/parse/listing"
)

// pickTitle finds the heading of the item: the first-level heading that is
// most like the page's title, else another heading that repeats the title.
func (r *reader) pickTitle() {
	p := r.p
	best, at := r.bestHeading(func(x *info) bool { return x.n.DataAtom == atom.H1 }, 0)
	if best < 1 {
		score, k := r.bestHeading(func(x *info) bool { return x.n.DataAtom == atom.H2 || x.own&titleName != 0 }, 0.6)
		if k >= 0 && (at < 0 || score > best) {
			at = k
		}
	}
	if at < 0 {
		at = r.plainHeading()
	}
	p.title = at
	if at >= 0 {
		r.heading = p.text(at, 400)
		r.put(candidate{name: listing.Title, raw: r.heading, source: srcPage, path: p.path(at), node: at, trust: trustMeta + 50})
	}
	if t := r.facts.title; t != "" {
		r.put(candidate{name: listing.Title, raw: t, source: srcMeta, path: "title", node: r.facts.nodes["title"], trust: trustPage})
	}
}

// plainHeading finds the heading of a page that marks none: the first text
// outside of navigation that the page's title begins with.
func (r *reader) plainHeading() int32 {
	p := r.p
	for _, i := range p.texts {
		x := &p.nodes[i]
		if len(x.n.Data) > 300 || x.own&(noText|hidden) != 0 {
			continue
		}
		text := squeeze(x.n.Data)
		if len(text) < 8 || !strings.Contains(text, " ") {
			continue
		}
		for _, t := range [...]string{r.facts.ogTitle, r.facts.title} {
			rest, ok := cutFold(t, text)
			if !ok || isLetter(rest) || 3*len(text) < len(t) {
				continue
			}
			if j := p.nodes[i].parent; j > 0 && !p.outside(j, chrome|crumbs|popup|review|noText|hidden) {
				return j
			}
		}
	}
	return -1
}

// outside reports whether an element or one around it is so marked.
func (p *page) outside(i int32, m mark) bool {
	for j := i; j > 0; j = p.nodes[j].parent {
		if p.nodes[j].own&m != 0 {
			return true
		}
	}
	return false
}

// maxHeadings bounds how many headings are compared with the page's title.
const maxHeadings = 100

// bestHeading finds the heading most like the page's title. Headings of the
// page's head and of dialogs count less.
func (r *reader) bestHeading(is func(*info) bool, least float64) (best float64, at int32) {
	p := r.p
	best, at = -1, -1
	ogTitle, title := wordSet(r.facts.ogTitle), wordSet(r.facts.title)
	n := 0
	for _, i := range p.headings {
		x := &p.nodes[i]
		if x.own&hidden != 0 || x.end-i > 60 || !is(x) {
			continue
		}
		if n++; n > maxHeadings {
			break
		}
		text := p.text(i, 400)
		if len(text) < 3 {
			continue
		}
		words := wordSet(text)
		like := max(alikeSets(words, ogTitle), alikeSets(words, title))
		if like < least {
			continue
		}
		score := 2 * like
		for j, up := i, 0; up < 8 && j > 0; j, up = p.nodes[j].parent, up+1 {
			if p.nodes[j].own&(chrome|crumbs|popup|review) != 0 {
				score -= 0.2
			}
		}
		if score > best {
			best, at = score, i
		}
	}
	return best, at
}

// named reads elements whose class says what they hold.
func (r *reader) named() {
	p := r.p
	const outside = side | tile | chrome | basket | review | crumbs | noText | hidden | popup
	best := int32(-1)
	bestLen := 0
	for k, at := range p.named {
		x := &p.nodes[at]
		if x.ctx&outside != 0 {
			continue
		}
		small := x.end-at < 12
		switch {
		case x.own&descName != 0 && p.title >= 0 && !p.contains(at, p.title):
			if text := p.text(at, 4000); len(text) > bestLen+bestLen/4 {
				best, bestLen = at, len(text)
			}
		case x.own&brandName != 0 && small:
			r.putNamed(listing.Brand, at, 60)
		case x.own&skuName != 0 && small:
			r.putNamed(listing.SKU, at, 40)
		case x.own&sellerName != 0 && small && !p.namedWithin(k, sellerName):
			r.putNamed(listing.Seller, at, 60)
		}
	}
	if best >= 0 && bestLen > 20 {
		c := candidate{name: listing.Description, raw: p.lines(best, p.pastHeading(best, listing.Description), 8000), source: srcPage, path: p.path(best), node: best, trust: trustMeta + 20}
		if r.fuller(c.raw) {
			c.trust, c.why = trustJSON+20, "the fuller text"
		}
		r.put(c)
	}
}

// namedWithin reports whether the k-th named element is a box around another
// element of the same name that shows a text, which is then the value.
func (p *page) namedWithin(k int, m mark) bool {
	for _, j := range p.named[k+1:] {
		if !p.contains(p.named[k], j) {
			return false
		}
		if p.nodes[j].own&m != 0 && p.nodes[j].own&(hidden|noText) == 0 && p.text(j, 1) != "" {
			return true
		}
	}
	return false
}

// pastHeading gives the node at which the content of a part begins: behind its
// first heading, or first line, when that only names the field, else the part
// itself.
func (p *page) pastHeading(i int32, name listing.Name) int32 {
	for j := i + 1; j < p.nodes[i].end && j < i+maxLead; j++ {
		x := &p.nodes[j]
		switch {
		case x.own&(hidden|noText) != 0:
			j = x.end - 1
		case x.n.Type == html.TextNode && solid(x.n.Data):
			return i
		case isBlock(x.n.DataAtom):
			if n, ok := labelField(p.text(j, maxLabel+1)); ok && n == name {
				return x.end
			}
		}
	}
	return i
}

// maxLead is how many nodes of a part are searched for its first heading.
const maxLead = 20

// fuller reports whether a description is half as long again as every other:
// markup often holds a shortened one, and what a seller claims may stand in the
// rest.
func (r *reader) fuller(text string) bool {
	for i := range r.cands {
		if c := &r.cands[i]; c.name == listing.Description && 2*len(text) < 3*len(c.raw) {
			return false
		}
	}
	return true
}

func (r *reader) putNamed(name listing.Name, i int32, limit int) {
	if a := r.p.tag(i); a == atom.Button || a == atom.Input || a == atom.Select || a == atom.Label {
		return
	}
	text := r.p.lines(i, r.p.pastHeading(i, name), limit+1)
	if name == listing.Brand {
		text = brandOf(text)
	}
	if text == "" && name == listing.Brand {
		r.p.elements(i, func(_ int32, n *html.Node) { // a brand shown as its mark
			if n.DataAtom == atom.Img {
				text = squeeze(attr(n, "alt"))
			}
		})
	}
	if text == "" || len(text) > limit || strings.ContainsAny(text, "?!\n") { // several lines are more than a name
		return
	}
	label, rest, colon := cutColon(text)
	if field, ok := labelField(label); ok {
		if !colon || field != name {
			return
		}
		text = strings.TrimSpace(rest)
	}
	if name == listing.SKU && (!strings.ContainsAny(text, "0123456789") || strings.Contains(text, " ")) {
		return
	}
	if name == listing.Seller && (letters(text) == 0 || strings.Contains(text, "%")) {
		return // a rating
	}
	trust := trustPage
	switch near := r.p.title >= 0 && i > r.p.title && i < r.p.title+400; {
	case name == listing.Brand && (!near && i < r.p.title-100 || unicode.IsDigit([]rune(text)[0]) || isHeading(r.p.tag(i)) && r.p.nodes[i].end-i < 3):
		return
	case name == listing.SKU && near:
		trust = trustJSON + 10
	}
	r.put(candidate{name: name, raw: text, source: srcPage, path: r.p.path(i), node: i, trust: trust})
}

func isHeading(a atom.Atom) bool {
	switch a {
	case atom.H1, atom.H2, atom.H3, atom.H4, atom.H5, atom.H6:
		return true
	}
	return false
}

// likeness compares two texts by their words, 0 to 1: the share of the shorter
// text's words that the other has, a little less when the other is much longer.
func likeness(a, b string) float64 { return alikeSets(wordSet(a), wordSet(b)) }

func alikeSets(x, y map[string]bool) float64 {
	if len(x) == 0 || len(y) == 0 {
		return 0
	}
	if len(x) > len(y) {
		x, y = y, x
	}
	common := 0
	for w := range x {
		if y[w] {
			common++
		}
	}
	share := float64(common) / float64(len(x))
	return share * (0.8 + 0.2*float64(len(x))/float64(len(y)))
}

// wordSet gives the words of a text; each Han, Kana or Hangul letter is one.
func wordSet(s string) map[string]bool {
	set := map[string]bool{}
	start := -1
	s = strings.ToLower(clip(s, 600))
	for i, c := range s {
		word := unicode.IsLetter(c) || unicode.IsDigit(c)
		single := word && c > 0x2e80
		if start >= 0 && (!word || single) {
			set[s[start:i]] = true
			start = -1
		}
		if single {
			set[string(c)] = true
		} else if word && start < 0 {
			start = i
		}
	}
	if start >= 0 {
		set[s[start:]] = true
	}
	return set
}
