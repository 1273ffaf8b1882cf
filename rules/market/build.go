package market

import (
	"cmp"
	"slices"
	"time"

	"counterfoil/rules/robust"
)

// Index holds the markets of one run. It does not change after Build and may be
// used by several goroutines.
type Index struct {
	s        Settings
	currency string
	offers   []offer  // by listing
	keys     []Key    // of offers
	sellers  []string // their groups
	reasons  []string // why they are not compared; the first is ""
	listedIn []conversion

	markets  []*market // sorted by key
	unplaced []int32
	ladders  map[string][]Class
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

// offer is an [Offer] as it is held: without pointers, and what offers have in
// common as a number.
type offer struct {
	listing          int
	listed           int64 // minor units of the listing's currency
	price            int64 // minor units of the run's currency, 0: none
	key              int32
	seller           int32 // below zero when it was not observed, another for each offer
	reason           int32
	listedIn         int32
	market           int32 // -1: none
	place, widePlace int32 // of the seller group's price in the pool of the market and of the wider group; -1: not in it
	lowerBound       bool
}

// conversion is how prices of one currency become those of the run.
type conversion struct {
	currency string
	known    bool
	used     RateUsed
	err      error
}

// Build groups the offers into markets. Prices are converted to currency by the
// rates of asOf; an offer without a rate is excluded. It takes O(n log n).
func Build(offers []Offer, refs []Reference, rates *Rates, currency string, asOf time.Time, s Settings) *Index {
	all := make([]int32, len(offers))
	for i := range all {
		all[i] = int32(i)
	}
	return buildSome(offers, all, refs, rates, currency, asOf, s)
}

// buildSome is Build for some of the offers.
func buildSome(offers []Offer, which []int32, refs []Reference, rates *Rates, currency string, asOf time.Time, s Settings) *Index {
	x := &Index{s: s.orDefaults(), currency: currency}
	x.take(offers, which, rates, asOf)
	x.group()
	references := x.readReferences(refs, rates, asOf)
	for _, m := range x.markets {
		m.pool = x.newPool(m.members, func(o *offer) *int32 { return &o.place })
		m.ref = references[Key{Part: m.key.Part, Unit: m.key.Unit, Condition: m.key.Condition}]
		if otherProduct(m.key.Claim) {
			m.ref = reference{}
		}
		x.describe(m)
	}
	x.widen()
	x.ladders = x.buildLadders()
	return x
}

// numbers gives equal values one number, and tells whether one is new.
type numbers[T comparable] map[T]int32

func (n numbers[T]) of(v T) (number int32, isNew bool) {
	number, known := n[v]
	if !known {
		number = int32(len(n))
		n[v] = number
	}
	return number, !known
}

// take fills offers and what they refer to.
func (x *Index) take(offers []Offer, which []int32, rates *Rates, asOf time.Time) {
	if byListing := func(a, b int32) int { return cmp.Compare(offers[a].Listing, offers[b].Listing) }; !slices.IsSortedFunc(which, byListing) {
		slices.SortStableFunc(which, byListing)
	}
	x.offers = make([]offer, len(which))
	keys, sellers, reasons, currencies := numbers[Key]{}, numbers[string]{}, numbers[string]{}, numbers[string]{}
	isNew := false
	reasons.of("")
	x.reasons = []string{""}
	for i, from := range which {
		in := &offers[from]
		o := offer{listing: in.Listing, listed: in.Price.Minor, seller: -1 - int32(i), market: -1, place: -1, widePlace: -1, lowerBound: in.LowerBound}
		k := Key{in.Part, in.Unit, in.Condition, in.Claim}
		if o.key, isNew = keys.of(k); isNew {
			x.keys = append(x.keys, k)
		}
		if in.SellerGroup != "" {
			if o.seller, isNew = sellers.of(in.SellerGroup); isNew {
				x.sellers = append(x.sellers, in.SellerGroup)
			}
		}
		if o.listedIn, isNew = currencies.of(in.Price.Currency); isNew {
			x.listedIn = append(x.listedIn, conversion{currency: in.Price.Currency})
		}
		reason := "listing number given twice"
		if i == 0 || x.offers[i-1].listing != in.Listing {
			o.price, reason = x.convert(in, &x.listedIn[o.listedIn], rates, asOf)
		}
		if o.reason, isNew = reasons.of(reason); isNew {
			x.reasons = append(x.reasons, reason)
		}
		x.offers[i] = o
	}
}

// otherProduct says that the claim names another product than the genuine part,
// or leaves it open in the way of honest aftermarket ("OE quality"): the genuine
// part's price is no yardstick for it.
func otherProduct(claim string) bool {
	return claim == ClaimCompatible || claim == ClaimCopy || claim == ClaimHedged
}

// convert gives the offer's price in the run's currency, or the reason why it has
// none.
func (x *Index) convert(o *Offer, c *conversion, rates *Rates, asOf time.Time) (minor int64, reason string) {
	switch {
	case o.Excluded != "":
		return 0, o.Excluded
	case o.Part == "":
		return 0, "no part known"
	case o.Price.Currency == "":
		return 0, "currency not observed"
	case o.Price.Minor <= 0:
		return 0, "price is not above zero"
	}
	if !c.known {
		c.known = true
		c.used, c.err = rates.between(o.Price.Currency, x.currency, asOf)
	}
	price, err := o.Price, c.err
	if err == nil && len(c.used.Steps) > 0 {
		price, err = c.used.apply(o.Price, x.currency)
	}
	switch {
	case err != nil:
		return 0, err.Error()
	case price.Minor <= 0:
		return 0, "price is under one minor unit of " + x.currency
	}
	return price.Minor, ""
}

// at finds the offer of a listing, the first if there are several.
func (x *Index) at(number int) (int32, bool) {
	i, known := slices.BinarySearchFunc(x.offers, number, func(o offer, number int) int { return cmp.Compare(o.listing, number) })
	return int32(i), known
}

// group sorts the offers into markets.
func (x *Index) group() {
	byKey := make([]*market, len(x.keys))
	for i := range x.offers {
		n := x.offers[i].key
		if x.keys[n].Part == "" {
			x.unplaced = append(x.unplaced, int32(i))
			continue
		}
		if byKey[n] == nil {
			byKey[n] = &market{key: x.keys[n]}
			x.markets = append(x.markets, byKey[n])
		}
		byKey[n].members = append(byKey[n].members, int32(i))
	}
	slices.SortFunc(x.markets, func(a, b *market) int { return a.key.compare(b.key) })
	for i, m := range x.markets {
		m.members = slices.Clone(m.members) // without what they grew by
		for _, o := range m.members {
			x.offers[o].market = int32(i)
		}
	}
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
func (x *Index) widen() {
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
		slices.Sort(members)
		wide := x.newPool(members, func(o *offer) *int32 { return &o.widePlace })
		for _, m := range same {
			m.wide = wide
		}
	}
}

// small says that a listing of the market may have too few others to compare.
func (x *Index) small(m *market) bool { return m.pool.sample.Len() <= x.s.RatioFrom }
