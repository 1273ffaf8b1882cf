package sellers

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"
)

// bond is a link as grouping weighs it.
type bond struct {
	value  int32 // number of the value in its network
	family family
	common bool
	weight float64
}

// span is what two accounts share, by their numbers in the clusters.
type span struct {
	a, b  int32
	bonds []bond
}

// strongSpan is a span that makes a strong pair.
type strongSpan struct {
	span   int32
	weight float64
}

// clusters are groups in the making.
type clusters struct {
	strong  float64
	of      []int32   // the cluster of each account: the number of its first member
	members [][]int32 // by cluster
	near    [][]int32 // spans by account
	spans   []span
	numbers [][2][]string // tax and register numbers of each account
	sources int           // see sources
	scale   *scale
}

const (
	// expected is the share of the pairs across two clusters that share something
	// of a family from which on it counts in full. Chosen on invented markets.
	expected = 0.15
	// sources is the number of accounts from which a copier would have to have
	// taken what an account or cluster shares with a group, for it to weigh more;
	// in a crowded market, where many copy, it is more. Chosen on invented markets.
	sources        = 3
	sourcesCrowded = 5
)

// newClusters prepares so many accounts, each a cluster of its own.
func newClusters(accounts int, spans []span, bar *Bar, s *scale) *clusters {
	c := &clusters{strong: bar.Strong, sources: sources, spans: spans, of: make([]int32, accounts), members: make([][]int32, accounts),
		near: make([][]int32, accounts), numbers: make([][2][]string, accounts), scale: s}
	if bar.Crowded {
		c.sources = sourcesCrowded
	}
	for i, s := range spans {
		c.near[s.a] = append(c.near[s.a], int32(i))
		c.near[s.b] = append(c.near[s.b], int32(i))
	}
	c.reset()
	return c
}

// reset takes all clusters apart.
func (c *clusters) reset() {
	own := make([]int32, len(c.of))
	for i := range c.of {
		own[i], c.of[i] = int32(i), int32(i)
		c.members[i] = own[i : i+1 : i+1]
	}
}

// scale weighs what two clusters share, each value once.
type scale struct {
	tally
	at    []int32 // place of each value among the weights of its family
	when  []int32 // the weighing in which that was
	round int32
}

func newScale(values int) *scale {
	return &scale{at: make([]int32, values), when: make([]int32, values)}
}

func (s *scale) clear() {
	s.tally.clear()
	s.round++
}

func (s *scale) add(b *bond) {
	switch {
	case b.common:
		s.common[b.family] = max(s.common[b.family], b.weight)
	case s.when[b.value] == s.round:
		w := &s.weights[b.family][s.at[b.value]]
		*w = max(*w, b.weight)
	default:
		s.when[b.value], s.at[b.value] = s.round, int32(len(s.weights[b.family]))
		s.weights[b.family] = append(s.weights[b.family], b.weight)
	}
}

// across calls f for each span between two clusters, with its end in the first.
func (c *clusters) across(one, other int32, f func(span, end int32)) {
	for _, m := range c.members[one] {
		for _, i := range c.near[m] {
			if s := &c.spans[i]; c.of[s.a+s.b-m] == other {
				f(i, m)
			}
		}
	}
}

// support weighs what speaks for one operator behind two clusters as a whole, and
// counts the links. Each value counts once, as for two sellers. What few of the
// pairs across share counts less,
//
//	10 log10(min(1, share of pairs / 0.15))
//
// for each family: accounts of one operator share things with many of the
// others, those of a chain with their neighbours alone. Own formula.
func (c *clusters) support(one, other int32) (weight float64, links int) {
	if len(c.members[one]) > len(c.members[other]) {
		one, other = other, one
	}
	t := c.scale
	t.clear()
	var shared, common [families]int
	c.across(one, other, func(i, _ int32) {
		var has, hasCommon [families]int
		list := c.spans[i].bonds
		for k := range list {
			b := &list[k]
			if t.add(b); b.common {
				hasCommon[b.family] = 1
			} else {
				has[b.family] = 1
			}
		}
		for f := range families {
			shared[f] += has[f]
			common[f] += hasCommon[f]
		}
		links += len(list)
	})
	if links == 0 {
		return 0, 0
	}
	pairs := float64(len(c.members[one])) * float64(len(c.members[other]))
	thin := func(w float64, n int) float64 {
		if n == 0 || w == 0 {
			return w
		}
		return max(0, w+10*math.Log10(min(1, float64(n)/pairs/expected)))
	}
	s := t.sums(c.strong)
	if s[material] == copyable(c.strong) && c.fromSeveral(one, other) {
		s[material] = copiedOn
	}
	for f := range s {
		s[f], t.common[f] = thin(s[f], shared[f]), thin(t.common[f], common[f])
	}
	if weight = t.withCommon(s).all(); weight >= c.strong {
		weight += c.apart(one, other)
	}
	return weight, links
}

// apart is the mean of what numbers that differ weigh, over all pairs across.
func (c *clusters) apart(one, other int32) (sum float64) {
	pairs := float64(len(c.members[one])) * float64(len(c.members[other]))
	for _, a := range c.members[one] {
		if len(c.numbers[a][0])+len(c.numbers[a][1]) == 0 {
			continue
		}
		for _, b := range c.members[other] {
			sum += numbersApart(c.numbers[a], c.numbers[b])
		}
	}
	return sum / pairs
}

// merge joins two clusters and gives the one that remains.
func (c *clusters) merge(one, other int32) int32 {
	one, other = min(one, other), max(one, other)
	for _, m := range c.members[other] {
		c.of[m] = one
	}
	c.members[one] = append(c.members[one], c.members[other]...)
	c.members[other] = nil
	return one
}

// rounds bounds how often pairs that did not join their clusters are tried again
// with the larger ones.
const rounds = 8

// grow joins clusters across the strong pairs, the heaviest first, where the
// clusters as a whole support it.
func (c *clusters) grow(pairs []strongSpan) {
	order := slices.Clone(pairs)
	slices.SortStableFunc(order, func(a, b strongSpan) int { return cmp.Compare(b.weight, a.weight) })
	tried := map[[2]int32][2]int{} // sizes at which two clusters were not joined
	for range rounds {
		grown := false
		for _, p := range order {
			s := &c.spans[p.span]
			one, other := c.of[s.a], c.of[s.b]
			if one == other {
				continue
			}
			key, sizes := [2]int32{min(one, other), max(one, other)}, [2]int{}
			sizes[0], sizes[1] = len(c.members[key[0]]), len(c.members[key[1]])
			if tried[key] == sizes {
				continue
			}
			if w, _ := c.support(one, other); w >= c.strong {
				c.merge(one, other)
				grown = true
			} else {
				tried[key] = sizes
			}
		}
		if !grown {
			return
		}
	}
}

// joined is what joined an account or cluster to a group.
type joined struct {
	weight float64
	spans  []int32
}

// attach joins accounts and clusters to groups to which no single pair but
// several things together join them: with several members they share different
// things. Small ones come first. It gives what joined them.
func (c *clusters) attach() (list []joined) {
	for range rounds {
		var order []int32
		for i, m := range c.members {
			if len(m) > 0 {
				order = append(order, int32(i))
			}
		}
		slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(len(c.members[a]), len(c.members[b])) })
		grown := false
		for _, i := range order {
			if len(c.members[i]) == 0 {
				continue
			}
			best, most := int32(-1), 0.0
			for _, g := range c.around(i) {
				if w, links := c.support(i, g); w >= c.strong && w > most && links > 1 {
					best, most = g, w
				}
			}
			if best >= 0 {
				j := joined{weight: most}
				c.across(i, best, func(span, _ int32) { j.spans = append(j.spans, span) })
				list = append(list, j)
				c.merge(i, best)
				grown = true
			}
		}
		if !grown {
			break
		}
	}
	return list
}

// around lists the groups of at least as many accounts, and of two, with which a
// cluster shares something, sorted.
func (c *clusters) around(i int32) (list []int32) {
	for _, m := range c.members[i] {
		for _, k := range c.near[m] {
			g := c.of[c.spans[k].a+c.spans[k].b-m]
			if n := len(c.members[g]); g != i && n > 1 && n >= len(c.members[i]) {
				list = append(list, g)
			}
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// numbersApart weighs tax and register numbers that differ.
func numbersApart(a, b [2][]string) float64 {
	worst := 0.0
	for k, kind := range []Kind{VAT, Register} {
		comparable, shared := false, false
		for _, n := range a[k] {
			for _, m := range b[k] {
				shared = shared || n == m
				comparable = comparable || scheme(kind, n) == scheme(kind, m)
			}
		}
		if comparable && !shared {
			worst = min(worst, disagreement(kind))
		}
	}
	return worst
}

// scheme is the country or the register of a number.
func scheme(kind Kind, n string) string {
	if kind == VAT {
		return n[:min(2, len(n))]
	}
	head, _, _ := strings.Cut(n, " ")
	return head
}

// fromSeveral reports whether what the larger of two clusters shares of pictures,
// texts and serials cannot have been copied from fewer of its accounts than sources says.
// They are counted one after the other, those with most of what is left first.
func (c *clusters) fromSeveral(smaller, larger int32) bool {
	left := map[int32]bool{}
	by := map[int32][]int32{} // values by the account of the larger cluster
	c.across(smaller, larger, func(i, end int32) {
		s := &c.spans[i]
		for _, b := range s.bonds {
			if !b.common && b.family == material {
				by[s.a+s.b-end] = append(by[s.a+s.b-end], b.value)
				left[b.value] = true
			}
		}
	})
	if len(by) < c.sources {
		return false
	}
	accounts := slices.Sorted(maps.Keys(by))
	for range c.sources - 1 {
		best, most := int32(-1), 0
		for _, a := range accounts {
			n := 0
			for _, v := range by[a] {
				if left[v] {
					n++
				}
			}
			if n > most {
				best, most = a, n
			}
		}
		for _, v := range by[best] {
			delete(left, v)
		}
	}
	return len(left) > 0
}
