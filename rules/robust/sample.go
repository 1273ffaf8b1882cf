package robust

import (
	"math"
	"slices"
	"sort"
)

// Stat is a statistic with what is needed to judge it.
type Stat struct {
	Value float64
	N     int // values it was computed from
	// Spread is the raw median absolute deviation of the values, unless the
	// function says otherwise.
	Spread   float64
	Warnings []string
}

const notFinite = "a value is not a finite number"

// Sample is a sorted sample, of which one value may be left out. Its methods
// take O(log n), so that every value can be compared with all others in
// O(n log n). The zero Sample is empty. A Sample never changes.
type Sample struct {
	x    []float64
	sums []float64 // sums[i] is the sum of the first i values
	skip int       // index of the value left out, or len(x)
}

// NewSample sorts a copy of x, which must be finite.
func NewSample(x []float64) Sample {
	x = slices.Clone(x)
	slices.Sort(x)
	return SortedSample(x)
}

// SortedSample takes over x, which must be finite, sorted and is not copied.
func SortedSample(x []float64) Sample {
	sums := make([]float64, len(x)+1)
	for i, v := range x {
		sums[i+1] = sums[i] + v
	}
	return Sample{x: x, sums: sums, skip: len(x)}
}

// Without gives the sample without its i-th smallest value, counted from 0 in
// the whole sample. It replaces an earlier Without.
func (s Sample) Without(i int) Sample {
	s.skip = i
	return s
}

// Len is the number of values, without the one left out.
func (s Sample) Len() int {
	if s.skip < len(s.x) {
		return len(s.x) - 1
	}
	return len(s.x)
}

// At is the i-th smallest value, counted from 0.
func (s Sample) At(i int) float64 {
	if i >= s.skip {
		i++
	}
	return s.x[i]
}

// Median is the middle value, or the mean of the middle two; NaN for n 0, the
// value itself for n 1.
func (s Sample) Median() float64 {
	return middle(s.Len(), s.At)
}

// middle is the median of n ascending values.
func middle(n int, at func(int) float64) float64 {
	switch {
	case n == 0:
		return math.NaN()
	case n%2 == 1:
		return at(n / 2)
	}
	a, b := at(n/2-1), at(n/2)
	return a + (b-a)/2
}

// MAD is the raw median absolute deviation, the median of |x - median|, in the
// unit of the values; NaN for n 0, and 0 for n 1 and when more than half of the
// values are equal.
func (s Sample) MAD() float64 {
	m := s.Median()
	n := s.Len()
	// Below the cut the deviations grow downwards, above it upwards: two ascending
	// sequences, whose k-th smallest member is found by bisection.
	cut := sort.Search(n, func(i int) bool { return s.At(i) >= m })
	lower := func(i int) float64 { return m - s.At(cut-1-i) }
	upper := func(i int) float64 { return s.At(cut+i) - m }
	return middle(n, func(k int) float64 { return kthOfTwo(k, cut, n-cut, lower, upper) })
}

// kthOfTwo gives the k-th smallest, from 0, of na and nb ascending values.
func kthOfTwo(k, na, nb int, a, b func(int) float64) float64 {
	first, last := max(0, k+1-nb), min(k+1, na)
	// How many of the k+1 smallest come from a.
	i := first + sort.Search(last-first, func(d int) bool {
		i := first + d
		j := k + 1 - i
		return j == 0 || a(i) >= b(j-1)
	})
	j := k + 1 - i
	switch {
	case i == 0:
		return b(j - 1)
	case j == 0:
		return a(i - 1)
	}
	return max(a(i-1), b(j-1))
}

// MeanAbsDev is the mean absolute deviation from the median, in the unit of the
// values; NaN for n 0, exactly 0 when all values are equal.
func (s Sample) MeanAbsDev() float64 {
	n := s.Len()
	if n == 0 {
		return math.NaN()
	}
	if s.At(0) == s.At(n-1) {
		return 0
	}
	m := s.Median()
	cut := sort.Search(len(s.x), func(i int) bool { return s.x[i] >= m })
	below, above := s.sums[cut], s.sums[len(s.x)]-s.sums[cut]
	nBelow, nAbove := cut, len(s.x)-cut
	if s.skip < cut {
		below, nBelow = below-s.x[s.skip], nBelow-1
	} else if s.skip < len(s.x) {
		above, nAbove = above-s.x[s.skip], nAbove-1
	}
	return max(0, (above-float64(nAbove)*m)+(float64(nBelow)*m-below)) / float64(n)
}

// Median gives the median of x. NaN for n 0; for n 1 the value, with spread 0.
func Median(x []float64) Stat {
	return stat(x, Sample.Median)
}

// MAD gives the raw median absolute deviation of x, in the unit of x; Spread is
// the same number. NaN for n 0; 0 for n 1.
func MAD(x []float64) Stat {
	return stat(x, Sample.MAD)
}

// ScaledMAD gives 1.4826 MAD, which estimates the standard deviation of normal
// values (Hampel 1974), without a finite-sample factor.
func ScaledMAD(x []float64) Stat {
	return stat(x, func(s Sample) float64 { return NormalFactor * s.MAD() })
}

func stat(x []float64, f func(Sample) float64) Stat {
	if !allFinite(x) {
		return Stat{Value: math.NaN(), N: len(x), Spread: math.NaN(), Warnings: []string{notFinite}}
	}
	s := NewSample(x)
	out := Stat{Value: f(s), N: len(x), Spread: s.MAD()}
	switch {
	case len(x) == 0:
		out.Warnings = append(out.Warnings, "no values")
	case len(x) == 1:
		out.Warnings = append(out.Warnings, "one value has no spread")
	case out.Spread == 0:
		out.Warnings = append(out.Warnings, "at least half of the values are equal: the MAD is 0")
	}
	return out
}

func allFinite(x []float64) bool {
	return !slices.ContainsFunc(x, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}
