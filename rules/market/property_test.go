package market

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"counterfoil/rules/robust"
)

// drawOffers gives offers of one market with few different prices and sellers,
// so that ties and seller groups are common.
func drawOffers(t *rapid.T, step int64) []Offer {
	n := rapid.IntRange(1, 30).Draw(t, "offers")
	var offers []Offer
	for i := range n {
		o := genuine(i, step*int64(rapid.IntRange(1, 25).Draw(t, "price")))
		if s := rapid.IntRange(0, 15).Draw(t, "seller"); s > 0 {
			o.SellerGroup = fmt.Sprint("S", s)
		} else {
			o.SellerGroup = ""
		}
		offers = append(offers, o)
	}
	return offers
}

// othersOf lists the prices of the other seller groups in the plainest way.
func othersOf(offers []Offer, tested int) (logs []float64, count int) {
	byGroup := map[string][]Offer{}
	for i, o := range offers {
		name := o.SellerGroup
		if name == "" {
			name = fmt.Sprint("alone ", i)
		}
		byGroup[name] = append(byGroup[name], o)
	}
	for _, group := range byGroup {
		own := slices.ContainsFunc(group, func(o Offer) bool { return o.Listing == tested })
		if own {
			continue
		}
		slices.SortFunc(group, func(a, b Offer) int { return cmp.Compare(a.Price.Minor, b.Price.Minor) })
		logs = append(logs, math.Log(group[(len(group)-1)/2].Price.Float()))
		count += len(group)
	}
	return logs, count
}

func TestLeaveOneOutProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		offers := drawOffers(t, 1000)
		x := build(offers)
		for i, o := range offers {
			a := x.Assess(i)
			logs, count := othersOf(offers, i)
			require.Equal(t, len(logs), a.N)
			require.Equal(t, count, a.Offers)
			included, excluded := x.Inputs(i)
			require.Len(t, included, a.N)
			require.Len(t, excluded, len(offers)-a.N)
			if a.N == 0 {
				continue
			}
			median := robust.Median(logs)
			require.InDelta(t, median.Spread, a.MAD, 1e-12)
			require.InDelta(t, math.Exp(median.Value), a.Median.Float(), .0051)
			interval := robust.MedianInterval(logs, .95)
			require.InDelta(t, math.Exp(interval.Low), a.Low.Float(), 1e-9)
			require.InDelta(t, math.Exp(interval.High), a.High.Float(), 1e-9)
			require.Equal(t, interval.Coverage, a.Coverage)
			if a.Scored {
				mad := median.Spread * robust.MADFactor(a.N)
				if mad == 0 {
					mad, _ = robust.NewSample(logs).ScoreMAD(0, 1)
				}
				want := robust.ModifiedZ(math.Log(o.Price.Float()), median.Value, max(mad, .05))
				require.InDelta(t, want, a.Score, 1e-9)
			}
		}
	})
}

// verdicts are what a report prints of an assessment besides amounts.
func verdicts(a Assessment) string {
	return fmt.Sprint(a.N, a.Band, a.LowOutlier, a.LowRatio, a.BelowReference, a.LowerGroup, a.UnderMain, a.Normal, a.Scored)
}

// Prices in another unit, a thousand times as large, change no verdict.
func TestScaleInvarianceProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		offers := drawOffers(t, 100)
		large := slices.Clone(offers)
		for i := range large {
			large[i].Price.Minor *= 1000
		}
		x := build(offers, authorised(1000, "2026-01-01"))
		y := build(large, authorised(1_000_000, "2026-01-01"))
		for i := range offers {
			a, b := x.Assess(i), y.Assess(i)
			require.Equal(t, verdicts(a), verdicts(b))
			require.InDelta(t, a.Score, b.Score, 1e-6)
			require.InDelta(t, a.MAD, b.MAD, 1e-9)
		}
	})
}

func TestPermutationInvarianceProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		offers := drawOffers(t, 1000)
		x, y := build(offers), build(rapid.Permutation(offers).Draw(t, "order"))
		require.Equal(t, x.Markets(), y.Markets())
		for i := range offers {
			require.Equal(t, x.Assess(i), y.Assess(i))
		}
	})
}

// benchOffers spreads n offers over a few big markets and many small ones.
func benchOffers(n int) []Offer {
	r := rand.New(rand.NewPCG(7, 7))
	offers := make([]Offer, n)
	for i := range offers {
		o := genuine(i, int64(100_000*math.Exp(.2*r.NormFloat64())))
		if i%2 == 0 {
			o.Part = fmt.Sprint("BB-", r.IntN(n/40+1))
		}
		o.SellerGroup = fmt.Sprint("S", r.IntN(n/2+1))
		offers[i] = o
	}
	return offers
}

func BenchmarkBuildAndAssess(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000, 1_000_000} {
		offers := benchOffers(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				x := build(offers)
				for i := range offers {
					x.Assess(i)
				}
			}
		})
	}
}

func BenchmarkBuild(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000, 1_000_000} {
		offers := benchOffers(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				build(offers)
			}
		})
	}
}
