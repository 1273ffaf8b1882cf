package texts

import (
	"cmp"
	"slices"
)

// Phrase is a run of words that few sellers share in texts that are no near
// duplicates: at least PhraseWords words, none of its word triples at more than
// Options.RareSellers sellers.
type Phrase struct {
	Text     string // as it stands in the first listing, at most CommonLimit characters
	Words    int
	Listings []int // two, of different sellers, ascending
}

// PhraseWords is the least length of a shared phrase: engineering choice.
const PhraseWords = 10

const (
	// maxSampled bounds the word triples among which rare ones are sought. Of a
	// larger batch's every second, third, ... by hash is taken, so that phrases
	// just long enough may be missed there.
	maxSampled = 1 << 19
	// maxPhrases bounds the pairs of texts that are compared word by word.
	maxPhrases = 4_000
)

// pair is two documents with the number of sampled triples that few sellers use.
type rarePair struct {
	a, b   int32
	shared int
}

// rarePairs finds the documents of different sellers that share triples which at
// most RareSellers sellers use, those that share most first.
func (b *builder) rarePairs() []rarePair {
	all := 0
	for _, e := range b.entries {
		all += len(e.set)
	}
	step := uint32(all/maxSampled + 1)
	var sampled []uint64
	for _, e := range b.entries {
		if b.seller[e.doc] == 0 {
			continue
		}
		for _, v := range e.set {
			if v%step == 0 {
				sampled = append(sampled, uint64(v)<<32|uint64(uint32(e.doc)))
			}
		}
	}
	slices.Sort(sampled)
	met := map[[2]int32]int{}
	var docs []int32 // with one triple, the first of each seller
	for i := 0; i < len(sampled); {
		j := i
		docs = docs[:0]
		for ; j < len(sampled) && sampled[j]>>32 == sampled[i]>>32; j++ {
			d := int32(uint32(sampled[j]))
			if n := len(docs); n <= b.RareSellers && (n == 0 || b.seller[docs[n-1]] != b.seller[d]) {
				docs = append(docs, d)
			}
		}
		if len(docs) <= b.RareSellers {
			for k, d := range docs {
				for _, e := range docs[k+1:] {
					met[[2]int32{d, e}]++
				}
			}
		}
		i = j
	}
	least := max(2, (PhraseWords-2*wordRun)/int(step)) // a run of n words has n-2 triples; one alone meets by chance
	var pairs []rarePair
	for p, n := range met {
		if n >= least {
			pairs = append(pairs, rarePair{p[0], p[1], n})
		}
	}
	slices.SortFunc(pairs, func(p, q rarePair) int {
		return cmp.Or(cmp.Compare(q.shared, p.shared), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	return pairs[:min(len(pairs), maxPhrases)]
}

// findPhrases reads the pairs word by word.
func (b *builder) findPhrases(pairs []rarePair) []Phrase {
	found := make([]Phrase, len(pairs))
	b.parallel(len(pairs), func(i int) {
		p := pairs[i]
		if g := b.states[p.a].group; g != 0 && g == b.states[p.b].group {
			return
		}
		one, other := &b.docs[p.a], &b.docs[p.b]
		if one.Listing > other.Listing {
			one, other = other, one
		}
		if run, ok := SharedPassage(one.Text, other.Text); ok && run.Words >= PhraseWords {
			found[i] = Phrase{cutPassage(run.QuoteA, CommonLimit), run.Words, []int{one.Listing, other.Listing}}
		}
	})
	found = slices.DeleteFunc(found, func(p Phrase) bool { return p.Words == 0 })
	slices.SortFunc(found, func(p, q Phrase) int {
		return cmp.Or(cmp.Compare(p.Listings[0], q.Listings[0]), cmp.Compare(p.Listings[1], q.Listings[1]))
	})
	return found
}
