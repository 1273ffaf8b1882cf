package sellers

import (
	"cmp"
	"slices"
	"strings"
)

// Group is a set of sellers whom strong pairs join, directly or in a chain.
type Group struct {
	Key     string   // the first member
	Members []string // sorted
	Links   []Link   // all links between members, by A, B, kind and value
	Pairs   []Pair   // the strong ones between members, by A and B
	Holds   []Hold   // the values that hold it, those that hold most first
	// Near are pairs that would join the group with another one, but are left out
	// because one weak pair alone is no bridge between two groups.
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

// firm is the weight in decibans from which one pair alone may join two groups:
// 'moderately strong' on the ENFSI scale.
const firm = 20

// maxHolds bounds the values whose fall is tried for one group.
const maxHolds = 200

// findGroups forms the groups: connected components of the strong pairs, split
// at bridges lighter than firm that have two members or more on either side.
func (n *Network) findGroups(keys []string) {
	at := make(map[string]int, len(keys))
	for i, k := range keys {
		at[k] = i
	}
	edges := make([]edge, len(n.pairs))
	for i, p := range n.pairs {
		edges[i] = edge{a: at[p.A], b: at[p.B], weight: p.Weight}
	}
	cut := splitBridges(len(keys), edges, firm)
	component := components(len(keys), edges, cut)
	cut = append(cut, n.attach(keys, at, component)...)
	members := map[int][]string{}
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

// attach finds accounts outside all groups that share different things with
// several members of one: what joins them to the group as a whole is weighed like
// a pair, each value once. It adds such pairs to the strong ones, with the
// account's heaviest partner, writes the account's component and gives a false
// for each pair, since none is cut. Groups grow by it once.
func (n *Network) attach(keys []string, at map[string]int, component []int) (cut []bool) {
	size := make([]int, len(keys))
	for _, c := range component {
		size[c]++
	}
	to := make([]int, len(keys))
	for i, key := range keys {
		to[i] = component[i]
		if size[component[i]] > 1 {
			continue
		}
		groups := map[int][]Link{}
		for _, l := range n.of[key] { // heaviest first
			other := at[l.A]
			if other == i {
				other = at[l.B]
			}
			c := component[other]
			if size[c] > 1 && !slices.ContainsFunc(groups[c], func(g Link) bool { return g.id() == l.id() }) {
				groups[c] = append(groups[c], l)
			}
		}
		best, most := -1, 0.0
		for c, links := range groups {
			if w := total(links, ""); w > most || w == most && c < best {
				best, most = c, w
			}
		}
		if best < 0 || most < n.strong || len(groups[best]) < 2 {
			continue
		}
		links := groups[best]
		p := Pair{A: links[0].A, B: links[0].B, Weight: most, Links: links}
		if p.Apart = n.index.apart(p.A, p.B); p.Weight+p.Apart < n.strong {
			continue
		}
		p.Weight += p.Apart
		slices.SortStableFunc(p.Links, byPair)
		to[i] = best
		n.pairs = append(n.pairs, p)
		cut = append(cut, false)
	}
	copy(component, to)
	return cut
}

// findHolds tries for each value what is left of the group without it.
func (g *Group) findHolds(strong float64) {
	at := map[string]int{}
	for i, m := range g.Members {
		at[m] = i
	}
	holds := map[string]*Hold{}
	users := map[string][]int{} // pairs by the value
	for i, p := range g.Pairs {
		for k := range p.Links {
			l := &p.Links[k]
			h := holds[l.id()]
			if h == nil {
				h = &Hold{Kind: l.Kind, Value: l.Value}
				holds[l.id()] = h
			}
			h.Weight = max(h.Weight, l.Weight)
			h.Pairs++
			users[l.id()] = append(users[l.id()], i)
		}
	}
	ids := sortedKeys(holds)
	slices.SortStableFunc(ids, func(a, b string) int {
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
			if total(g.Pairs[i].Links, id)+g.Pairs[i].Apart < strong {
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
