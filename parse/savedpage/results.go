package savedpage

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"counterfoil/parse/listing"
)

// offersOf makes one listing per seller's offer of one item.
func (r *reader) offersOf(it *item) {
	r.out.Kind = KindResults
	for i := range it.offers {
		o := &it.offers[i]
		if o.price == "" {
			continue
		}
		list := append(append([]candidate(nil), it.fields...), o.fields...)
		list = append(list, o.variant...)
		if o.url != "" {
			list = append(list, r.cand(o.t, listing.URL, o.url, value{path: join(o.t.path, "url"), node: o.t.node}, 0))
		}
		if !r.brief(list) {
			return
		}
	}
}

// brief adds one listing of a page with several; false when the bound is
// reached.
func (r *reader) brief(list []candidate) bool {
	if len(r.out.Listings) >= r.opt.MaxListings {
		r.out.Problems = append(r.out.Problems, listing.Problem{Severity: listing.Partial, File: r.file,
			Reason: fmt.Sprintf("more than %d offers on the page; the rest was not read", r.opt.MaxListings)})
		return false
	}
	for i := range list {
		if list[i].name == listing.URL {
			if abs := resolveRef(firstOf(r.p.base, r.address()), list[i].raw); abs != "" {
				list[i].value = abs
			}
		}
	}
	if r.p.lang != "" {
		list = append(list, candidate{name: listing.Language, raw: r.p.lang, source: srcMeta, path: "html lang", trust: trustMeta})
	}
	l := r.build(list)
	l.Brief = true
	r.out.Listings = append(r.out.Listings, l)
	return true
}

// resultItems makes one listing per offer of a page whose structured data
// describes several items.
func (r *reader) resultItems(items []*item) bool {
	count := map[string]int{}
	for _, it := range items {
		if it.name != "" && len(it.offers) > 0 && it.offers[0].price != "" {
			count[it.t.source]++
		}
	}
	source := ""
	for _, s := range [...]string{srcJSON, srcMicro, srcRDFa} {
		if count[s] > count[source] {
			source = s
		}
	}
	if source == "" || count[source] < 2 || r.blocksWin(count[source]) {
		return false
	}
	r.out.Kind = KindResults
	for _, it := range items {
		if it.t.source != source || it.name == "" || len(it.offers) == 0 || it.offers[0].price == "" {
			continue
		}
		list := append(append([]candidate(nil), it.fields...), it.offers[0].fields...)
		if u := firstOf(append([]string{it.offers[0].url}, it.urls...)...); u != "" {
			list = append(list, r.cand(it.t, listing.URL, u, value{path: join(it.t.path, "url"), node: it.t.node}, 0))
		}
		if !r.brief(list) {
			break
		}
	}
	return true
}

// blocksWin reports whether the visible list is clearly longer than what the
// structured data tells.
func (r *reader) blocksWin(n int) bool {
	g, count := r.mainGroup(false)
	return g >= 0 && count >= 2*n
}

// mainGroup finds the parent of the largest family of repeated blocks; pairs
// are families of two.
func (r *reader) mainGroup(pairs bool) (int32, int) {
	blocks := map[int32]map[int32]bool{}
	for i := range r.money1 {
		s := &r.money1[i]
		if s.group < 0 || s.pair != pairs || s.m&(chrome|basket|side) != 0 {
			continue
		}
		if blocks[s.group] == nil {
			blocks[s.group] = map[int32]bool{}
		}
		blocks[s.group][s.block] = true
	}
	best, count := int32(-1), 0
	for g, b := range blocks {
		if len(b) > count || len(b) == count && g < best {
			best, count = g, len(b)
		}
	}
	return best, count
}

// minBlocks is the least number of repeated blocks that make a result list.
const minBlocks = 3

// resultBlocks makes one listing per repeated block with a price and a name.
func (r *reader) resultBlocks() bool {
	g, count := r.mainGroup(false)
	shown := r.shownPrice()
	if g < 0 || count < minBlocks || shown.now != nil && (shown.sure || count < 6) {
		return r.resultPair(shown.now)
	}
	order, spots := r.family(g)
	r.out.Kind = KindResults
	for _, b := range order {
		if list := r.blockCands(b, spots[b]); list != nil && !r.brief(list) {
			break
		}
	}
	return len(r.out.Listings) > 0
}

// family lists the blocks under a parent in reading order, with their sums.
func (r *reader) family(g int32) ([]int32, map[int32][]*spot) {
	spots := map[int32][]*spot{}
	var order []int32
	for i := range r.money1 {
		s := &r.money1[i]
		if s.group != g || s.m&(chrome|basket|side) != 0 {
			continue
		}
		if spots[s.block] == nil {
			order = append(order, s.block)
		}
		spots[s.block] = append(spots[s.block], s)
	}
	sort.Slice(order, func(a, b int) bool { return order[a] < order[b] })
	return order, spots
}

// resultPair reads a result list of two: blocks with a class, different names
// and different addresses, one of which holds what would else be the price of
// the page's item.
func (r *reader) resultPair(now *spot) bool {
	if now == nil || !now.pair || attr(r.p.nodes[now.block].n, "class") == "" {
		return false
	}
	order, spots := r.family(now.group)
	if len(order) != 2 {
		return false
	}
	a, _, hrefA := r.blockName(order[0])
	b, _, hrefB := r.blockName(order[1])
	if a == "" || b == "" || a == b || hrefA == "" || hrefA == hrefB || likeness(a, r.heading) > 0.9 {
		return false
	}
	r.out.Kind = KindResults
	for _, k := range order {
		if list := r.blockCands(k, spots[k]); list != nil {
			r.brief(list)
		}
	}
	return len(r.out.Listings) > 0
}

// aggregated makes one listing per seller of a page that compares sellers: the
// markup sums the offers up (AggregateOffer), and a family of blocks shows
// them, the lowest price being the markup's.
func (r *reader) aggregated(it *item) bool {
	if len(it.offers) != 1 || !it.offers[0].t.is("AggregateOffer") {
		return false
	}
	o := it.offers[0].t
	low, err := strconv.ParseFloat(o.text("lowPrice", "price"), 64)
	if err != nil || o.text("offerCount") == "1" {
		return false
	}
	groups := map[int32]bool{}
	for i := range r.money1 {
		s := &r.money1[i]
		if s.group < 0 || groups[s.group] || s.amount != low || s.m&(chrome|basket|side) != 0 {
			continue
		}
		groups[s.group] = true
		if r.sellerBlocks(it, s.group, low) {
			return true
		}
	}
	return false
}

func (r *reader) sellerBlocks(it *item, g int32, low float64) bool {
	order, spots := r.family(g)
	var lists [][]candidate
	sellers := map[string]bool{}
	for _, b := range order {
		now, _ := blockPrice(spots[b])
		if now == nil || now.amount < low {
			return false
		}
		list := append(append([]candidate(nil), it.fields...),
			candidate{name: listing.Price, raw: now.text, source: srcPage, path: r.p.path(now.i), node: now.i, trust: trustPage})
		for _, c := range r.blockPairs(b) {
			if c.name == listing.Seller {
				sellers[c.raw] = true
			}
			list = append(list, c)
		}
		lists = append(lists, list)
	}
	if len(sellers) < 2 {
		return false
	}
	r.out.Kind = KindResults
	for _, list := range lists {
		if !r.brief(list) {
			break
		}
	}
	return true
}

// blockCands reads one block: its name is its heading or its longest link.
func (r *reader) blockCands(b int32, spots []*spot) []candidate {
	name, at, href := r.blockName(b)
	if name == "" {
		return nil
	}
	put := func(n listing.Name, raw string, i int32) candidate {
		return candidate{name: n, raw: raw, source: srcPage, path: r.p.path(i), node: i, trust: trustPage}
	}
	list := []candidate{put(listing.Title, name, at)}
	if href != "" {
		list = append(list, put(listing.URL, href, at))
	}
	now, was := blockPrice(spots)
	if now == nil {
		return nil
	}
	list = append(list, put(listing.Price, now.text, now.i))
	if was != nil {
		list = append(list, put(listing.PriceWas, was.text, was.i))
	}
	return append(list, r.blockPairs(b)...)
}

// blockPrice tells the price of a block and the struck-out one.
func blockPrice(spots []*spot) (now, was *spot) {
	sort.SliceStable(spots, func(x, y int) bool { return spots[x].i < spots[y].i })
	for _, s := range spots {
		switch {
		case s.was && was == nil:
			was = s
		case s.was || s.m&(shipping|instalment|unitPrice|saving) != 0:
		case now == nil || s.m&salePrice > now.m&salePrice || s.m&priceName > now.m&priceName:
			now = s
		}
	}
	return now, was
}

// blockPairs reads the labels of a block, and the parts named after seller,
// brand and shipping.
func (r *reader) blockPairs(b int32) []candidate {
	keep := r.cands
	r.cands = nil
	for i := b; i < r.p.nodes[b].end; i++ {
		x := &r.p.nodes[i]
		switch {
		case x.ctx&(noText|hidden) != 0:
		case x.n.Type == html.TextNode && len(x.n.Data) < 300:
			if s := strings.TrimSpace(x.n.Data); len(s) > 1 {
				r.pair(i, s)
			}
		case x.n.Type == html.ElementNode && x.end-i < 40:
			if x.own&sellerName != 0 && !has(r.cands, listing.Seller) {
				r.blockSeller(i)
			}
			if x.end-i < 12 && x.own&brandName != 0 && !has(r.cands, listing.Brand) {
				r.putNamed(listing.Brand, i, 60)
			}
		}
	}
	out := r.cands
	r.cands = keep
	return out
}

// blockSeller takes the first link of the part named after the seller, by its
// words or by the mark it shows, else the part's own words.
func (r *reader) blockSeller(i int32) {
	name := ""
	r.p.elements(i, func(j int32, n *html.Node) {
		if name != "" || r.p.nodes[j].ctx&decor&^r.p.nodes[i].ctx != 0 {
			return
		}
		switch n.DataAtom {
		case atom.A:
			name = r.p.text(j, 61)
		case atom.Img:
			name = squeeze(clip(attr(n, "alt"), 61))
		}
		if len(name) > 60 || letters(name) < 2 {
			name = ""
		}
	})
	if name == "" {
		r.putNamed(listing.Seller, i, 60)
		return
	}
	r.put(candidate{name: listing.Seller, raw: name, source: srcPage, path: r.p.path(i), node: i, trust: trustPage})
}

func has(list []candidate, n listing.Name) bool {
	for i := range list {
		if list[i].name == n {
			return true
		}
	}
	return false
}

// blockName finds the name of a block and where it leads.
func (r *reader) blockName(b int32) (name string, at int32, href string) {
	p := r.p
	best := -1
	p.elements(b, func(i int32, n *html.Node) {
		score := 0
		switch n.DataAtom {
		case atom.H1, atom.H2, atom.H3, atom.H4, atom.H5, atom.H6:
			score = 60
		case atom.A:
			score = 20
		default:
			if p.nodes[i].own&titleName == 0 {
				return
			}
			score = 40
		}
		text := p.text(i, 300)
		if len(text) < 4 || letters(text) < 3 {
			return
		}
		if namesCurrency(text) && len(text) < 40 {
			return
		}
		if score += min(len(text), 80) / 2; score > best {
			best, name, at = score, text, i
		}
	})
	if name == "" {
		return "", 0, ""
	}
	for j := at; j >= b && href == ""; j = p.nodes[j].parent {
		if p.tag(j) == atom.A {
			href = p.href(p.nodes[j].n)
		}
	}
	p.elements(b, func(i int32, n *html.Node) {
		if href == "" && n.DataAtom == atom.A && (p.contains(at, i) || p.text(i, 300) == name) {
			href = p.href(n)
		}
	})
	p.elements(b, func(_ int32, n *html.Node) {
		if h := p.href(n); href == "" && n.DataAtom == atom.A && h != "" && h[0] != '#' {
			href = h
		}
	})
	if strings.HasPrefix(href, "javascript:") || strings.HasPrefix(href, "#") {
		href = ""
	}
	return name, at, href
}
