package robust

import (
	"math"
	"sort"
)

// Gap is the widest step between neighbours of a sorted sample.
type Gap struct {
	Width        float64 // in the unit of the values
	Lower, Upper int     // how many values are under and over it
}

// equal is the relative difference under which two widths count as the same, so
// that rounding does not choose between them.
const equal = 1e-9

// LargestGap finds the widest step that has at least side values on each side,
// the lowest of equally wide ones; side under 1 counts as 1. The zero Gap means
// that there is none: fewer than 2 side values, or all equal.
func (s Sample) LargestGap(side int) Gap {
	side = max(side, 1)
	var best Gap
	n := s.Len()
	for i := side; i <= n-side; i++ {
		if width := s.At(i) - s.At(i-1); width > best.Width*(1+equal) {
			best = Gap{Width: width, Lower: i, Upper: n - i}
		}
	}
	return best
}

// ShortestHalf finds the shortest interval that holds floor(n/2) + 1 of the
// values, the highest of equally short ones, and gives the ranks from and to of
// its ends, counted from 0. Its midpoint is the least median of squares estimate
// of location (Rousseeuw & Leroy, Robust Regression and Outlier Detection, 1987),
// the mean of its values the shorth (Andrews et al., Robust Estimates of
// Location, 1972): both stay with the denser part of a sample up to nearly half
// of it being elsewhere. It is 0, -1 for n 0.
func (s Sample) ShortestHalf() (from, to int) {
	n := s.Len()
	if n == 0 {
		return 0, -1
	}
	h := min(n/2+1, n)
	for i := 1; i+h <= n; i++ {
		if s.At(i+h-1)-s.At(i) <= (s.At(from+h-1)-s.At(from))*(1+equal) {
			from = i
		}
	}
	return from, from + h - 1
}

// Mean is the mean of the values of ranks from to to; NaN when there is none.
func (s Sample) Mean(from, to int) float64 {
	if to < from {
		return math.NaN()
	}
	first, sum := s.At(from), 0.0 // equal values have exactly their own mean
	for i := from; i <= to; i++ {
		sum += s.At(i) - first
	}
	return first + sum/float64(to-from+1)
}

// UpperMAD is the median of x - centre over the values not under centre, in the
// unit of the values. Around the centre of a symmetric distribution it estimates
// the same as the MAD, but values far below do not touch it. It is 0 when no
// value is over the centre.
func (s Sample) UpperMAD(centre float64) float64 {
	n := s.Len()
	edge := centre - 1e-12*math.Abs(centre) // a value that only rounding puts below counts
	first := sort.Search(n, func(i int) bool { return s.At(i) >= edge })
	if first == n {
		return 0
	}
	return max(0, middle(n-first, func(i int) float64 { return s.At(first+i) - centre }))
}
