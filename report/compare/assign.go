package compare

import (
	"cmp"
	"slices"
)

// pair is an earlier and a later listing that may be one offer. The higher the
// score the better the evidence; pairs of equal score are equally good.
type pair struct {
	old, new *item
	score    int
	basis    []string
}

// tie is a set of listings of both sides of which each could be joined to
// several others equally well.
type tie struct {
	old, new []*item
	basis    []string
}

// assign chooses pairs one to one, best score first. Of pairs with equal score
// only those are chosen whose listings stand in no other; the rest are ties, and
// their listings are in no pair of lower score. The result does not depend on
// the order of the pairs.
func assign(pairs []pair) (chosen []pair, ties []tie) {
	slices.SortFunc(pairs, func(a, b pair) int {
		return cmp.Or(cmp.Compare(b.score, a.score), cmp.Compare(a.old.n, b.old.n), cmp.Compare(a.new.n, b.new.n))
	})
	used := map[*item]bool{}
	for len(pairs) > 0 {
		n := 1
		for n < len(pairs) && pairs[n].score == pairs[0].score {
			n++
		}
		level := pairs[:n]
		pairs = pairs[n:]
		degree := map[*item]int{}
		var free []pair
		for _, p := range level {
			if !used[p.old] && !used[p.new] {
				free = append(free, p)
				degree[p.old]++
				degree[p.new]++
			}
		}
		var tied []pair
		for _, p := range free {
			used[p.old], used[p.new] = true, true
			if degree[p.old] == 1 && degree[p.new] == 1 {
				chosen = append(chosen, p)
			} else {
				tied = append(tied, p)
			}
		}
		ties = append(ties, connected(tied)...)
	}
	return chosen, ties
}

// connected parts tied pairs into sets that share no listing.
func connected(pairs []pair) []tie {
	head := map[*item]*item{}
	find := func(i *item) *item {
		for head[i] != nil {
			i = head[i]
		}
		return i
	}
	for _, p := range pairs {
		if a, b := find(p.old), find(p.new); a != b {
			if a.n > b.n {
				a, b = b, a
			}
			head[b] = a
		}
	}
	at := map[*item]int{}
	var list []tie
	for _, p := range pairs {
		root := find(p.old)
		i, ok := at[root]
		if !ok {
			i = len(list)
			at[root] = i
			list = append(list, tie{basis: p.basis})
		}
		list[i].old, list[i].new = append(list[i].old, p.old), append(list[i].new, p.new)
	}
	for i := range list {
		list[i].old, list[i].new = once(list[i].old), once(list[i].new)
	}
	return list
}

// once sorts listings by number and drops repetitions.
func once(list []*item) []*item {
	slices.SortFunc(list, func(a, b *item) int { return cmp.Compare(a.n, b.n) })
	return slices.Compact(list)
}
