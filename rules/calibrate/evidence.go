package calibrate

import (
	"cmp"
	"math"
	"slices"
)

// model weighs cases as the audit does.
type model struct {
	families []string // in the order of their first rule
	of       []int    // family number of each rule
}

func newModel(rules []Rule) *model {
	m := &model{of: make([]int, len(rules))}
	for i, r := range rules {
		f := slices.Index(m.families, r.Family)
		if f < 0 {
			f = len(m.families)
			m.families = append(m.families, r.Family)
		}
		m.of[i] = f
	}
	return m
}

// sums gives what each family contributes, in decibans: its weights by size,
// largest first, positive and negative apart, with the factors 1, 1/2, 1/4, ...
// It is the audit's weighing, which a test holds it against.
func (m *model) sums(weights []float64, c *Case) []float64 {
	order := slices.Clone(c.Findings)
	db := func(f Finding) float64 { return weights[f.Rule] * f.Strength }
	slices.SortStableFunc(order, func(a, b Finding) int { return cmp.Compare(math.Abs(db(b)), math.Abs(db(a))) })
	sums := make([]float64, len(m.families))
	n := make([][2]int, len(m.families))
	for _, f := range order {
		w, family := db(f), m.of[f.Rule]
		side := 0
		if w < 0 {
			side = 1
		}
		sums[family] += math.Ldexp(w, -n[family][side])
		n[family][side]++
	}
	return sums
}

func total(sums []float64) float64 {
	t := 0.0
	for _, s := range sums {
		t += s
	}
	return t
}
