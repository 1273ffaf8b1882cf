package sellers

import (
	"slices"

	"counterfoil/rules/disjoint"
)

// owners counts who shows a value: accounts of one group, as far as other things
// than the value's own family join them, count as one.
type owners struct {
	x     *Index
	heads func(f family) map[string]string // group's name by account; nil: each for itself
}

// count gives the number of owners of a value, and of different firms among them,
// by their valid tax numbers, else by their register numbers. A value most of whose
// accounts are one group is that group's, whoever else shows it.
func (o *owners) count(v Value) (owners, firms int) {
	var of map[string]string
	if o.heads != nil {
		of = o.heads(priors[v.Kind].family)
	}
	seen, firm := map[string]int{}, map[string]bool{}
	most := 0
	for _, q := range v.Quotes {
		head, grouped := of[q.Seller]
		if !grouped {
			head = q.Seller
		}
		seen[head]++
		most = max(most, seen[head])
		if v.Kind == VAT || v.Kind == Register || grouped {
			continue // the firms of one operator are on paper
		}
		if number := o.x.firm(q.Seller); number != "" {
			firm[number] = true
		}
	}
	if len(seen) > 1 && 2*most > len(v.Quotes) {
		return 2, 0
	}
	return len(seen), len(firm)
}

// weigh gives the weight of a link by a value, and why it is less for a hub.
func (o *owners) weigh(v Value, all int, opt Options, wide *coverage) (weight float64, h Hub) {
	shown := len(v.Quotes)
	counted, firms := o.count(v)
	weight = linkWeight(v.Kind, v.Text, max(2, counted), all)
	if v.Most > 0 {
		weight = min(weight, v.Most)
	}
	h = Hub{Kind: v.Kind, Value: v.Text, Sellers: shown, common: true}
	switch {
	case shown > maxHub && v.Kind == Place: // a town of many sellers
		return 0, h
	case shown > maxHub:
		h.Why = hubMany
		return 0, h
	case counted > 3 && 5*counted > all:
		h.Why = hubShare
		return 0, h
	case counted > opt.MaxSellers:
		h.Why, h.Links = hubMany, true
	case firms >= 3:
		h.Why, h.Links = hubTraders, true
	case wide.covers(v): // too many to list
	default:
		h.common = false
		return weight, h
	}
	return min(weight, hubMost), h
}

// coverage knows values that are common property.
type coverage struct {
	of   map[string][]int // by seller
	sets []map[string]bool
}

// wide finds the pictures, texts and serials that more than MaxSellers owners, or
// owners with three different tax or register numbers, share: a feed, as a rule.
func (o *owners) wide(values []Value, opt Options) *coverage {
	c := &coverage{of: map[string][]int{}}
	for _, v := range values {
		if priors[v.Kind].family != material || len(v.Quotes) < 3 {
			continue
		}
		if owners, firms := o.count(v); owners <= opt.MaxSellers && firms < 3 {
			continue
		}
		set := make(map[string]bool, len(v.Quotes))
		for _, q := range v.Quotes {
			set[q.Seller] = true
			c.of[q.Seller] = append(c.of[q.Seller], len(c.sets))
		}
		c.sets = append(c.sets, set)
	}
	return c
}

// covers reports whether a picture, text or price list is shared only by sellers
// who share one common value: then the feed explains both.
func (c *coverage) covers(v Value) bool {
	if f := priors[v.Kind].family; f != material && f != prices {
		return false
	}
	return slices.ContainsFunc(c.of[v.Quotes[0].Seller], func(i int) bool {
		return !slices.ContainsFunc(v.Quotes, func(q Quote) bool { return !c.sets[i][q.Seller] })
	})
}

// heldAt is the weight in decibans from which two accounts of one group hang
// together without a family.
const heldAt = 6

// heads gives for a family the groups that hold without it: the first account of
// those whom pairs within a group join when the family's links fall. Where that is
// half of the group, the others belong to it.
func (n *Network) heads() func(f family) map[string]string {
	var known [families]map[string]string
	return func(f family) map[string]string {
		if known[f] == nil {
			known[f] = map[string]string{}
			for i := range n.groups {
				n.groups[i].heads(f, n.bar.Strong, known[f])
			}
		}
		return known[f]
	}
}

func (g *Group) heads(f family, strong float64, of map[string]string) {
	at := make(map[string]int, len(g.Members))
	for k, m := range g.Members {
		at[m] = k
	}
	sets, joins := disjoint.New[int](len(g.Members)), false
	for _, p := range g.Pairs {
		if total(bondsOf(p.Links), strong, func(b *bond) bool { return b.family == f })+p.Apart >= heldAt {
			sets.Join(at[p.A], at[p.B])
			joins = true
		}
	}
	if !joins {
		return
	}
	component := make([]int, len(g.Members))
	for k := range component {
		component[k] = sets.Of(k)
	}
	size := make([]int, len(g.Members))
	for _, c := range component {
		size[c]++
	}
	main := slices.Index(size, slices.Max(size))
	for k, c := range component {
		if 2*size[main] >= len(g.Members) {
			c = main
		}
		of[g.Members[k]] = g.Members[c]
	}
}
