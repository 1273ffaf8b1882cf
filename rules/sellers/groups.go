package sellers

import (
	"cmp"
	"slices"
	"strings"
)

// Group is a set of sellers whom one operator may stand behind: strong pairs join
// them, and what they share as a whole supports it.
type Group struct {
	Key     string   // the first member
	Members []string // sorted
	Links   []Link   // all links between members, by A, B, kind and value
	Pairs   []Pair   // the strong ones between members, by A and B
	Holds   []Hold   // the values that hold it, those that hold most first
	// Near are strong pairs with accounts that are left out, because the group and
	// theirs share too little as a whole.
	Near []Pair
}

// findGroups forms the groups, see [clusters].
func (n *Network) findGroups() {
	keys, m := n.index.keys, &n.made
	m.grow(m.pairs)
	attached := m.attach()
	cut := make([]bool, len(n.pairs), len(n.pairs)+len(attached))
	for i, p := range m.pairs {
		s := &m.spans[p.span]
		cut[i] = m.of[s.a] != m.of[s.b]
	}
	for _, j := range attached {
		n.pairs, cut = append(n.pairs, n.unionPair(j)), append(cut, false)
	}
	for first, members := range m.members {
		if len(members) < 2 {
			continue
		}
		g := Group{Key: keys[first], Members: make([]string, 0, len(members))}
		slices.Sort(members)
		for _, a := range members {
			n.group[keys[a]] = len(n.groups)
			g.Members = append(g.Members, keys[a])
		}
		n.groups = append(n.groups, g)
	}
	for _, l := range n.links {
		if g := n.Group(l.A); g != nil && g == n.Group(l.B) {
			g.Links = append(g.Links, l)
		}
	}
	for i, p := range n.pairs {
		if cut[i] {
			for _, k := range []string{p.A, p.B} {
				if g := n.Group(k); g != nil {
					g.Near = append(g.Near, p)
				}
			}
		} else if g := n.Group(p.A); g != nil {
			g.Pairs = append(g.Pairs, p)
		}
	}
	for i := range n.groups {
		slices.SortStableFunc(n.groups[i].Pairs, func(a, b Pair) int { return cmp.Or(strings.Compare(a.A, b.A), strings.Compare(a.B, b.B)) })
	}
}

// unionPair is a pair that stands for all that an account shares with a group,
// each value once, between the account and the member with the heaviest link.
func (n *Network) unionPair(j joined) Pair {
	var links, once []Link
	for _, k := range j.spans {
		run := n.made.runs[k]
		links = append(links, n.links[run[0]:run[1]]...)
	}
	slices.SortStableFunc(links, func(a, b Link) int { return cmp.Or(cmp.Compare(b.Weight, a.Weight), byPair(a, b)) })
	for _, l := range links {
		if !slices.ContainsFunc(once, func(o Link) bool { return o.value == l.value }) {
			once = append(once, l)
		}
	}
	p := Pair{A: once[0].A, B: once[0].B, Weight: j.weight, Links: once}
	slices.SortStableFunc(p.Links, byPair)
	return p
}
