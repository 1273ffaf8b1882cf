package sellers

import "counterfoil/rules/disjoint"

// edge joins two nodes.
type edge struct{ a, b int }

// components gives each of n nodes the least node of its component, over the
// edges that are not cut. cut may be nil.
func components(n int, edges []edge, cut []bool) []int {
	sets := disjoint.New[int](n)
	for i, e := range edges {
		if cut == nil || !cut[i] {
			sets.Join(e.a, e.b)
		}
	}
	for i := range sets {
		sets[i] = sets.Of(i)
	}
	return sets
}
