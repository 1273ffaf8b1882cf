package sellers

import (
	"cmp"
	"slices"
)

// edge joins two nodes.
type edge struct {
	a, b   int
	weight float64
}

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

// bridges gives the edges whose loss parts a component, by their numbers,
// ascending (Tarjan 1974, 'A note on finding the bridges of a graph'): an edge to
// a node is one when nothing below the node reaches above it. Two edges between
// the same nodes are none.
func bridges(n int, edges []edge) []int {
	near := make([][]int, n) // edges by node
	for i, e := range edges {
		near[e.a] = append(near[e.a], i)
		near[e.b] = append(near[e.b], i)
	}
	entered, low := make([]int, n), make([]int, n)
	type step struct{ node, by, next int }
	var found []int
	time := 0
	for root := range n {
		if entered[root] != 0 || len(near[root]) == 0 {
			continue
		}
		time++
		entered[root], low[root] = time, time
		stack := []step{{root, -1, 0}}
		for len(stack) > 0 {
			s := &stack[len(stack)-1]
			if s.next == len(near[s.node]) {
				done := *s
				stack = stack[:len(stack)-1]
				if len(stack) > 0 {
					above := stack[len(stack)-1].node
					low[above] = min(low[above], low[done.node])
					if low[done.node] > entered[above] {
						found = append(found, done.by)
					}
				}
				continue
			}
			i := near[s.node][s.next]
			s.next++
			if i == s.by {
				continue
			}
			to := edges[i].a + edges[i].b - s.node
			if entered[to] != 0 {
				low[s.node] = min(low[s.node], entered[to])
				continue
			}
			time++
			entered[to], low[to] = time, time
			stack = append(stack, step{to, i, 0})
		}
	}
	slices.Sort(found)
	return found
}

// splitBridges says which edges to cut: the bridges lighter than firm that have
// at least two nodes on either side, the lightest first, each looked at as the
// earlier cuts have left the graph.
func splitBridges(n int, edges []edge, firm float64) []bool {
	cut := make([]bool, len(edges))
	weakOnes := slices.DeleteFunc(bridges(n, edges), func(i int) bool { return edges[i].weight >= firm })
	slices.SortStableFunc(weakOnes, func(a, b int) int { return cmp.Compare(edges[a].weight, edges[b].weight) })
	near := make([][]int, n)
	for i, e := range edges {
		near[e.a] = append(near[e.a], i)
		near[e.b] = append(near[e.b], i)
	}
	// more reports whether a node has a neighbour other than across the edge.
	more := func(node, across int) bool {
		return slices.ContainsFunc(near[node], func(i int) bool { return i != across && !cut[i] })
	}
	for _, i := range weakOnes {
		cut[i] = more(edges[i].a, i) && more(edges[i].b, i)
	}
	return cut
}
