package robust

import "math"

// QuantileType is one of the sample quantiles of Hyndman & Fan, Sample
// Quantiles in Statistical Packages (1996), by their number.
type QuantileType int

const (
	Weibull        QuantileType = 6 // position p (n + 1)
	Linear         QuantileType = 7 // position p (n - 1) + 1
	MedianUnbiased QuantileType = 8 // position p (n + 1/3) + 1/3, which they recommend
)

// Quantile gives the p-quantile of x, in the unit of x: linear between the order
// statistics on both sides of the type's position, the extremes beyond them.
// NaN for n 0, a p outside 0 to 1 and an unknown type, with a warning; the value
// itself for n 1.
func Quantile(x []float64, p float64, kind QuantileType) Stat {
	n := float64(len(x))
	var position float64
	switch kind {
	case Weibull:
		position = p * (n + 1)
	case Linear:
		position = p*(n-1) + 1
	case MedianUnbiased:
		position = p*(n+1./3) + 1./3
	default:
		return Stat{Value: math.NaN(), N: len(x), Spread: math.NaN(), Warnings: []string{"unknown quantile type"}}
	}
	if !(p >= 0 && p <= 1) {
		return Stat{Value: math.NaN(), N: len(x), Spread: math.NaN(), Warnings: []string{"p is not between 0 and 1"}}
	}
	return stat(x, func(s Sample) float64 {
		if s.Len() == 0 {
			return math.NaN()
		}
		position := min(max(position, 1), n)
		i := int(position)
		low := s.At(i - 1)
		if fraction := position - float64(i); fraction > 0 {
			return low + fraction*(s.At(i)-low)
		}
		return low
	})
}
