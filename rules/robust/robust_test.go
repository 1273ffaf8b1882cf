package robust

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// grubbs is the example of the NIST/SEMATECH e-Handbook of Statistical Methods,
// 1.3.5.17.1 (data of Tietjen & Moore 1972).
var grubbs = []float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}

// chem is the data set of that name in the R package MASS (Venables & Ripley).
var chem = []float64{2.9, 3.1, 3.4, 3.4, 3.7, 3.7, 2.8, 2.5, 2.4, 2.4, 2.7, 2.2, 5.28, 3.37,
	3.03, 3.03, 28.95, 3.77, 3.4, 2.2, 3.5, 3.6, 3.7, 3.7}

// The NIST data; median, raw MAD and scores computed with R.
func TestGrubbsData(t *testing.T) {
	scores, median := Scores(grubbs)
	assert.InDelta(t, 201.37, median.Value, 1e-12)
	assert.InDelta(t, .995, median.Spread, 1e-12)
	assert.Equal(t, 8, median.N)
	assert.Empty(t, median.Warnings)
	assert.InDeltaSlice(t, []float64{-1.3965, -1.2473, -.7999, -.3728, .3728, .3932, .5491, 29.9627}, scores, 5e-5)
	outliers := 0
	for _, z := range scores {
		if math.Abs(z) > 3.5 { // Iglewicz & Hoaglin 1993
			outliers++
		}
	}
	assert.Equal(t, 1, outliers, "245.57 is the handbook's outlier")
}

// Venables & Ripley, Modern Applied Statistics with S, give both figures.
func TestChemData(t *testing.T) {
	assert.InDelta(t, 3.385, Median(chem).Value, 1e-12)
	assert.InDelta(t, .526323, ScaledMAD(chem).Value, 1e-6)
}

// Croux & Rousseeuw 1992, from memory.
func TestMADFactor(t *testing.T) {
	for n, want := range map[int]float64{0: 1, 1: 1, 2: 1.196, 3: 1.495, 4: 1.363, 5: 1.206, 9: 1.107,
		10: 10 / 9.2, 100: 100 / 99.2} {
		assert.InDelta(t, want, MADFactor(n), 1e-12, "n %d", n)
	}
}

// What the factors are for: the scaled MAD of normal values becomes unbiased.
func TestMADFactorProperty(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1992))
	for n := 2; n <= 14; n++ {
		const samples = 40_000
		sum, x := 0.0, make([]float64, n)
		for range samples {
			for i := range x {
				x[i] = r.NormFloat64()
			}
			sum += NormalFactor * MADFactor(n) * NewSample(x).MAD()
		}
		assert.InDelta(t, 1, sum/samples, .012, "n %d", n)
	}
}

// Mean absolute deviation worked by hand: 1 1 1 1 9 has median 1, MAD 0 and mean
// absolute deviation 8/5, so the 9 scores 8 / (1.253314 x 1.6).
func TestScoresWhenMADIsZero(t *testing.T) {
	scores, median := Scores([]float64{1, 9, 1, 1, 1})
	assert.InDelta(t, 8/(1.253314*1.6), scores[1], 1e-12)
	assert.Zero(t, scores[0])
	assert.Len(t, median.Warnings, 2)

	scores, median = Scores([]float64{4, 4, 4})
	assert.Nil(t, scores)
	assert.Contains(t, median.Warnings, "all values are equal: no scores")
	assert.True(t, math.IsNaN(ModifiedZ(1, 0, 0)))
}

func TestFewValues(t *testing.T) {
	for _, f := range []func([]float64) Stat{Median, MAD, ScaledMAD, Dip} {
		empty, one := f(nil), f([]float64{7})
		assert.True(t, math.IsNaN(empty.Value))
		assert.NotEmpty(t, empty.Warnings)
		assert.Equal(t, 1, one.N)
		assert.NotEmpty(t, one.Warnings)
		assert.True(t, math.IsNaN(f([]float64{1, math.NaN()}).Value))
	}
	assert.Equal(t, 7., Median([]float64{7}).Value)
	assert.Zero(t, MAD([]float64{7}).Value)
	scores, _ := Scores([]float64{7})
	assert.Nil(t, scores)
	assert.True(t, math.IsNaN(MedianInterval(nil, .95).Low))
	for _, x := range [][]float64{nil, {math.Inf(1)}, make([]float64, 2001)} {
		estimate, interval := HodgesLehmann(x, .95)
		assert.True(t, math.IsNaN(estimate.Value))
		assert.NotEmpty(t, interval.Warnings)
	}
	estimate, interval := HodgesLehmann([]float64{7}, .95)
	assert.Equal(t, 7., estimate.Value)
	assert.Zero(t, interval.Coverage)
}

// The exact identity for min-max, 1 - 2^(1-n), and binomial figures computed
// with R's pbinom.
func TestMedianRanks(t *testing.T) {
	for _, c := range []struct {
		n, k     int
		coverage float64
	}{
		{0, 0, 0}, {1, 1, 0}, {2, 1, .5}, {5, 1, .9375}, {6, 1, .96875},
		{10, 2, .9785156}, {20, 6, .9586105}, {50, 18, .9671609}, {1000, 469, .9537088},
	} {
		k, coverage := MedianRanks(c.n, .95)
		assert.Equal(t, c.k, k, "n %d", c.n)
		assert.InDelta(t, c.coverage, coverage, 1e-7, "n %d", c.n)
	}
	for n := 1; n < 40; n++ {
		_, coverage := MedianRanks(n, 1)
		assert.InDelta(t, 1-math.Exp2(float64(1-n)), coverage, 1e-14)
	}
	k, coverage := MedianRanks(1_000_000, .95)
	assert.InDelta(t, 500_000-1.959964*500, float64(k), 1, "normal approximation")
	assert.InDelta(t, .95, coverage, 1e-3)
}

func TestMedianInterval(t *testing.T) {
	got := MedianInterval(grubbs[:5], .95)
	assert.Equal(t, Interval{Low: 199.31, High: 201.92, Coverage: .9375, N: 5,
		Warnings: []string{"too few values for the wanted coverage"}}, got)
	assert.Empty(t, MedianInterval(grubbs, .95).Warnings)
}

// Hollander & Wolfe, Nonparametric Statistical Methods, depression scores: -0.46
// with the 96 % interval -.786 to -.010. R's wilcox.test gives the same.
func TestHodgesLehmann(t *testing.T) {
	x := []float64{-.952, .147, -1.022, -.430, -.620, -.590, -.490, .080, -.010}
	estimate, interval := HodgesLehmann(x, .95)
	assert.InDelta(t, -.46, estimate.Value, 1e-12)
	assert.InDelta(t, -.786, interval.Low, 1e-12)
	assert.InDelta(t, -.010, interval.High, 1e-12)
	assert.InDelta(t, .9609375, interval.Coverage, 1e-12)
	assert.Empty(t, interval.Warnings)
}

// Computed with R's qsignrank and psignrank.
func TestSignedRankCut(t *testing.T) {
	for _, c := range []struct {
		n, k     int
		coverage float64
	}{
		{3, 1, .75}, {5, 1, .9375}, {6, 1, .96875}, {9, 6, .9609375}, {12, 14, .9575195312},
		{20, 53, .9515590668}, {100, 1956, .9500762404},
	} {
		k, coverage, exact := signedRankCut(c.n, .95)
		assert.Equal(t, c.k, k, "n %d", c.n)
		assert.InDelta(t, c.coverage, coverage, 1e-9, "n %d", c.n)
		assert.True(t, exact)
	}
	k, _, exact := signedRankCut(200, .95)
	assert.InDelta(t, 8444, k, 30, "near the exact value")
	assert.False(t, exact)
}

// Hyndman & Fan 1996; figures computed with R's quantile.
func TestQuantile(t *testing.T) {
	x := []float64{512, 1, 2, 4, 8, 16, 32, 64, 128, 256}
	original := slices.Clone(x)
	p := []float64{.1, .25, .5, .75, .9}
	for kind, want := range map[QuantileType][]float64{
		Weibull:        {1.1, 3.5, 24, 160, 486.4},
		Linear:         {1.9, 5, 24, 112, 281.6},
		MedianUnbiased: {1.366666667, 3.833333333, 24, 138.666666667, 418.133333333},
	} {
		for i := range p {
			assert.InDelta(t, want[i], Quantile(x, p[i], kind).Value, 1e-8, "type %d, p %v", kind, p[i])
		}
		assert.Equal(t, 1., Quantile(x, 0, kind).Value)
		assert.Equal(t, 512., Quantile(x, 1, kind).Value)
		assert.Equal(t, 3., Quantile([]float64{3}, .5, kind).Value)
		assert.True(t, math.IsNaN(Quantile(nil, .5, kind).Value))
	}
	assert.Equal(t, original, x, "the caller's order stands")
	assert.NotEmpty(t, Quantile(x, 1.5, Linear).Warnings)
	assert.NotEmpty(t, Quantile(x, .5, 5).Warnings)
}

// statfaculty of Hartigan & Hartigan (R package diptest); the other figures are
// computed with that package, version 0.76, from the R data sets faithful (first
// 30 eruptions) and from a sample with many ties.
func TestDip(t *testing.T) {
	statfaculty := []float64{30, 33, 35, 36, 37, 37, 39, 39, 39, 39, 39, 40, 40, 40, 40, 41, 42, 43, 43,
		43, 44, 44, 45, 45, 46, 46, 47, 47, 48, 48, 48, 49, 50, 50, 51, 52, 52, 53, 53, 53, 53, 53, 54, 54,
		57, 57, 59, 60, 60, 60, 61, 61, 61, 61, 62, 62, 62, 62, 63, 66, 70, 72, 72}
	eruptions := []float64{3.6, 1.8, 3.333, 2.283, 4.533, 2.883, 4.7, 3.6, 1.95, 4.35, 1.833, 3.917, 4.2,
		1.75, 4.7, 2.167, 1.75, 4.8, 1.6, 4.25, 1.8, 1.75, 3.45, 3.067, 4.533, 3.6, 1.967, 4.083, 3.85, 4.433}
	ties := []float64{1, 1, 2, 2, 2, 7, 8, 8, 9, 9, 9, 9}
	assert.InDelta(t, .0595238, Dip(statfaculty).Value, 5e-8)
	assert.InDelta(t, .1020943640, Dip(eruptions).Value, 1e-9)
	assert.InDelta(t, .1736111111, Dip(ties).Value, 1e-9)
	assert.InDelta(t, .1944444, Dip([]float64{1, 2, 3, 10, 11, 12}).Value, 1e-7)
	assert.InDelta(t, .125, Dip([]float64{5, 5, 5, 5}).Value, 1e-12)

	// p .0867 of statfaculty lies over 5 %.
	assert.Less(t, Dip(statfaculty).Value, DipCritical(63))
	assert.Greater(t, Dip(eruptions).Value, DipCritical(30))
	all := NewSample(append([]float64{99}, ties...))
	assert.InDelta(t, .1736111111, all.Without(12).Dip(), 1e-9)
}

// The 95 % points of the R package diptest.
func TestDipCritical(t *testing.T) {
	for n, want := range map[int]float64{10: .13961, 20: .10513, 50: .07027, 100: .05113} {
		assert.InDelta(t, want, DipCritical(n), 5e-6, "n %d", n)
	}
	assert.Equal(t, 1., DipCritical(3))
	for n := 5; n < 100_000; n = n*11/10 + 1 {
		assert.Less(t, DipCritical(n), DipCritical(n-1), "falls with n")
	}
}

func TestLargestGap(t *testing.T) {
	s := NewSample([]float64{9, 1, 2, 3, 20, 10, 11})
	assert.Equal(t, Gap{Width: 9, Lower: 6, Upper: 1}, s.LargestGap(0))
	assert.Equal(t, Gap{Width: 6, Lower: 3, Upper: 4}, s.LargestGap(3))
	assert.Equal(t, Gap{}, s.LargestGap(4))
	assert.Equal(t, Gap{}, NewSample([]float64{5, 5, 5}).LargestGap(1))
}

// Worked by hand. 0 and 1 are strangers to 10 11 12 13: the quantile .7 is 11.5,
// within 3 of which lie the last four, with mean 11.5; over it 12 and 13 with
// squares .25 and 2.25. With an expected 1 that counts for two values the
// variance is (2 + 2.5) / 4.
func TestCore(t *testing.T) {
	options := CoreOptions{Start: .7, Below: 3, Above: 3, Prior: 1, Weight: 2}
	s := NewSample([]float64{12, 0, 10, 13, 1, 11})
	got := s.Core(options)
	assert.Equal(t, []int{2, 5}, []int{got.From, got.To})
	assert.InDelta(t, 11.5, got.Mean, 1e-12)
	assert.InDelta(t, math.Sqrt(4.5/4), got.SD, 1e-12)

	// 20 is as foreign above; the start, 12.2, and with it the core stay.
	assert.InDelta(t, 11.5, NewSample([]float64{12, 0, 10, 13, 1, 11, 20}).Core(options).Mean, 1e-12)
	assert.Equal(t, Core{To: -1}, NewSample(nil).Core(options))
	assert.InDelta(t, 7, NewSample([]float64{7}).Core(options).Mean, 1e-12)
	assert.InDelta(t, math.Sqrt(2./3), NewSample([]float64{7}).Core(options).SD, 1e-12)
}

// Leaving a value out and computing anew must agree with the fast figures.
func TestLeaveOneOutProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.IntRange(-20, 20), 1, 40).Draw(t, "x")
		values := make([]float64, len(x))
		for i, v := range x {
			values[i] = float64(v) / 8
		}
		slices.Sort(values)
		i := rapid.IntRange(0, len(x)).Draw(t, "left out")
		rest := slices.Clone(values)
		if i < len(rest) {
			rest = slices.Delete(rest, i, i+1)
		}
		got := NewSample(values).Without(i)
		require.Equal(t, len(rest), got.Len())
		if len(rest) == 0 {
			require.True(t, math.IsNaN(got.MAD()))
			return
		}
		median := plainMedian(rest)
		var deviations []float64
		var sum float64
		for _, v := range rest {
			deviations = append(deviations, math.Abs(v-median))
			sum += math.Abs(v - median)
		}
		require.Equal(t, median, got.Median())
		require.Equal(t, plainMedian(deviations), got.MAD())
		require.InDelta(t, sum/float64(len(rest)), got.MeanAbsDev(), 1e-12)
		require.Equal(t, NewSample(rest).LargestGap(2), got.LargestGap(2))
	})
}

// plainMedian is the definition, without any of the package's short cuts.
func plainMedian(x []float64) float64 {
	x = slices.Clone(x)
	slices.Sort(x)
	return (x[(len(x)-1)/2] + x[len(x)/2]) / 2
}

// Shift and scale of the values shift and scale the statistics; order is
// nothing.
func TestEquivarianceProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(-100, 100), 4, 30).Draw(t, "x")
		a := rapid.Float64Range(.5, 4).Draw(t, "scale")
		b := rapid.Float64Range(-50, 50).Draw(t, "shift")
		y := make([]float64, len(x))
		for i, v := range rapid.Permutation(x).Draw(t, "order") {
			y[i] = a*v + b
		}
		require.InDelta(t, a*Median(x).Value+b, Median(y).Value, 1e-9)
		require.InDelta(t, a*MAD(x).Value, MAD(y).Value, 1e-9)
		require.InDelta(t, a*Quantile(x, .3, MedianUnbiased).Value+b, Quantile(y, .3, MedianUnbiased).Value, 1e-9)
		hx, ix := HodgesLehmann(x, .9)
		hy, iy := HodgesLehmann(y, .9)
		require.InDelta(t, a*hx.Value+b, hy.Value, 1e-9)
		require.InDelta(t, a*ix.Low+b, iy.Low, 1e-9)
		dip := Dip(x).Value
		require.GreaterOrEqual(t, dip, 1/(2*float64(len(x)))-1e-12)
		require.LessOrEqual(t, dip, .25)
	})
}

func BenchmarkLeaveOneOut(b *testing.B) {
	x := make([]float64, 100_000)
	for i := range x {
		x[i] = math.Sin(float64(i))
	}
	s := NewSample(x)
	for i := 0; b.Loop(); i++ {
		s.Without(i % len(x)).MAD()
	}
}

func BenchmarkDip(b *testing.B) {
	x := make([]float64, 100_000)
	for i := range x {
		x[i] = math.Sin(float64(i))
	}
	for b.Loop() {
		Dip(x)
	}
}
