package market

import (
	"cmp"
	"math"
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/rules/robust"
)

// pool holds the prices that are compared, one for each seller group, cheapest
// first. The group's price is the lower median of its offers, which is a price
// somebody asks: the lowest would let one clearance or one slip of the pen
// speak for a seller and pull the median towards the copies, and a mean is
// nobody's price.
type pool struct {
	members  []int32       // offers behind the prices and offers left out, by listing
	reps     []int32       // the offer that stands for each group
	sizes    []int32       // offers of each group
	prices   []int64       // minor units of the run's currency
	sample   robust.Sample // natural logarithms of the prices
	offers   int
	currency string
	// lowerBounds and noSeller count the prices of which shipping or seller is
	// unknown.
	lowerBounds, noSeller int
	// ranks of the interval for the median: of the whole pool, and without one.
	whole, without ranks
}

type ranks struct {
	k        int
	coverage float64
}

// newPool collects the comparable offers among members, and notes in place the
// position of each one's group.
func (x *Index) newPool(members []int32, place func(*offer) *int32) *pool {
	used := make([]int32, 0, len(members))
	for _, o := range members {
		if x.offers[o].reason == 0 {
			used = append(used, o)
		}
	}
	byPrice := func(a, b int32) int {
		return cmp.Or(cmp.Compare(x.offers[a].price, x.offers[b].price),
			cmp.Compare(x.offers[a].listing, x.offers[b].listing))
	}
	slices.SortFunc(used, func(a, b int32) int {
		return cmp.Or(cmp.Compare(x.offers[a].seller, x.offers[b].seller), byPrice(a, b))
	})
	type run struct {
		rep  int32
		of   []int32
		size int32
	}
	var runs []run
	for rest := used; len(rest) > 0; {
		n := 1
		for n < len(rest) && x.offers[rest[n]].seller == x.offers[rest[0]].seller {
			n++
		}
		runs = append(runs, run{rest[(n-1)/2], rest[:n], int32(n)})
		rest = rest[n:]
	}
	slices.SortFunc(runs, func(a, b run) int { return byPrice(a.rep, b.rep) })

	p := &pool{members: members, offers: len(used), reps: make([]int32, len(runs)),
		sizes: make([]int32, len(runs)), prices: make([]int64, len(runs)), currency: x.currency}
	logs := make([]float64, len(runs))
	for i, r := range runs {
		p.reps[i], p.sizes[i], p.prices[i] = r.rep, r.size, x.offers[r.rep].price
		logs[i] = math.Log(p.amount(i).Float())
		if x.offers[r.rep].lowerBound {
			p.lowerBounds++
		}
		if x.offers[r.rep].seller < 0 {
			p.noSeller++
		}
		for _, o := range r.of {
			if place != nil {
				*place(&x.offers[o]) = int32(i)
			}
		}
	}
	p.sample = robust.SortedSample(logs)
	p.whole.k, p.whole.coverage = robust.MedianRanks(len(runs), x.s.Confidence)
	p.without.k, p.without.coverage = robust.MedianRanks(len(runs)-1, x.s.Confidence)
	return p
}

func (p *pool) amount(i int) listing.Amount {
	return listing.Amount{Minor: p.prices[i], Currency: p.currency}
}

// view is a pool without the price at one position.
type view struct {
	*pool
	sample robust.Sample
	skip   int // position left out, or the number of prices
}

// view leaves out the price at position skip; all prices stay with skip -1.
func (p *pool) view(skip int32) view {
	if skip < 0 {
		return view{p, p.sample, len(p.reps)}
	}
	return view{p, p.sample.Without(int(skip)), int(skip)}
}

func (v view) left() bool { return v.skip < len(v.reps) }

func (v view) at(i int) listing.Amount {
	if i >= v.skip {
		i++
	}
	return v.amount(i)
}

// between is the median of prices i and j, which are neighbours or the same: an
// amount that is asked, or the geometric mean of two.
func (v view) between(i, j int) listing.Amount {
	if i == j {
		return v.at(i)
	}
	return geometricMean(v.at(i), v.at(j))
}

func geometricMean(a, b listing.Amount) listing.Amount {
	// It lies between two valid amounts, so rounding cannot fail.
	m := math.Sqrt(float64(a.Minor)) * math.Sqrt(float64(b.Minor))
	return listing.Amount{Minor: int64(math.Round(m)), Currency: a.Currency}
}

// figures computes the statistics, without any rule on how many prices they
// need. What the number scale means is said at robust.Sample.ScoreMAD; the
// finite-sample factor enters there and nowhere else.
func (v view) figures(floor float64) (f Figures, substitute bool) {
	n := v.sample.Len()
	f = Figures{N: n, Offers: v.offers}
	if v.left() {
		f.Offers -= int(v.sizes[v.skip])
	}
	if n == 0 {
		return f, false
	}
	f.Median = v.between((n-1)/2, n/2)
	f.MAD = v.sample.MAD()
	f.Scale, substitute = v.sample.ScoreMAD(f.MAD, robust.MADFactor(n))
	if f.Scale > 0 {
		f.Scale = max(f.Scale, floor)
	}
	r := v.whole
	if v.left() {
		r = v.without
	}
	f.Low, f.High, f.Coverage = v.at(r.k-1), v.at(n-r.k), r.coverage
	return f, substitute
}

// doubts counts the prices with unknown shipping and with an unknown seller.
func (v view) doubts(offers []offer) (lowerBounds, noSeller int) {
	lowerBounds, noSeller = v.lowerBounds, v.noSeller
	if v.left() {
		o := &offers[v.reps[v.skip]]
		if o.lowerBound {
			lowerBounds--
		}
		if o.seller < 0 {
			noSeller--
		}
	}
	return lowerBounds, noSeller
}
