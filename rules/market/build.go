package market

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"counterfoil/rules/robust"
)

// Index holds the markets of one run. It does not change after Build and may be
// used by several goroutines.
type Index struct {
	s        Settings
	currency string
	offers   []Offer
	// Per offer: the price in the run's currency, why it is not compared, its
	// market (-1: none) and the position of its seller group's price in the pool
	// of that market and of the wider group (-1: not in it).
	price     []int64 // minor units, 0: none
	reason    []string
	marketOf  []int32
	place     []int32
	widePlace []int32

	byListing map[int]int32         // see at
	rates     map[string]conversion // by the listing's currency
	markets   []*market             // sorted by key
	unplaced  []int32
	ladders   map[string][]Class
}

// market is what all listings of a market share.
type market struct {
	key     Key
	members []int32 // offers, by listing
	pool    *pool
	wide    *pool // shared by the markets of the wider group; nil when there is none
	groups  *TwoGroups
	cut     float64 // log price between the two groups
	main    *MainGroup
	dip     *Dip
	ref     reference
	notes   []string // warnings that hold for every listing
}

type conversion struct {
	used RateUsed
	err  error
}

// Build groups the offers into markets. Prices are converted to currency by the
// rates of asOf; an offer without a rate is excluded. The offers are kept, not
// copied, and must not change afterwards. It takes O(n log n).
func Build(offers []Offer, refs []Reference, rates *Rates, currency string, asOf time.Time, s Settings) *Index {
	n := len(offers)
	x := &Index{
		s: s.orDefaults(), currency: currency, offers: offers,
		price: make([]int64, n), reason: make([]string, n),
		marketOf: filled(n), place: filled(n), widePlace: filled(n),
		byListing: map[int]int32{}, rates: map[string]conversion{},
	}
	for i := range offers {
		x.convert(int32(i), rates, asOf)
	}
	x.group()
	groups := x.sellerGroups()
	references := x.readReferences(refs, rates, asOf)
	for _, m := range x.markets {
		m.pool = x.newPool(m.members, groups, x.place)
		m.ref = references[Key{Part: m.key.Part, Unit: m.key.Unit, Condition: m.key.Condition}]
		if otherProduct(m.key.Claim) {
			m.ref = reference{}
		}
		x.describe(m)
	}
	x.widen(groups)
	x.ladders = x.buildLadders(groups)
	return x
}

func filled(n int) []int32 {
	out := make([]int32, n)
	for i := range out {
		out[i] = -1
	}
	return out
}

// otherProduct says that the claim names another product than the genuine part,
// or leaves it open in the way of honest aftermarket ("OE quality"): the genuine
// part's price is no yardstick for it.
func otherProduct(claim string) bool {
	return claim == ClaimCompatible || claim == ClaimCopy || claim == ClaimHedged
}

// convert sets the offer's price in the run's currency, or the reason why it
// has none.
func (x *Index) convert(i int32, rates *Rates, asOf time.Time) {
	o := &x.offers[i]
	if first, known := x.at(o.Listing); known && first < i {
		x.reason[i] = "listing number given twice"
		return
	}
	if o.Listing != int(i) {
		x.byListing[o.Listing] = i
	}
	switch {
	case o.Excluded != "":
		x.reason[i] = o.Excluded
		return
	case o.Part == "":
		x.reason[i] = "no part known"
		return
	case o.Price.Currency == "":
		x.reason[i] = "currency not observed"
		return
	case o.Price.Minor <= 0:
		x.reason[i] = "price is not above zero"
		return
	}
	c, known := x.rates[o.Price.Currency]
	if !known {
		c.used, c.err = rates.between(o.Price.Currency, x.currency, asOf)
		x.rates[o.Price.Currency] = c
	}
	price, err := o.Price, c.err
	if err == nil && len(c.used.Steps) > 0 {
		price, err = c.used.apply(o.Price, x.currency)
	}
	switch {
	case err != nil:
		x.reason[i] = err.Error()
	case price.Minor <= 0:
		x.reason[i] = "price is under one minor unit of " + x.currency
	default:
		x.price[i] = price.Minor
	}
}

// at finds the offer of a listing, the first if there are several. Most callers
// number offers by their place, so that only others need the map.
func (x *Index) at(number int) (int32, bool) {
	if i, known := x.byListing[number]; known {
		return i, true
	}
	if number < 0 || number >= len(x.offers) || x.offers[number].Listing != number {
		return 0, false
	}
	return int32(number), true
}

// group sorts the offers into markets.
func (x *Index) group() {
	byKey := map[Key]*market{}
	for i := range x.offers {
		o := &x.offers[i]
		if o.Part == "" {
			x.unplaced = append(x.unplaced, int32(i))
			continue
		}
		k := Key{o.Part, o.Unit, o.Condition, o.Claim}
		m := byKey[k]
		if m == nil {
			m = &market{key: k}
			byKey[k] = m
		}
		m.members = append(m.members, int32(i))
	}
	x.markets = slices.SortedFunc(maps.Values(byKey), func(a, b *market) int { return a.key.compare(b.key) })
	x.sortByListing(x.unplaced)
	for i, m := range x.markets {
		x.sortByListing(m.members)
		for _, o := range m.members {
			x.marketOf[o] = int32(i)
		}
	}
}

func (x *Index) sortByListing(members []int32) {
	slices.SortFunc(members, func(a, b int32) int {
		return cmp.Or(cmp.Compare(x.offers[a].Listing, x.offers[b].Listing), cmp.Compare(a, b))
	})
}

// sellerGroups numbers the seller groups. An offer without a seller is a group
// of its own, numbered below zero.
func (x *Index) sellerGroups() []int32 {
	numbers := map[string]int32{}
	out := make([]int32, len(x.offers))
	for i := range x.offers {
		name := x.offers[i].SellerGroup
		if name == "" {
			out[i] = -1 - int32(i)
			continue
		}
		n, known := numbers[name]
		if !known {
			n = int32(len(numbers))
			numbers[name] = n
		}
		out[i] = n
	}
	return out
}

// describe works out what all listings of a market share.
func (x *Index) describe(m *market) {
	sample := m.pool.sample
	m.groups, m.cut = x.twoGroups(m.pool)
	m.main = x.mainGroup(m.pool)
	if sample.Len() >= x.s.DipFrom {
		d := Dip{D: sample.Dip(), Critical: robust.DipCritical(sample.Len())}
		d.Significant = d.D > d.Critical
		m.dip = &d
	}
	m.notes = x.marketNotes(m)
}

// widen gives each market of the same part, unit type and condition the pool of
// all claims but those of another product, when that is more than its own.
func (x *Index) widen(groups []int32) {
	for from := 0; from < len(x.markets); {
		k := x.markets[from].key
		to, same := from, []*market(nil)
		for ; to < len(x.markets); to++ {
			m := x.markets[to]
			if m.key.Part != k.Part || m.key.Unit != k.Unit || m.key.Condition != k.Condition {
				break
			}
			if !otherProduct(m.key.Claim) {
				same = append(same, m)
			}
		}
		from = to
		if len(same) < 2 || !slices.ContainsFunc(same, x.small) {
			continue
		}
		var members []int32
		for _, m := range same {
			members = append(members, m.members...)
		}
		x.sortByListing(members)
		wide := x.newPool(members, groups, x.widePlace)
		for _, m := range same {
			m.wide = wide
		}
	}
}

// small says that a listing of the market may have too few others to compare.
func (x *Index) small(m *market) bool { return m.pool.sample.Len() <= x.s.RatioFrom }
