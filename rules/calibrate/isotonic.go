package calibrate

import (
	"cmp"
	"slices"
)

// Step is a piece of an isotonic curve: probabilities from From to To, whose
// listings are copies with the share Share.
type Step struct {
	From, To float64
	N        int
	Share    float64
}

// PoolAdjacent is the non-decreasing sequence nearest to y by weighted least
// squares: neighbours that fall are pooled to their mean until none does (pool
// adjacent violators; Ayer, Brunk, Ewing, Reid and Silverman 1955). weights may
// be nil, which means equal ones. The result has the length of y, which is not
// changed.
func PoolAdjacent(y, weights []float64) []float64 {
	type block struct {
		mean, weight float64
		n            int
	}
	var blocks []block
	for i, v := range y {
		b := block{v, 1, 1}
		if weights != nil {
			b.weight = weights[i]
		}
		for len(blocks) > 0 && blocks[len(blocks)-1].mean >= b.mean {
			last := blocks[len(blocks)-1]
			blocks = blocks[:len(blocks)-1]
			sum := last.weight + b.weight
			b = block{(last.mean*last.weight + b.mean*b.weight) / sum, sum, last.n + b.n}
		}
		blocks = append(blocks, b)
	}
	fit := make([]float64, 0, len(y))
	for _, b := range blocks {
		for range b.n {
			fit = append(fit, b.mean)
		}
	}
	return fit
}

// Curve is the isotonic regression of the outcomes on the probabilities, equal
// probabilities taken together: what the probabilities should have been, if
// their order is right.
func Curve(copies []bool, p []float64) []Step {
	sorted := slices.Clone(p)
	slices.SortFunc(sorted, func(a, b float64) int { return cmp.Compare(b, a) })
	values := slices.Compact(sorted)
	ties := groups(copies, p) // highest first, as values
	slices.Reverse(values)
	slices.Reverse(ties)
	shares, weights := make([]float64, len(ties)), make([]float64, len(ties))
	for i, g := range ties {
		shares[i], weights[i] = float64(g.copies)/float64(g.n), float64(g.n)
	}
	var steps []Step
	for i, share := range PoolAdjacent(shares, weights) {
		if i == 0 || share != steps[len(steps)-1].Share {
			steps = append(steps, Step{From: values[i], Share: share})
		}
		s := &steps[len(steps)-1]
		s.To = values[i]
		s.N += ties[i].n
	}
	return steps
}
