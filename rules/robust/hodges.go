package robust

import (
	"math"
	"slices"
)

const (
	// hodgesLimit bounds the n (n + 1) / 2 averages that are held in memory.
	hodgesLimit = 2000
	// wilcoxonExact is the n up to which the exact distribution is summed.
	wilcoxonExact = 200
)

// HodgesLehmann gives the median of all Walsh averages (x[i] + x[j]) / 2, i <= j
// (Hodges & Lehmann 1963), in the unit of x, and the interval for the centre of
// a symmetric distribution that the exact signed-rank distribution gives
// (Hollander & Wolfe, Nonparametric Statistical Methods): from n 200 on its
// normal approximation, with a warning. NaN for n 0 and, with a warning, for n
// over 2000; for n 1 the value itself, with coverage 0.
func HodgesLehmann(x []float64, wanted float64) (Stat, Interval) {
	n := len(x)
	if why := hodgesRefusal(x); why != "" {
		warn := []string{why}
		return Stat{Value: math.NaN(), N: n, Spread: math.NaN(), Warnings: warn},
			Interval{Low: math.NaN(), High: math.NaN(), N: n, Warnings: warn}
	}
	walsh := make([]float64, 0, n*(n+1)/2)
	for i, a := range x {
		for _, b := range x[i:] {
			walsh = append(walsh, a+(b-a)/2)
		}
	}
	slices.Sort(walsh)
	estimate := stat(x, Sample.MAD)
	estimate.Value = middle(len(walsh), func(i int) float64 { return walsh[i] })

	k, coverage, exact := signedRankCut(n, wanted)
	interval := Interval{Low: walsh[k-1], High: walsh[len(walsh)-k], Coverage: coverage, N: n}
	if !exact {
		interval.Warnings = append(interval.Warnings, "coverage by the normal approximation")
	}
	if coverage < wanted {
		interval.Warnings = append(interval.Warnings, "too few values for the wanted coverage")
	}
	return estimate, interval
}

func hodgesRefusal(x []float64) string {
	switch {
	case len(x) == 0:
		return "no values"
	case len(x) > hodgesLimit:
		return "more than 2000 values: not computed"
	case !allFinite(x):
		return notFinite
	}
	return ""
}

// signedRankCut gives the greatest k >= 1 for which the k-th smallest and the
// k-th largest Walsh average enclose the centre with at least the wanted
// probability 1 - 2 P(W < k).
func signedRankCut(n int, wanted float64) (k int, coverage float64, exact bool) {
	if n >= wilcoxonExact {
		mean := float64(n) * float64(n+1) / 4
		sd := math.Sqrt(mean * float64(2*n+1) / 6)
		z := math.Sqrt2 * math.Erfinv(wanted)
		return max(1, int(math.Floor(mean-z*sd))), wanted, false
	}
	density := signedRank(n)
	below := density[0]
	k, coverage = 1, 1-2*below
	for i := 1; i < (len(density)+1)/2; i++ {
		if below += density[i]; 1-2*below < wanted {
			break
		}
		k, coverage = i+1, 1-2*below
	}
	return k, max(0, coverage), true
}

// signedRank gives P(W = w) for w 0 to n (n + 1) / 2, W the sum of those ranks
// 1 to n that a fair coin picks.
func signedRank(n int) []float64 {
	p := make([]float64, n*(n+1)/2+1)
	p[0] = 1
	for rank, top := 1, 1; rank <= n; rank, top = rank+1, top+rank+1 {
		for w := top; w >= 0; w-- {
			p[w] /= 2
			if w >= rank {
				p[w] += p[w-rank] / 2
			}
		}
	}
	return p
}
