package market

import "math"

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
