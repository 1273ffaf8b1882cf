package sellers

import (
	"cmp"
	"maps"
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

// Hold is a value that holds a group together.
type Hold struct {
	Kind   Kind
	Value  string
	Weight float64 // of its heaviest link
	Pairs  int     // pairs of members that share it
	// Leave are the members that would not be in the group's largest rest if the
	// value were not shared, sorted.
	Leave []string
}

// maxHolds bounds the values whose fall is tried for one group.
const maxHolds = 200

// findGroups forms the groups, see [clusters].
func (n *Network) findGroups(keys []string, spans, strong []span) {
	c := newClusters(n, spans)
	c.grow(n.pairs, strong)
	joined := c.attach()
	cut := make([]bool, len(n.pairs)+len(joined))
	for i, s := range strong {
		cut[i] = c.of[s.a] != c.of[s.b]
	}
	n.pairs = append(n.pairs, joined...)
	component := c.of
	members := map[int32][]string{}
	for i, k := range keys {
		members[component[i]] = append(members[component[i]], k)
	}
	for i, k := range keys {
		if list := members[component[i]]; len(list) > 1 && list[0] == k {
			for _, m := range list {
				n.group[m] = len(n.groups)
			}
			n.groups = append(n.groups, Group{Key: k, Members: list})
		}
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
		n.groups[i].findHolds(n.strong)
	}
}

// findHolds tries for each value what is left of the group without it.
func (g *Group) findHolds(strong float64) {
	at := map[string]int{}
	for i, m := range g.Members {
		at[m] = i
	}
	holds := map[int32]*Hold{}
	users := map[int32][]int{} // pairs by the value
	for i, p := range g.Pairs {
		for k := range p.Links {
			l := &p.Links[k]
			h := holds[l.value]
			if h == nil {
				h = &Hold{Kind: l.Kind, Value: l.Value}
				holds[l.value] = h
			}
			h.Weight = max(h.Weight, l.Weight)
			h.Pairs++
			users[l.value] = append(users[l.value], i)
		}
	}
	ids := slices.Sorted(maps.Keys(holds))
	slices.SortStableFunc(ids, func(a, b int32) int {
		return cmp.Or(cmp.Compare(holds[b].Pairs, holds[a].Pairs), cmp.Compare(holds[b].Weight, holds[a].Weight))
	})
	edges := make([]edge, len(g.Pairs))
	for i, p := range g.Pairs {
		edges[i] = edge{a: at[p.A], b: at[p.B]}
	}
	for _, id := range ids[:min(len(ids), maxHolds)] {
		h := holds[id]
		cut := make([]bool, len(edges))
		fallen := false
		for _, i := range users[id] {
			p := &g.Pairs[i] // of all that joins an account to a group the weight is no plain total
			lost := total(p.Links, nil) - total(p.Links, func(l *Link) bool { return l.value == id })
			if p.Weight-lost < strong {
				cut[i], fallen = true, true
			}
		}
		if fallen {
			h.Leave = g.outside(components(len(g.Members), edges, cut))
		}
		g.Holds = append(g.Holds, *h)
	}
	slices.SortStableFunc(g.Holds, func(a, b Hold) int {
		return cmp.Or(cmp.Compare(len(b.Leave), len(a.Leave)), cmp.Compare(b.Pairs, a.Pairs), cmp.Compare(b.Weight, a.Weight),
			strings.Compare(string(a.Kind), string(b.Kind)), strings.Compare(a.Value, b.Value))
	})
}

// outside lists the members outside the largest component, of equal ones the
// first.
func (g *Group) outside(component []int) (list []string) {
	size := map[int]int{}
	for _, c := range component {
		size[c]++
	}
	best := component[0]
	for _, c := range component {
		if size[c] > size[best] {
			best = c
		}
	}
	for i, c := range component {
		if c != best {
			list = append(list, g.Members[i])
		}
	}
	return list
}
