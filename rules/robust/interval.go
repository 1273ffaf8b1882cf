package robust

import "math"

// Interval encloses a parameter with the stated probability.
type Interval struct {
	Low, High float64
	Coverage  float64 // exact unless a warning says otherwise
	N         int
	Warnings  []string
}

// MedianRanks gives the rank k, from 1, for which the k-th smallest and the
// k-th largest of n independent values from a continuous distribution enclose
// its median with at least the wanted probability, k as large as possible, and
// the exact coverage 1 - 2 P(B < k), B binomial (n, 1/2) (David & Nagaraja,
// Order Statistics). If even the extremes do not suffice, k is 1, and the
// coverage is 1 - 2^(1-n). It gives 0, 0 for n 0 and 1, 0 for n 1.
func MedianRanks(n int, wanted float64) (k int, coverage float64) {
	if n < 1 {
		return 0, 0
	}
	// Ten standard deviations under the mean the tail is below 1e-22.
	start := max(0, n/2-int(5*math.Sqrt(float64(n)))-1)
	term := binomialHalf(n, start)
	below := term // P(B <= start)
	k, coverage = start+1, 1-2*below
	for i := start + 1; i < (n+1)/2; i++ {
		term *= float64(n-i+1) / float64(i)
		if below += term; 1-2*below < wanted {
			break
		}
		k, coverage = i+1, 1-2*below
	}
	return k, max(0, coverage)
}

// binomialHalf is P(B = k) for B binomial (n, 1/2).
func binomialHalf(n, k int) float64 {
	if k == 0 {
		return math.Exp2(-float64(n))
	}
	lg := func(i int) float64 { v, _ := math.Lgamma(float64(i) + 1); return v }
	return math.Exp(lg(n) - lg(k) - lg(n-k) - float64(n)*math.Ln2)
}

// MedianInterval gives the order-statistic interval for the median, in the unit
// of x; see MedianRanks. For n 0 both ends are NaN.
func MedianInterval(x []float64, wanted float64) Interval {
	if len(x) == 0 || !allFinite(x) {
		return Interval{Low: math.NaN(), High: math.NaN(), N: len(x), Warnings: []string{"no finite values"}}
	}
	s := NewSample(x)
	k, coverage := MedianRanks(len(x), wanted)
	out := Interval{Low: s.At(k - 1), High: s.At(len(x) - k), Coverage: coverage, N: len(x)}
	if coverage < wanted {
		out.Warnings = append(out.Warnings, "too few values for the wanted coverage")
	}
	return out
}
