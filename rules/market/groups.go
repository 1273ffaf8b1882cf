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

// The main price group: where the search for it starts, how far from its centre
// a price may lie, and the spread of honest prices that is expected before any
// price is seen. They were chosen on simulated markets; see simulation_test.go.
const (
	mainStart  = 0.7
	mainLow    = 0.65 // share of the centre
	mainHigh   = 2
	mainSpread = 0.15 // of the logarithms
	mainWeight = 5    // prices that the expectation counts for
)

// mainGroup finds the main price group, when there are prices enough for a
// score. Copies whose prices reach up to the genuine ones leave no gap, and from
// a fifth of the market on they widen the MAD until nothing is an outlier any
// more. As long as copies are fewer than the genuine offers, the upper quantile
// is a genuine price, and the prices above the centre, which copies do not
// touch, tell how far the genuine ones spread.
func (x *Index) mainGroup(p *pool) *MainGroup {
	if p.sample.Len() < x.s.WeakFrom {
		return nil
	}
	c := p.sample.Core(robust.CoreOptions{Start: mainStart, Below: -math.Log(mainLow), Above: math.Log(mainHigh),
		Prior: mainSpread, Weight: mainWeight})
	return &MainGroup{
		N: c.To - c.From + 1, Low: p.amount(c.From), High: p.amount(c.To),
		Centre: listing.Amount{Minor: int64(math.Round(
			float64(p.prices[c.From]) * math.Exp(c.Mean-p.sample.At(c.From)))), Currency: x.currency},
		SD: c.SD, centre: c.Mean,
	}
}
