package calibrate

import (
	"slices"

	"counterfoil/rules/weighing"
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

// sums gives what each family contributes, in decibans, by the audit's own
// weighing.
func (m *model) sums(weights []float64, c *Case) []float64 {
	families, db := make([]int, len(c.Findings)), make([]float64, len(c.Findings))
	for i, f := range c.Findings {
		families[i], db[i] = m.of[f.Rule], weights[f.Rule]*f.Strength
	}
	sums := make([]float64, len(m.families))
	for i, share := range weighing.Shares(families, db) {
		sums[families[i]] += share
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
