package texts

import (
	"slices"
	"sync"
)

// builder is the state of one Build.
type builder struct {
	Options
	docs        []Doc         // sorted by seller and listing
	at          map[int]int32 // listing to its document
	seller      []int32       // number of each document's seller, 0 when unknown
	sellers     int           // known sellers
	boilerplate shingleSet
	entries     []entry // sets to compare: each document's first ones, then second ones
	states      []state
	vocab       []*vocabulary
	warnings    []string
}

func (b *builder) numberSellers() {
	b.seller = make([]int32, len(b.docs))
	for i, d := range b.docs {
		if d.Seller != "" && (i == 0 || b.docs[i-1].Seller != d.Seller) {
			b.sellers++
		}
		if d.Seller != "" {
			b.seller[i] = int32(b.sellers)
		}
	}
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

// shingle fills entries, states and vocab.
func (b *builder) shingle() {
	b.states = make([]state, len(b.docs))
	b.vocab = make([]*vocabulary, shards)
	var entries [2][shards][]entry
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
				if own := b.own(i, set); len(own) >= MinShingles {
					b.states[i].compared = true
					entries[nth][s] = append(entries[nth][s], entry{int32(i), slab.keep(own)})
				}
				nth++
			})
		}
		b.vocab[s] = v
	})
	for _, nth := range entries {
		b.entries = append(b.entries, slices.Concat(nth[:]...)...)
	}
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
	x := &Index{at: b.at, states: b.states, rare: map[int][]Shared{}}
	pairs := b.rarePairs()
	x.groups = b.findGroups()
	for i, g := range x.groups {
		for _, m := range g.Members {
			s := &x.states[b.at[m.Listing]]
			if s.group == 0 || len(x.groups[s.group-1].Members) < len(g.Members) {
				s.group = int32(i + 1)
			}
		}
	}
	x.allRare = b.addRare(x.rare)
	x.phrases = b.findPhrases(x, pairs)
	x.warnings = b.warnings
	return x
}
