package savedpage

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"counterfoil/parse/listing"
)

// about says how surely an item of structured data is the page's own, 0 to 1:
// its address is the page's, its name is the heading's, or its element holds
// the heading.
func (r *reader) about(it *item) float64 {
	if it.main && !it.listed {
		return 1
	}
	for _, u := range it.urls {
		if r.ownAddress(u) {
			return 1
		}
	}
	best := 0.0
	for _, s := range [...]string{r.heading, r.facts.ogTitle, r.facts.title} {
		best = max(best, sameThing(it.name, s))
	}
	if it.t.source != srcJSON {
		switch {
		case r.p.title >= 0 && r.p.contains(it.t.node, r.p.title):
			best = max(best, 0.9)
		case r.p.nodes[it.t.node].ctx&(side|tile|review) != 0:
			best *= 0.5
		case it.name == "":
			best = 0.5
		}
	} else if it.name == "" {
		best = 0.5
	}
	if it.listed {
		best *= 0.6
	}
	return best
}

// sameThing is likeness for a name and a heading. A heading much shorter than
// the name, as "Turbochargers" over a list, does not make them one.
func sameThing(name, heading string) float64 {
	x, y := wordSet(name), wordSet(heading)
	like := likeness(name, heading)
	if len(y) < len(x) && (len(y) < 2 || 5*len(y) < 2*len(x)) && !strings.EqualFold(squeeze(name), squeeze(heading)) {
		like *= 0.5
	}
	return like
}

// ownAddress compares an address with the page's own.
func (r *reader) ownAddress(u string) bool {
	u = bareAddress(u)
	if u == "" {
		return false
	}
	for _, s := range [...]string{r.facts.canonical, r.facts.ogURL, r.facts.savedFrom, r.opt.URL} {
		if own := bareAddress(s); own != "" && (own == u || strings.HasSuffix(own, u) && strings.HasPrefix(u, "/")) {
			return true
		}
	}
	return false
}

// bareAddress drops scheme, "www.", fragment and closing slash. The front page
// of a site is no address of an item.
func bareAddress(s string) string {
	u, err := url.Parse(strings.TrimSpace(s))
	if err != nil || strings.Trim(u.Path, "/") == "" && u.RawQuery == "" {
		return ""
	}
	out := strings.TrimPrefix(strings.ToLower(u.Host), "www.") + strings.TrimRight(u.EscapedPath(), "/")
	if u.RawQuery != "" {
		out += "?" + u.RawQuery
	}
	return out
}

// own is an item with how surely it is the page's own.
type own struct {
	it    *item
	about float64
}

// ownItems gives, for each kind of markup, the item that is the page's own.
func (r *reader) ownItems(items []*item) []own {
	best := map[string]own{}
	count := map[string]int{}
	for _, it := range items {
		a := r.about(it)
		src := it.t.source
		count[src]++
		b, ok := best[src]
		if !ok || a > b.about || a == b.about && len(b.it.offers) == 0 && len(it.offers) > 0 {
			best[src] = own{it, a}
		}
	}
	var out []own
	for _, src := range [...]string{srcJSON, srcMicro, srcRDFa} {
		b, ok := best[src]
		if !ok {
			continue
		}
		sole := count[src] == 1 && !b.it.listed
		if b.about >= 0.5 || sole && (b.about >= 0.2 || r.p.title < 0) {
			out = append(out, b)
		} else {
			r.reject(b.it, fmt.Sprintf("about another item: likeness to the heading %.2f", b.about))
		}
	}
	return out
}

// reject keeps the candidates of a side offer for whoever wants to know.
func (r *reader) reject(it *item, why string) {
	if !r.opt.Explain {
		return
	}
	list := it.fields
	for _, o := range it.offers {
		list = append(list[:len(list):len(list)], o.fields...)
	}
	for i, c := range list {
		if i < 40 {
			r.out.Candidates = append(r.out.Candidates, Candidate{Listing: -1, Field: c.name, Raw: c.raw, From: r.place(c), Score: 0, Why: why})
		}
	}
}

// decide tells what kind of page this is and makes its listings.
func (r *reader) decide(items []*item) {
	mine := r.ownItems(items)
	switch {
	case r.selected():
	case len(mine) > 0 && r.sellers(mine[0].it) > 1:
		r.offersOf(mine[0].it)
	case len(mine) > 0 && r.aggregated(mine[0].it):
	case len(mine) > 0:
		r.one(mine)
	case r.shownPrice().sure:
		r.one(nil)
	case r.resultItems(items):
	case r.resultBlocks():
	case r.looksSold():
		r.one(nil)
	default:
		r.out.Kind = r.whyNone()
	}
	r.resolvePlaces()
}

// looksSold reports whether a page without structured data shows an item for
// sale: a price that belongs to its heading, or a price in its meta tags.
func (r *reader) looksSold() bool {
	if r.shownPrice().now != nil {
		return true
	}
	for _, c := range r.cands {
		if c.name == listing.Price && c.trust >= trustMeta-100 {
			return true
		}
	}
	return strings.Contains(r.facts.ogType, "product")
}

// one makes the listing of a page with one item.
func (r *reader) one(mine []own) {
	r.out.Kind = KindListing
	var images []value
	for _, o := range mine {
		r.cands = append(r.cands, o.it.fields...)
		r.takeOffer(o.it)
		r.itemName = firstOf(r.itemName, o.it.name)
		if len(images) == 0 {
			images, r.imageSource = o.it.images, o.it.t.source
		}
	}
	r.looseProps()
	if !has(r.cands, listing.SKU) || !has(r.cands, listing.Brand) || !has(r.cands, listing.Price) {
		r.embedded()
	}
	if !has(r.cands, listing.Currency) {
		r.stateCurrency()
	}
	r.dataAttributes()
	r.addressID()
	r.pairs()
	r.named()
	r.brandLinks()
	if !has(r.cands, listing.Brand) {
		r.headingBrand()
		r.stateBrand()
	}
	r.stock()
	r.pageFacts()
	r.weighPrice()
	l := r.build(r.cands)
	r.photos(l, images)
	r.out.Listings = append(r.out.Listings, l)
}

// takeOffer chooses among the offers of an item: the one of the page's own
// address, else the one whose price is shown, else one that is in stock. When
// prices differ and nothing decides, the lowest is a "from" price.
func (r *reader) takeOffer(it *item) {
	if len(it.offers) == 0 {
		return
	}
	k, decided := r.pickOffer(it.offers)
	o := it.offers[k]
	r.cands = append(r.cands, o.fields...)
	r.cands = append(r.cands, o.variant...)
	if decided || len(it.offers) == 1 {
		return
	}
	for i := range it.offers {
		if p := it.offers[i].price; p != "" && !sameNumber(p, o.price) {
			r.put(candidate{name: listing.PriceKind, raw: listing.PriceFrom, value: listing.PriceFrom, source: it.t.source,
				path: "offers", node: it.t.node, trust: sourceTrust(it.t.source), why: "the variants have several prices"})
			return
		}
	}
}

func (r *reader) pickOffer(list []offer) (int, bool) {
	if k := r.addressed(list); k >= 0 {
		return k, true
	}
	shown := r.shownPrice().now
	best, score := 0, -1
	for i := range list {
		s := 0
		v, err := strconv.ParseFloat(strings.TrimSpace(list[i].price), 64)
		if err == nil {
			s++
		}
		if shown != nil && err == nil && v == shown.amount {
			s += 4
		}
		if strings.Contains(strings.ToLower(list[i].t.text("availability")), "instock") {
			s += 2
		}
		if s > score || s == score && err == nil && lessPrice(v, list[best].price) {
			best, score = i, s
		}
	}
	return best, score >= 4
}

// addressed gives the one offer whose address is the page's own, -1 when there
// is none or when all have the same address.
func (r *reader) addressed(list []offer) int {
	found := -1
	for i := range list {
		if u := bareAddress(list[i].url); u == "" || !r.ownAddress(list[i].url) {
			continue
		}
		if found >= 0 {
			return -1
		}
		found = i
	}
	return found
}

func lessPrice(v float64, other string) bool {
	w, err := strconv.ParseFloat(strings.TrimSpace(other), 64)
	return err == nil && v < w
}

// sellers counts the different sellers of an item's offers.
func (r *reader) sellers(it *item) int {
	seen := map[string]bool{}
	for _, o := range it.offers {
		if o.seller != "" {
			seen[strings.ToLower(o.seller)] = true
		}
	}
	return len(seen)
}

// weighPrice sets the price that a buyer sees against the price that the
// markup states. The markup wins, except when it repeats the price that is
// struck out, or when the page surely shows a price and the markup's nowhere.
func (r *reader) weighPrice() {
	r.refinePrices()
	r.regroupPrices()
	shown := r.shownPrice()
	if shown.now == nil {
		return
	}
	c := candidate{name: listing.Price, raw: shown.now.text, source: srcPage, path: r.p.path(shown.now.i), node: shown.now.i,
		trust: trustPage, why: fmt.Sprintf("score %d", shown.now.score)}
	stated, ok := r.statedPrice()
	if ok && stated != shown.now.amount {
		switch {
		case shown.was != nil && shown.was.amount == stated:
			c.trust, c.why = trustJSON+50, "the markup repeats the struck-out price"
		case shown.sure && stated > shown.now.amount && !r.onPage(stated):
			c.trust, c.why = trustJSON+50, "the page shows a lower price, and the markup's price nowhere"
		case shown.sure && !r.onPage(stated) && withoutTaxOf(stated, shown.now.amount):
			c.trust, c.why = trustJSON+50, "the markup's price stands nowhere on the page: it is the shown one without tax"
		case shown.sure && stated < shown.now.amount && r.isBid(shown.now):
			c.trust, c.why = trustJSON+50, "the bid that the page shows is above the markup's price, and bids only rise"
		case shown.sure && r.alsoMeta(shown.now.amount):
			c.trust, c.why = trustJSON+50, "the meta tags agree with the price that the page shows"
		}
	}
	r.put(c)
	if r.isBid(shown.now) {
		r.put(candidate{name: listing.PriceKind, raw: shown.now.text, value: listing.PriceBid, source: srcPage, path: c.path, node: c.node,
			trust: trustJSON + 10, why: "the words beside the price speak of bids"})
	}
	if shown.was != nil {
		r.put(candidate{name: listing.PriceWas, raw: shown.was.text, source: srcPage, path: r.p.path(shown.was.i),
			node: shown.was.i, trust: trustPage})
	}
}

// refinePrices narrows a price property that holds several sums, such as the
// struck-out one beside the one in force, to the sum in force.
func (r *reader) refinePrices() {
	for k := range r.cands {
		c := &r.cands[k]
		if c.name != listing.Price || c.machine || c.source != srcMicro && c.source != srcRDFa {
			continue
		}
		var within []*spot
		for i := range r.money1 {
			if s := &r.money1[i]; s.i != c.node && r.p.contains(c.node, s.i) {
				within = append(within, s)
			}
		}
		if now, _ := blockPrice(within); now != nil {
			c.raw, c.node = now.text, now.i
			c.why = "the sum in force among those of the property"
		}
	}
}

// regroupPrices reads "1.299" in markup as 1299 when that is what the page
// shows: the full stop was copied from the page, where it groups thousands.
func (r *reader) regroupPrices() {
	for k := range r.cands {
		c := &r.cands[k]
		_, part, _ := strings.Cut(c.raw, ".")
		if c.name != listing.Price || !c.machine || len(part) != 3 {
			continue
		}
		if v, ok := r.number(*c); ok && r.onPage(1000*v) && !r.onPage(v) {
			c.value = strconv.FormatFloat(1000*v, 'f', -1, 64)
			c.why = "the page shows it with a full stop that groups thousands"
		}
	}
}

// statedPrice is the price of the best candidate so far.
func (r *reader) statedPrice() (float64, bool) {
	best := -1
	for i, c := range r.cands {
		if c.name == listing.Price && (best < 0 || c.trust > r.cands[best].trust) {
			best = i
		}
	}
	if best < 0 {
		return 0, false
	}
	return r.number(r.cands[best])
}

// alsoMeta reports whether a price of the meta tags is the amount.
func (r *reader) alsoMeta(amount float64) bool {
	for _, c := range r.cands {
		if c.name == listing.Price && (c.source == srcOG || c.source == srcMeta) {
			if v, ok := r.number(c); ok && v == amount {
				return true
			}
		}
	}
	return false
}

func (r *reader) onPage(amount float64) bool {
	for i := range r.money1 {
		if r.money1[i].amount == amount {
			return true
		}
	}
	return false
}

// pageFacts adds what the page says about itself.
func (r *reader) pageFacts() {
	f := &r.facts
	put := func(name listing.Name, raw, source, path, node string, trust int) {
		if raw != "" {
			r.put(candidate{name: name, raw: raw, source: source, path: path, node: f.nodes[node], trust: trust})
		}
	}
	put(listing.URL, r.opt.URL, srcMeta, "capture", "", trustMeta+30)
	put(listing.URL, f.canonical, srcMeta, "link rel=canonical", "canonical", trustMeta+20)
	put(listing.URL, f.savedFrom, srcMeta, "saved from url", "saved", trustMeta+10)
	put(listing.URL, f.ogURL, srcOG, "og:url", "og:url", trustMeta)
	put(listing.CapturedAt, f.captured, srcMeta, "capture time", "captured", trustMeta)
	if r.p.lang != "" {
		r.put(candidate{name: listing.Language, raw: r.p.lang, source: srcMeta, path: "html lang", trust: trustMeta})
	}
}
