package texts

import (
	"cmp"
	"maps"
	"slices"
	"sync"
)

// builder is the state of one Build.
type builder struct {
	Options
	docs        []Doc         // sorted by seller and listing
	listings    []int         // sorted
	at          []int32       // the documents of listings
	seller      []int32       // number of each document's seller, 0 when unknown
	sellers     int           // known sellers
	sets        [2][][]uint32 // of each document: the first, and the second if there is one
	boilerplate shingleSet
	entries     []entry // sets to compare: each document's first ones, then second ones
	states      []state
	vocab       []*vocabulary
	warnings    []string
}

// arrange copies the documents, sorted by seller and listing, one per listing.
func (b *builder) arrange(docs []Doc) {
	docs = slices.Clone(docs)
	slices.SortStableFunc(docs, func(p, q Doc) int { return cmp.Compare(p.Listing, q.Listing) })
	docs = slices.CompactFunc(docs, func(p, q Doc) bool { return p.Listing == q.Listing })

	number := map[string]int32{}
	for _, d := range docs {
		number[d.Seller] = 0
	}
	delete(number, "")
	for i, seller := range slices.Sorted(maps.Keys(number)) {
		number[seller] = int32(i + 1)
	}
	b.sellers = len(number)
	start := make([]int32, b.sellers+2)
	for _, d := range docs {
		start[number[d.Seller]+1]++
	}
	for i := range b.sellers {
		start[i+1] += start[i]
	}
	b.docs, b.seller = make([]Doc, len(docs)), make([]int32, len(docs))
	b.listings, b.at = make([]int, len(docs)), make([]int32, len(docs))
	for i, d := range docs {
		n := number[d.Seller]
		to := start[n]
		start[n]++
		b.docs[to], b.seller[to] = d, n
		b.listings[i], b.at[i] = d.Listing, to
	}
}

// docOf gives the document of a listing that has one.
func (b *builder) docOf(listing int) int32 {
	i, _ := slices.BinarySearch(b.listings, listing)
	return b.at[i]
}

// shards is the number of ranges the documents are shingled in. It does not
// depend on the machine, because each shard counts its own bounded vocabulary.
const shards = 16

// cuts gives the bounds of the shards. A seller's documents stay together, so
// that distinct sellers can be counted by adding up; documents of unknown
// sellers may be cut anywhere.
func (b *builder) cuts() []int {
	bounds := []int{0}
	for s := 1; s <= shards; s++ {
		i := max(len(b.docs)*s/shards, bounds[len(bounds)-1])
		for i > 0 && i < len(b.docs) && b.seller[i] != 0 && b.seller[i] == b.seller[i-1] {
			i++
		}
		bounds = append(bounds, i)
	}
	return bounds
}

// parallel calls do(0) to do(n-1) from b.Workers goroutines.
func (b *builder) parallel(n int, do func(i int)) {
	var wg sync.WaitGroup
	next := make(chan int)
	for range min(b.Workers, n) {
		wg.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}

// entry is a set of shingles of a document.
type entry struct {
	doc int32
	set []uint32
}

// shingle fills sets and vocab.
func (b *builder) shingle() {
	b.vocab = make([]*vocabulary, shards)
	for nth := range b.sets {
		b.sets[nth] = make([][]uint32, len(b.docs))
	}
	bounds := b.cuts()
	b.parallel(shards, func(s int) {
		v := newVocabulary(b.RareSellers)
		f := folder{keepNumbers: b.KeepNumbers}
		var slab arena
		for i := bounds[s]; i < bounds[s+1]; i++ {
			f.fold(b.docs[i].Text)
			if b.seller[i] != 0 {
				v.count(&f, b.seller[i], int32(i))
			}
			nth := 0
			f.shingles(func(set []uint32) {
				b.sets[nth][i] = slab.keep(set)
				nth++
			})
		}
		b.vocab[s] = v
	})
}

// compare fills states, and entries with the sets that are long enough without
// boilerplate.
func (b *builder) compare() {
	b.states = make([]state, len(b.docs))
	bounds := b.cuts()
	b.parallel(shards, func(s int) {
		for i := bounds[s]; i < bounds[s+1]; i++ {
			for nth := range b.sets {
				b.sets[nth][i] = b.own(i, b.sets[nth][i])
			}
		}
	})
	n := 0
	for _, sets := range b.sets {
		for _, set := range sets {
			if len(set) >= MinShingles {
				n++
			}
		}
	}
	b.entries = make([]entry, 0, n)
	for _, sets := range b.sets {
		for i, set := range sets {
			if len(set) >= MinShingles {
				b.states[i].compared = true
				b.entries = append(b.entries, entry{int32(i), set})
			}
		}
	}
	b.sets = [2][][]uint32{}
}

// own takes the boilerplate out of a set and notes its share.
func (b *builder) own(doc int, set []uint32) []uint32 {
	all := len(set)
	if len(b.boilerplate.all) > 0 {
		set = slices.DeleteFunc(set, b.boilerplate.has)
	}
	if all > 0 {
		b.states[doc].common = float32(all-len(set)) / float32(all)
	}
	return set
}

// arena keeps many small slices in few allocations.
type arena struct{ free []uint32 }

func (a *arena) keep(set []uint32) []uint32 {
	if len(set) > len(a.free) {
		a.free = make([]uint32, max(1<<16, len(set)))
	}
	kept := a.free[:len(set):len(set)]
	copy(kept, set)
	a.free = a.free[len(set):]
	return kept
}

func (b *builder) index() *Index {
	x := &Index{listings: b.listings, states: make([]state, len(b.states)), rare: map[int][]Shared{}}
	pairs := b.rarePairs()
	x.groups = b.findGroups()
	for i, g := range x.groups {
		for _, m := range g.Members {
			s := &b.states[b.docOf(m.Listing)]
			if s.group == 0 || len(x.groups[s.group-1].Members) < len(g.Members) {
				s.group = int32(i + 1)
			}
		}
	}
	x.allRare = b.addRare(x.rare)
	x.phrases = b.findPhrases(pairs)
	for i, doc := range b.at {
		x.states[i] = b.states[doc]
	}
	x.warnings = b.warnings
	return x
}
