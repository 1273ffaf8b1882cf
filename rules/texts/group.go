package texts

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"counterfoil/rules/disjoint"
)

const (
	// leaders bounds with how many texts of one band's bucket a text is compared.
	leaders = 16
	// sampleMembers bounds among and against how many members a medoid is chosen.
	sampleMembers = 48
	// rounds bounds the comparisons that splitting one component may cost, in
	// multiples of its size.
	rounds = 64
)

// unique is a set of shingles with the documents that have it.
type unique struct {
	set  []uint32
	docs []int32
}

// findGroups groups the documents by near-equal sets.
func (b *builder) findGroups() []Group {
	list := b.uniques()
	b.entries = nil
	var groups []Group
	for _, component := range b.components(list) {
		groups = append(groups, b.split(list, component)...)
	}
	groups = withoutContained(groups)
	slices.SortStableFunc(groups, func(p, q Group) int { return cmp.Compare(p.Members[0].Listing, q.Members[0].Listing) })
	b.quote(groups)
	return groups
}

// withoutContained leaves out groups whose members all are in a larger one, as
// texts with two sets make them. It sorts by size.
func withoutContained(groups []Group) []Group {
	slices.SortStableFunc(groups, func(p, q Group) int { return cmp.Compare(len(q.Members), len(p.Members)) })
	of := map[int][]int{}
	kept := groups[:0]
	for _, g := range groups {
		if slices.ContainsFunc(of[g.Members[0].Listing], func(k int) bool { return kept[k].containsAll(g.Members) }) {
			continue
		}
		for _, m := range g.Members {
			of[m.Listing] = append(of[m.Listing], len(kept))
		}
		kept = append(kept, g)
	}
	return kept
}

func (g *Group) containsAll(members []Member) bool {
	for _, m := range members {
		if _, ok := slices.BinarySearchFunc(g.Members, m.Listing, func(m Member, l int) int { return cmp.Compare(m.Listing, l) }); !ok {
			return false
		}
	}
	return true
}

// uniques lists the distinct sets, by their first entry.
func (b *builder) uniques() []unique {
	at := make(map[uint64]int32, len(b.entries))
	of := make([]int32, len(b.entries)) // the set of each entry
	var list []unique
	var docs []int32 // how many documents have each set
	for i, e := range b.entries {
		h := uint64(len(e.set))
		for _, v := range e.set {
			h = mix(h ^ uint64(v)*0x9e3779b97f4a7c15)
		}
		j, ok := at[h]
		if !ok || !slices.Equal(list[j].set, e.set) {
			j = int32(len(list))
			at[h] = j
			list, docs = append(list, unique{set: e.set}), append(docs, 0)
		}
		of[i] = j
		docs[j]++
	}
	all := make([]int32, len(b.entries))
	for j, n := range docs {
		list[j].docs, all = all[:0:n], all[n:]
	}
	for i, e := range b.entries {
		list[of[i]].docs = append(list[of[i]].docs, e.doc)
	}
	return list
}

// components joins the sets that meet in a band and have at least the
// threshold's Jaccard index, and lists the joined ones in a fixed order.
func (b *builder) components(list []unique) [][]int32 {
	sets := disjoint.New[int32](len(list))
	for buckets := range b.sortedBands(list) {
		for i := 0; i < len(buckets); {
			j := i + 1
			for j < len(buckets) && buckets[j]>>32 == buckets[i]>>32 {
				j++
			}
			if j-i > 1 {
				b.join(list, buckets[i:j], sets)
			}
			i = j
		}
	}
	members := make([][]int32, len(list))
	for i := range list {
		root := sets.Of(int32(i))
		members[root] = append(members[root], int32(i))
	}
	return slices.DeleteFunc(members, func(m []int32) bool {
		return len(m) == 0 || len(m) == 1 && len(list[m[0]].docs) == 1
	})
}

// join compares the sets of one bucket with its leaders: sets that were not
// near an earlier leader.
func (b *builder) join(list []unique, bucket []uint64, sets disjoint.Sets[int32]) {
	var lead [leaders]int32
	n := 0
next:
	for _, entry := range bucket {
		i := int32(uint32(entry))
		for _, l := range lead[:n] {
			if sets.Of(i) == sets.Of(l) {
				continue next
			}
			if jaccard(list[i].set, list[l].set, b.Threshold) >= b.Threshold {
				sets.Join(i, l)
				continue next
			}
		}
		if n < leaders {
			lead[n] = i
			n++
		}
	}
}

// sortedBands yields for each band the sets' numbers, below their band keys,
// sorted. A band is sorted while the one before it is used.
func (b *builder) sortedBands(list []unique) func(yield func([]uint64) bool) {
	keys := make([][bands]uint32, len(list))
	const chunk = 4096
	b.parallel((len(list)+chunk-1)/chunk, func(c int) {
		var s signature
		for i := c * chunk; i < min(len(list), (c+1)*chunk); i++ {
			s.sketch(list[i].set)
			for band := range bands {
				keys[i][band] = s.band(band)
			}
		}
	})
	other := make([]uint64, len(list))
	sorted := func(band int) []uint64 {
		out := make([]uint64, len(list))
		for i := range keys {
			out[i] = uint64(keys[i][band])<<32 | uint64(i)
		}
		sortByKey(out, other)
		return out
	}
	return func(yield func([]uint64) bool) {
		ready := make(chan []uint64)
		go func() {
			for band := range bands {
				ready <- sorted(band)
			}
			close(ready)
		}()
		for buckets := range ready {
			yield(buckets)
		}
	}
}

// sortByKey sorts by the upper 32 bits and keeps the order of equal ones, with a
// radix sort in four passes; other is as long as the list.
func sortByKey(list, other []uint64) {
	for shift := 32; shift < 64; shift += 8 {
		var at [256]int
		for _, v := range list {
			at[v>>shift&0xff]++
		}
		sum := 0
		for i, n := range at {
			at[i] = sum
			sum += n
		}
		for _, v := range list {
			k := v >> shift & 0xff
			other[at[k]] = v
			at[k]++
		}
		list, other = other, list
	}
}

// split takes groups around medoids out of a component until nothing is left.
func (b *builder) split(list []unique, component []int32) []Group {
	var groups []Group
	rest := component
	for work := rounds*len(component) + sampleMembers; len(rest) > 0; {
		if work -= len(rest); work < 0 {
			b.warnings = append(b.warnings, fmt.Sprintf(
				"texts: %d texts that form a long chain of small changes were not grouped", len(rest)))
			break
		}
		medoid := pickMedoid(list, rest)
		var near, far []int32
		var near64 []float64
		for _, i := range rest {
			if s := jaccard(list[i].set, list[medoid].set, b.Threshold); s >= b.Threshold {
				near, near64 = append(near, i), append(near64, s)
			} else {
				far = append(far, i)
			}
		}
		if g := b.group(list, medoid, near, near64); len(g.Members) > 1 {
			groups = append(groups, g)
		}
		rest = far
	}
	return groups
}

// pickMedoid gives the member with the greatest sum of Jaccard indices with the
// others, each counted as often as documents have it; in a large component among
// and against an evenly spaced sample of them.
func pickMedoid(list []unique, members []int32) int32 {
	sample := members
	if len(members) > sampleMembers {
		sample = make([]int32, sampleMembers)
		for k := range sample {
			sample[k] = members[k*len(members)/sampleMembers]
		}
	}
	best, bestSum := sample[0], math.Inf(-1)
	for _, i := range sample {
		sum := 0.0
		for _, j := range sample {
			sum += jaccard(list[i].set, list[j].set, 0) * float64(len(list[j].docs))
		}
		if sum > bestSum {
			best, bestSum = i, sum
		}
	}
	return best
}

func (b *builder) group(list []unique, medoid int32, near []int32, similarity []float64) Group {
	var g Group
	sellers, parts := map[int32]bool{}, map[string]bool{}
	for k, i := range near {
		for _, d := range list[i].docs {
			g.Members = append(g.Members, Member{b.docs[d].Listing, similarity[k]})
			sellers[b.seller[d]] = true
			parts[b.docs[d].Part] = true
		}
	}
	delete(sellers, 0)
	delete(parts, "")
	slices.SortFunc(g.Members, func(p, q Member) int { return cmp.Compare(p.Listing, q.Listing) })
	g.Sellers, g.Parts = len(sellers), len(parts)
	g.Medoid = b.docs[list[medoid].docs[0]].Listing
	return g
}

// quote fills Common.
func (b *builder) quote(groups []Group) {
	const chunk = 64
	b.parallel((len(groups)+chunk-1)/chunk, func(c int) {
		for i := c * chunk; i < min(len(groups), (c+1)*chunk); i++ {
			g := &groups[i]
			if g.Sellers < 2 {
				continue
			}
			m := b.docOf(g.Medoid)
			other := slices.IndexFunc(g.Members, func(o Member) bool {
				return b.seller[b.docOf(o.Listing)] != b.seller[m] && b.seller[b.docOf(o.Listing)] != 0
			})
			if other < 0 {
				continue
			}
			p, _ := SharedPassage(b.docs[m].Text, b.docs[b.docOf(g.Members[other].Listing)].Text)
			g.Common = cutPassage(p.QuoteA, CommonLimit)
		}
	})
}
