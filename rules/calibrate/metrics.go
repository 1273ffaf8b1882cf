package calibrate

import (
	"cmp"
	"math"
	"slices"
)

// Listings of equal score have no order. All measures of a ranking treat them
// as one group, so that none depends on how the input was sorted.

// group is the listings of one score.
type group struct{ n, copies int }

// groups sorts by score, highest first.
func groups(copies []bool, scores []float64) []group {
	order := make([]int, len(scores))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(scores[b], scores[a]) })
	var list []group
	for k, i := range order {
		if k == 0 || scores[i] != scores[order[k-1]] {
			list = append(list, group{})
		}
		g := &list[len(list)-1]
		g.n++
		if copies[i] {
			g.copies++
		}
	}
	return list
}

// AveragePrecision is the sum over the score groups of the precision down to
// the group, times the share of all copies in it; 0 without copies. It is
// scikit-learn's average_precision_score, without interpolation.
func AveragePrecision(copies []bool, scores []float64) float64 {
	n, found, sum := 0, 0, 0.0
	for _, g := range groups(copies, scores) {
		n, found = n+g.n, found+g.copies
		sum += float64(g.copies) * float64(found) / float64(n)
	}
	if found == 0 {
		return 0
	}
	return sum / float64(found)
}

// ROCArea is the chance that a copy has a higher score than a genuine listing,
// ties counting half (Mann and Whitney 1947; Hanley and McNeil 1982); 0.5 when
// there is none of a kind.
func ROCArea(copies []bool, scores []float64) float64 {
	above, genuine, sum := 0.0, 0.0, 0.0
	for _, g := range groups(copies, scores) {
		c, o := float64(g.copies), float64(g.n-g.copies)
		sum += o * (above + c/2)
		above, genuine = above+c, genuine+o
	}
	if above == 0 || genuine == 0 {
		return 0.5
	}
	return sum / above / genuine
}

// PrecisionAt is the share of copies among the first k; of a score group that
// is cut by k, each listing counts alike. ok is false for fewer than k.
func PrecisionAt(copies []bool, scores []float64, k int) (share float64, ok bool) {
	left, found := k, 0.0
	for _, g := range groups(copies, scores) {
		take := min(left, g.n)
		found += float64(take) * float64(g.copies) / float64(g.n)
		left -= take
	}
	return found / float64(k), left == 0
}

// NDCG is the normalised discounted cumulative gain of gains ranked by score:
// the sum of gain / log2(1 + rank), over the same for the best order (Järvelin
// and Kekäläinen 2002), ties averaged (McSherry and Najork 2008); 0 without gain.
func NDCG(gains, scores []float64) float64 {
	best := dcg(gains, gains)
	if best == 0 {
		return 0
	}
	return dcg(gains, scores) / best
}

func dcg(gains, scores []float64) float64 {
	order := make([]int, len(scores))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(scores[b], scores[a]) })
	sum := 0.0
	for from := 0; from < len(order); {
		gain, discount, to := 0.0, 0.0, from
		for ; to < len(order) && scores[order[to]] == scores[order[from]]; to++ {
			gain += gains[order[to]]
			discount += 1 / math.Log2(float64(to)+2)
		}
		sum += gain / float64(to-from) * discount
		from = to
	}
	return sum
}

// Brier is the mean squared difference between probability and outcome (Brier
// 1950): 0 is perfect, and a half said of everything gives 0.25.
func Brier(copies []bool, p []float64) float64 {
	sum := 0.0
	for i := range p {
		sum += squaredError(copies[i], p[i])
	}
	return sum / float64(len(p))
}

func squaredError(isCopy bool, p float64) float64 {
	if isCopy {
		p = 1 - p
	}
	return p * p
}

// meanDifference is the mean of after - before of the squared errors, with the
// standard error of a paired comparison.
func meanDifference(copies []bool, before, after []float64) (d Difference) {
	n := float64(len(copies))
	squares := 0.0
	for i := range copies {
		x := squaredError(copies[i], after[i]) - squaredError(copies[i], before[i])
		d.Mean += x / n
		squares += x * x / n
	}
	d.SD = math.Sqrt(max(squares-d.Mean*d.Mean, 0) / max(n-1, 1))
	return d
}

// Bin is a row of a reliability table.
type Bin struct {
	From, To  float64 // of the probability; To is outside, save for 1
	N, Copies int
	Mean      float64 // mean probability
	Low, High float64 // 95 % interval of the share of copies, see Wilson
}

// Reliability sorts probabilities into ten bins of equal width; empty ones are
// left out.
func Reliability(copies []bool, p []float64) []Bin {
	const n = 10
	var bins [n]Bin
	for i := range p {
		b := &bins[min(int(p[i]*n), n-1)]
		b.N++
		b.Mean += p[i]
		if copies[i] {
			b.Copies++
		}
	}
	var list []Bin
	for i, b := range bins {
		if b.N > 0 {
			b.From, b.To = float64(i)/n, float64(i+1)/n
			b.Mean /= float64(b.N)
			b.Low, b.High = Wilson(b.Copies, b.N)
			list = append(list, b)
		}
	}
	return list
}

// Wilson is the 95 % score interval of a share (Wilson 1927).
func Wilson(hits, n int) (low, high float64) {
	m, p := float64(n), float64(hits)/float64(n)
	centre := p + z95*z95/(2*m)
	half := z95 * math.Sqrt(p*(1-p)/m+z95*z95/(4*m*m))
	scale := 1 + z95*z95/m
	return max((centre-half)/scale, 0), min((centre+half)/scale, 1)
}
