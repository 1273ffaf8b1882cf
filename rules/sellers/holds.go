package sellers

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"counterfoil/rules/disjoint"
)

// Hold is a value that holds a group together.
type Hold struct {
	Kind   Kind
	Value  string
	Weight float64 // of its heaviest link
	Pairs  int     // pairs of members that share it
	// Leave are the members that grouping again without the value leaves outside
	// the group's largest rest, sorted. Whoever pairs or groups join with the
	// group is grouped anew; how common the other values are, and where the
	// threshold lies, stays.
	Leave []string
	Tried bool // false where the market is too large to group it anew so often
}

// bounds of what is grouped anew.
const (
	maxHolds  = 200        // values of one group that are told
	maxFalls  = 10_000_000 // spans looked at, in small parts of the market first
	fewAround = 64         // accounts of a part to which others are added
)

// grouping is what the groups of a network were made of.
type grouping struct {
	*clusters
	runs  [][2]int32 // where the links of each span stand in the list of all
	pairs []strongSpan
}

// findHolds tells of each group the values that hold it, and who would leave if
// one fell.
func (n *Network) findHolds() {
	if len(n.groups) == 0 {
		return
	}
	lists := make([][]int32, len(n.groups)) // values by group
	for i := range n.groups {
		lists[i] = n.groups[i].listHolds()
	}
	parts := n.made.affected()
	joined := slices.DeleteFunc(slices.Clone(parts.of), func(p []int32) bool { return len(p) < 2 })
	slices.SortStableFunc(joined, func(a, b []int32) int { return cmp.Compare(len(a), len(b)) })
	work := 0
	for _, accounts := range joined {
		p := n.made.part(n, n.made.withNeighbours(accounts, parts))
		var groups []int
		for _, a := range accounts {
			if g, ok := n.group[n.index.keys[a]]; ok && n.groups[g].Key == n.index.keys[a] {
				groups = append(groups, g)
			}
		}
		var values []int32
		for _, g := range groups {
			values = append(values, lists[g]...)
		}
		slices.Sort(values)
		for _, v := range slices.Compact(values) {
			if work += len(p.spans); work > maxFalls {
				break
			}
			p.fall(v)
			for _, g := range groups {
				if k := slices.Index(lists[g], v); k >= 0 {
					n.groups[g].Holds[k].Leave, n.groups[g].Holds[k].Tried = p.outside(n.groups[g].Members), true
				}
			}
		}
	}
	for i := range n.groups {
		slices.SortStableFunc(n.groups[i].Holds, func(a, b Hold) int {
			return cmp.Or(cmp.Compare(len(b.Leave), len(a.Leave)), cmp.Compare(b.Pairs, a.Pairs), cmp.Compare(b.Weight, a.Weight),
				strings.Compare(string(a.Kind), string(b.Kind)), strings.Compare(a.Value, b.Value))
		})
	}
}

// listHolds fills in the values that hold the group and gives their numbers.
func (g *Group) listHolds() []int32 {
	holds := map[int32]*Hold{}
	for i := range g.Pairs {
		for k := range g.Pairs[i].Links {
			l := &g.Pairs[i].Links[k]
			h := holds[l.value]
			if h == nil {
				h = &Hold{Kind: l.Kind, Value: l.Value}
				holds[l.value] = h
			}
			h.Weight = max(h.Weight, l.Weight)
			h.Pairs++
		}
	}
	ids := slices.Sorted(maps.Keys(holds))
	slices.SortStableFunc(ids, func(a, b int32) int {
		return cmp.Or(cmp.Compare(holds[b].Pairs, holds[a].Pairs), cmp.Compare(holds[b].Weight, holds[a].Weight))
	})
	ids = ids[:min(len(ids), maxHolds)]
	for _, id := range ids {
		g.Holds = append(g.Holds, *holds[id])
	}
	return ids
}

// parts are the parts of a market whose grouping bears on each other: accounts
// that strong pairs or a group join.
type parts struct {
	disjoint.Sets[int32]
	of [][]int32 // the accounts of each part, by its first one, sorted
}

func (m *grouping) affected() *parts {
	p := &parts{disjoint.New[int32](len(m.of)), make([][]int32, len(m.of))}
	for _, s := range m.pairs {
		p.Join(m.spans[s.span].a, m.spans[s.span].b)
	}
	for a, c := range m.of {
		p.Join(int32(a), c)
	}
	for a := range m.of {
		head := p.Of(int32(a))
		p.of[head] = append(p.of[head], int32(a))
	}
	return p
}

// withNeighbours adds to the accounts of a part those that share something with
// it, with their parts, those that share most first, and so on around them: they
// may join whom a fallen value sets free, and so keep others in. It stops at
// twice as many accounts, but not before fewAround.
func (m *grouping) withNeighbours(accounts []int32, all *parts) []int32 {
	list, most := slices.Clone(accounts), max(fewAround, 2*len(accounts))
	inside := map[int32]bool{all.Of(accounts[0]): true} // parts
	for from := 0; from < len(list) && len(list) < most; {
		shared := map[int32]float64{}
		for _, a := range list[from:] {
			for _, k := range m.near[a] {
				s := &m.spans[k]
				if head := all.Of(s.a + s.b - a); !inside[head] {
					for i := range s.bonds {
						shared[head] += s.bonds[i].weight
					}
				}
			}
		}
		from = len(list)
		heads := slices.Sorted(maps.Keys(shared))
		slices.SortStableFunc(heads, func(a, b int32) int { return cmp.Compare(shared[b], shared[a]) })
		for _, head := range heads {
			if len(list)+len(all.of[head]) <= most {
				list, inside[head] = append(list, all.of[head]...), true
			}
		}
	}
	slices.Sort(list)
	return list
}

// part is a part of the market that is grouped anew.
type part struct {
	*clusters
	n     *Network
	runs  [][2]int32
	pairs []strongSpan
	users map[int32][]int32 // spans by value
	at    map[string]int32  // accounts by key
}

func (m *grouping) part(n *Network, accounts []int32) *part {
	p := &part{n: n, users: map[int32][]int32{}, at: make(map[string]int32, len(accounts))}
	local := make(map[int32]int32, len(accounts))
	for i, a := range accounts {
		local[a], p.at[n.index.keys[a]] = int32(i), int32(i)
	}
	now := map[int32]int32{} // spans by their number in the whole
	var spans []span
	for _, a := range accounts {
		for _, k := range m.near[a] {
			s := m.spans[k]
			b, inside := local[s.b]
			if !inside || s.a != a {
				continue
			}
			now[k] = int32(len(spans))
			for _, x := range s.bonds {
				p.users[x.value] = append(p.users[x.value], int32(len(spans)))
			}
			spans = append(spans, span{local[a], b, s.bonds})
			p.runs = append(p.runs, m.runs[k])
		}
	}
	p.clusters = newClusters(len(accounts), spans, &n.bar, m.scale)
	for i, a := range accounts {
		p.numbers[i] = m.numbers[a]
	}
	for _, s := range m.pairs {
		if k, ok := now[s.span]; ok {
			p.pairs = append(p.pairs, strongSpan{k, s.weight})
		}
	}
	return p
}

// fall groups the part anew without a value.
func (p *part) fall(value int32) {
	p.reset()
	whole := make([][]bond, 0, len(p.users[value]))
	weaker := map[int32]float64{}
	for _, k := range p.users[value] {
		whole = append(whole, p.spans[k].bonds)
		s := &p.spans[k]
		s.bonds = p.n.bondsWithout(p.runs[k], value)
		weaker[k], _ = pairWeight(s.bonds, p.strong, p.numbers[s.a], p.numbers[s.b])
	}
	pairs := make([]strongSpan, 0, len(p.pairs))
	for _, s := range p.pairs {
		if w, changed := weaker[s.span]; changed {
			s.weight = w
		}
		if s.weight >= p.strong {
			pairs = append(pairs, s)
		}
	}
	p.grow(pairs)
	p.attach()
	for i, k := range p.users[value] {
		p.spans[k].bonds = whole[i]
	}
}

// outside lists those of the accounts that are not in the cluster of most of
// them, of equal ones the first.
func (p *part) outside(members []string) (list []string) {
	size := map[int32]int{}
	for _, m := range members {
		size[p.of[p.at[m]]]++
	}
	best := p.of[p.at[members[0]]]
	for _, m := range members {
		if c := p.of[p.at[m]]; size[c] > size[best] {
			best = c
		}
	}
	for _, m := range members {
		if p.of[p.at[m]] != best {
			list = append(list, m)
		}
	}
	return list
}

// bondsWithout are the bonds of two sellers without one value. What made them
// copy both ways may have been that.
func (n *Network) bondsWithout(run [2]int32, value int32) []bond {
	links := n.links[run[0]:run[1]]
	one, other := false, false
	for i := range links {
		if l := &links[i]; l.value != value {
			one, other = one || l.First == l.A, other || l.First == l.B
		}
	}
	list := make([]bond, 0, len(links)-1)
	for i := range links {
		l := &links[i]
		if l.value == value {
			continue
		}
		b := bondOf(l)
		if !(one && other) && !l.Copied && (l.First == l.A || l.First == l.B) {
			b.weight *= CopiedShare
		}
		list = append(list, b)
	}
	return list
}
