// Package weighing holds the one rule by which findings that share a cause are
// added up.
package weighing

import (
	"cmp"
	"math"
	"slices"
)

// Shares gives what each weight adds to the total, in the unit of the weights:
// within a family they are taken by size, largest first, positive and negative
// apart, with the factors 1, 1/2, 1/4, ..., so that one cause cannot be counted
// many times. families and weights are parallel; of equal sizes the earlier
// comes first.
func Shares[F comparable](families []F, weights []float64) []float64 {
	type side struct {
		family   F
		positive bool
	}
	order := make([]int, len(weights))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(math.Abs(weights[b]), math.Abs(weights[a]))
	})
	shares := make([]float64, len(weights))
	seen := make(map[side]int, len(weights))
	for _, i := range order {
		k := side{families[i], weights[i] > 0}
		shares[i] = math.Ldexp(weights[i], -seen[k])
		seen[k]++
	}
	return shares
}

// Sum adds the weights of one family, all positive, with the factors of [Shares].
// It sorts them, largest first.
func Sum(weights []float64) (sum float64) {
	slices.SortFunc(weights, func(a, b float64) int { return cmp.Compare(b, a) })
	for k, w := range weights {
		sum += math.Ldexp(w, -k)
	}
	return sum
}
