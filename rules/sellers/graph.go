package sellers

// edge joins two nodes.
type edge struct{ a, b int }

// components gives each of n nodes the least node of its component, over the
// edges that are not cut. cut may be nil.
func components(n int, edges []edge, cut []bool) []int {
	parent := make([]int, n)
	for i := range parent {
		parent[i] = i
	}
	find := func(i int) int {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	for i, e := range edges {
		if cut != nil && cut[i] {
			continue
		}
		if a, b := find(e.a), find(e.b); a != b {
			parent[max(a, b)] = min(a, b)
		}
	}
	for i := range parent {
		parent[i] = find(i)
	}
	return parent
}
