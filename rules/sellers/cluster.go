package sellers

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// span is the links of two sellers, by their numbers, in the list of all links.
type span struct {
	a, b     int32
	from, to int
}

// clusters are groups in the making.
type clusters struct {
	n       *Network
	of      []int32   // the cluster of each seller: the number of its first member
	members [][]int32 // by cluster
	near    [][]int32 // spans by seller
	spans   []span
	numbers [][2][]string // tax and register numbers of each seller
}

const (
	// expected is the share of the pairs across two clusters that share something
	// of a family from which on it counts in full. Chosen on invented markets.
	expected = 0.15
	// sources is the number of accounts from which a copier would have to have
	// taken what an account or cluster shares with a group, for it to weigh more.
	sources = 3
)

func newClusters(n *Network, spans []span) *clusters {
	all := len(n.index.keys)
	c := &clusters{n: n, spans: spans, of: make([]int32, all), members: make([][]int32, all), near: make([][]int32, all), numbers: make([][2][]string, all)}
	for i, s := range spans {
		c.near[s.a] = append(c.near[s.a], int32(i))
		c.near[s.b] = append(c.near[s.b], int32(i))
	}
	for i, key := range n.index.keys {
		c.of[i], c.members[i] = int32(i), []int32{int32(i)}
		if len(c.near[i]) > 0 {
			c.numbers[i] = [2][]string{n.index.numbers(key, VAT), n.index.numbers(key, Register)}
		}
	}
	return c
}

// support weighs what speaks for one operator behind two clusters as a whole.
// Each value counts once, as for two sellers. What few of the pairs across share
// counts less,
//
//	10 log10(min(1, share of pairs / 0.15))
//
// for each family: accounts of one operator share things with many of the
// others, those of a chain with their neighbours alone. Own formula.
func (c *clusters) support(one, other int32) (weight float64, links []Link) {
	if len(c.members[one]) > len(c.members[other]) {
		one, other = other, one
	}
	var t tally
	var shared, common [families]int
	for _, m := range c.members[one] {
		for _, i := range c.near[m] {
			s := c.spans[i]
			if c.of[s.a+s.b-m] != other {
				continue
			}
			var has, hasCommon [families]bool
			for k := s.from; k < s.to; k++ {
				l := &c.n.links[k]
				f := priors[l.Kind].family
				if t.add(l) {
					has[f] = true
				} else {
					hasCommon[f] = true
				}
				links = append(links, *l)
			}
			for f := range families {
				if has[f] {
					shared[f]++
				}
				if hasCommon[f] {
					common[f]++
				}
			}
		}
	}
	if links == nil {
		return 0, nil
	}
	pairs := float64(len(c.members[one])) * float64(len(c.members[other]))
	thin := func(w float64, n int) float64 {
		if n == 0 || w == 0 {
			return w
		}
		return max(0, w+10*math.Log10(min(1, float64(n)/pairs/expected)))
	}
	s := t.sums()
	if s[material] == copyable && c.fromSeveral(one, links) {
		s[material] = copiedOn
	}
	for f := range s {
		s[f], t.common[f] = thin(s[f], shared[f]), thin(t.common[f], common[f])
	}
	if weight = t.withCommon(s).all(); weight >= c.n.strong {
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
func (c *clusters) grow(pairs []Pair, at []span) {
	order := make([]int, len(pairs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(pairs[b].Weight, pairs[a].Weight) })
	tried := map[[2]int32][2]int{} // sizes at which two clusters were not joined
	for range rounds {
		grown := false
		for _, i := range order {
			one, other := c.of[at[i].a], c.of[at[i].b]
			if one == other {
				continue
			}
			key, sizes := [2]int32{min(one, other), max(one, other)}, [2]int{}
			sizes[0], sizes[1] = len(c.members[key[0]]), len(c.members[key[1]])
			if tried[key] == sizes {
				continue
			}
			if w, _ := c.support(one, other); w >= c.n.strong {
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

// attach joins accounts and clusters to groups to which no single pair but
// several things together join them: with several members they share different
// things. Small ones come first. It gives what joined them, as pairs.
func (c *clusters) attach() (list []Pair) {
	for range rounds {
		var order []int32
		for i, m := range c.members {
			if len(m) > 0 {
				order = append(order, int32(i))
			}
		}
		slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(len(c.members[a]), len(c.members[b])) })
		joined := false
		for _, i := range order {
			if len(c.members[i]) == 0 {
				continue
			}
			best, most, shared := int32(-1), 0.0, []Link(nil)
			for _, g := range c.around(i) {
				if w, links := c.support(i, g); w >= c.n.strong && w > most && len(links) > 1 {
					best, most, shared = g, w, links
				}
			}
			if best >= 0 {
				c.merge(i, best)
				list = append(list, unionPair(most, shared))
				joined = true
			}
		}
		if !joined {
			break
		}
	}
	return list
}

// around lists the groups of at least as many accounts, and of two, with which a
// cluster shares something, sorted.
func (c *clusters) around(i int32) (list []int32) {
	seen := map[int32]bool{i: true}
	for _, m := range c.members[i] {
		for _, k := range c.near[m] {
			g := c.of[c.spans[k].a+c.spans[k].b-m]
			if n := len(c.members[g]); !seen[g] && n > 1 && n >= len(c.members[i]) {
				list = append(list, g)
			}
			seen[g] = true
		}
	}
	slices.Sort(list)
	return list
}

// unionPair is a pair that stands for all that an account shares with a group,
// each value once, between the account and the member with the heaviest link.
func unionPair(weight float64, links []Link) Pair {
	slices.SortStableFunc(links, func(a, b Link) int { return cmp.Or(cmp.Compare(b.Weight, a.Weight), byPair(a, b)) })
	var once []Link
	for _, l := range links {
		if !slices.ContainsFunc(once, func(o Link) bool { return o.value == l.value }) {
			once = append(once, l)
		}
	}
	p := Pair{A: once[0].A, B: once[0].B, Weight: weight, Links: once}
	slices.SortStableFunc(p.Links, byPair)
	return p
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
// texts and serials cannot have been copied from fewer than three of its accounts.
// They are counted one after the other, those with most of what is left first.
func (c *clusters) fromSeveral(smaller int32, links []Link) bool {
	left := map[int32]bool{}
	by := map[string][]int32{} // values by the account of the larger cluster
	for i := range links {
		l := &links[i]
		if l.Common || priors[l.Kind].family != material {
			continue
		}
		account := l.A
		if k, _ := slices.BinarySearch(c.n.index.keys, account); c.of[k] == smaller {
			account = l.B
		}
		by[account] = append(by[account], l.value)
		left[l.value] = true
	}
	if len(by) < sources {
		return false
	}
	accounts := sortedKeys(by)
	for range sources - 1 {
		best, most := "", 0
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
