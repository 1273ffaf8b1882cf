package pricing

import (
	"cmp"
	"slices"
)

// Offer is one fixed price.
type Offer struct {
	Listing int
	Seller  string // seller group
	Market  string // what may be compared: part, unit type, condition, currency
	Minor   int64  // price in minor units, hundredths
}

// Odd holds the odd prices that several sellers share.
type Odd struct{ of map[int]*Shared }

// Shared is one odd price at several sellers.
type Shared struct {
	Sellers  int   // distinct seller groups
	Of       int   // seller groups of the market
	Needed   int   // sellers from which chance no longer explains it
	Listings []int // one for each seller group
}

const (
	leastSharers = 3    // sellers
	chance       = 0.05 // expected number of chance meetings that is put up with
	rounding     = 10   // one hundredth in so many is taken to occur as an ending
)

// IsOdd reports whether a price has an ending that sellers do not choose by
// habit. Prices of whole units and those ending in 49, 50, 79, 89, 90, 95, 98
// and 99 hundredths are common (common practice, no source).
func IsOdd(minor int64) bool {
	switch minor % 100 {
	case 0, 49, 50, 79, 89, 90, 95, 98, 99:
		return false
	}
	return minor > 0
}

// BuildOdd finds odd prices that so many seller groups of a market share that
// chance does not explain it: k is at least 3 and at least so large that the
// expected number of chance meetings of k sellers,
//
//	C(n, k) / w^(k-1)
//
// is at most 0.05, where n is the number of seller groups in the market and w
// a tenth of the number of hundredths between the lower and the upper quartile
// of their prices.
// Own formula: every k-set meets with probability w^(1-k) when prices are
// spread evenly over w values.
func BuildOdd(offers []Offer) *Odd {
	x := &Odd{of: map[int]*Shared{}}
	list := slices.Clone(offers)
	slices.SortFunc(list, func(a, b Offer) int {
		return cmp.Or(cmp.Compare(a.Market, b.Market), cmp.Compare(a.Minor, b.Minor),
			cmp.Compare(a.Seller, b.Seller), cmp.Compare(a.Listing, b.Listing))
	})
	for from := 0; from < len(list); {
		to := from
		sellers := map[string]bool{}
		for to < len(list) && list[to].Market == list[from].Market {
			sellers[list[to].Seller] = true
			to++
		}
		if len(sellers) >= leastSharers {
			x.market(list[from:to], len(sellers))
		}
		from = to
	}
	return x
}

// market looks through the offers of one market, sorted by price and seller.
func (x *Odd) market(list []Offer, sellers int) {
	width := (list[len(list)*3/4].Minor - list[len(list)/4].Minor) / rounding
	needed := sharers(sellers, max(float64(width), 2))
	for from := 0; from < len(list); {
		to := from
		s := &Shared{Of: sellers, Needed: needed}
		for to < len(list) && list[to].Minor == list[from].Minor {
			if to == from || list[to].Seller != list[to-1].Seller {
				s.Listings = append(s.Listings, list[to].Listing)
			}
			to++
		}
		if s.Sellers = len(s.Listings); s.Sellers >= needed && IsOdd(list[from].Minor) {
			for _, o := range list[from:to] {
				x.of[o.Listing] = s
			}
		}
		from = to
	}
}

// sharers is the least k from leastSharers on with C(n, k) / w^(k-1) <= chance,
// n+1 if there is none.
func sharers(n int, w float64) int {
	expected := float64(n)
	for k := 2; k <= n; k++ {
		expected *= float64(n-k+1) / float64(k) / w
		if k >= leastSharers && expected <= chance {
			return k
		}
	}
	return n + 1
}

// Of gives the shared odd price of a listing, nil if it has none.
func (x *Odd) Of(listing int) *Shared { return x.of[listing] }
