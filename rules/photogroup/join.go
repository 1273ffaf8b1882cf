package photogroup

import "slices"

// cluster gives the centre of each print's group: greedy stars, so that no
// member is further than bound from its centre and chains cannot grow. The print
// with most neighbours comes first, then the lower number; each then goes to the
// nearest centre.
func cluster(prints []print, bound int) []int {
	degree := make([]int, len(prints))
	for i := range prints {
		for j := range i {
			if d, _ := distance(prints[i], prints[j]); d <= bound {
				degree[i]++
				degree[j]++
			}
		}
	}
	order := make([]int, len(prints))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return degree[b] - degree[a] })
	centre, away := make([]int, len(prints)), make([]int, len(prints))
	for i := range centre {
		centre[i], away[i] = -1, bound+1
	}
	for _, c := range order {
		if centre[c] >= 0 {
			continue
		}
		centre[c], away[c] = c, -1
		for p := range prints {
			if d, _ := distance(prints[c], prints[p]); d <= bound && d < away[p] {
				centre[p], away[p] = c, d
			}
		}
	}
	return centre
}
