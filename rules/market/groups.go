package market

import (
	"math"

	"counterfoil/parse/listing"
	"counterfoil/rules/robust"
)

// tolerance keeps a price that stands exactly at a threshold on its suspicious
// side in spite of binary rounding.
const tolerance = 1e-9

// twoGroups looks for the largest gap in the sorted log prices of a market and
// gives the log price in its middle. It is nil when no gap is wide enough with
// enough prices on each side.
func (x *Index) twoGroups(p *pool) (*TwoGroups, float64) {
	gap := p.sample.LargestGap(x.s.GapSide)
	if gap.Width == 0 || gap.Width < math.Log(x.s.GapRatio)-tolerance {
		return nil, 0
	}
	v, l, n := p.view(-1), gap.Lower, p.sample.Len()
	return &TwoGroups{
		LowerN: l, UpperN: gap.Upper,
		LowerMedian: v.between((l-1)/2, l/2),
		UpperMedian: v.between(l+(n-l-1)/2, l+(n-l)/2),
		LowerTop:    v.at(l - 1), UpperBottom: v.at(l),
	}, (p.sample.At(l-1) + p.sample.At(l)) / 2
}

// mainGroup finds the main price group, when there are prices enough for a full
// score. Copies whose prices reach up to the genuine ones leave no gap, and from
// a fifth of the market on they widen the MAD until nothing is an outlier any
// more. The densest half of the prices still lies with the genuine ones, and the
// prices above it, which copies do not touch, tell how far those spread.
func (x *Index) mainGroup(p *pool) *MainGroup {
	if p.sample.Len() < x.s.FullFrom {
		return nil
	}
	from, to := p.sample.ShortestHalf()
	centre := p.sample.Mean(from, to)
	return &MainGroup{
		N: to - from + 1, Low: p.amount(from), High: p.amount(to),
		Centre: listing.Amount{Minor: int64(math.Round(
			float64(p.prices[from]) * math.Exp(centre-p.sample.At(from)))), Currency: x.currency},
		Scale:  max(p.sample.UpperMAD(centre)*robust.MADFactor(p.sample.Len()), x.s.MADFloor),
		centre: centre,
	}
}
