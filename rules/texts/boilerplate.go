package texts

import (
	"cmp"
	"slices"
)

// Bounds of the sample on which boilerplate is counted. Batches up to this size
// are counted in full.
const (
	sampleSellers = 1024
	sampleDocs    = 32 // of each seller, evenly spaced
)

// findBoilerplate gives the shingles that too many sellers use: marketplace
// text, a maker's catalogue text. A shingle is boilerplate when
//
//	sellers(shingle) > max(MinBoilerplate, BoilerplateShare x sellers)
//
// counted over distinct known sellers. In a larger batch it is counted over
// sampleSellers sellers, drawn by the hash of their key, and sampleDocs listings
// of each; the standard error of the share is then at most
// sqrt(.25 x .75 / 1024) = .014.
func (b *builder) findBoilerplate() (common shingleSet) {
	type sellerDocs struct {
		hash       uint64
		start, end int
	}
	var sellers []sellerDocs
	for i := 0; i < len(b.docs); {
		j := i + 1
		for j < len(b.docs) && b.seller[j] == b.seller[i] {
			j++
		}
		if b.docs[i].Seller != "" {
			sellers = append(sellers, sellerDocs{hashString(b.docs[i].Seller), i, j})
		}
		i = j
	}
	if len(sellers) > sampleSellers {
		slices.SortFunc(sellers, func(p, q sellerDocs) int {
			return cmp.Or(cmp.Compare(p.hash, q.hash), cmp.Compare(p.start, q.start))
		})
		sellers = sellers[:sampleSellers]
	}
	cut := max(MinBoilerplate, int(b.BoilerplateShare*float64(len(sellers))))
	if len(sellers) <= cut {
		return common
	}
	var t shingleTally
	f := folder{keepNumbers: b.KeepNumbers}
	for n, s := range sellers {
		take := min(s.end-s.start, sampleDocs)
		for k := range take {
			f.fold(b.docs[s.start+k*(s.end-s.start)/take].Text)
			f.shingles(func(set []uint32) {
				for _, v := range set {
					t.seen = append(t.seen, uint64(v)<<32|uint64(n))
				}
			})
		}
		if len(t.seen) >= maxSeen {
			t.count()
		}
	}
	t.count()
	common.all = map[uint32]bool{}
	for _, c := range t.counts {
		if int(uint32(c)) > cut {
			common.add(uint32(c >> 32))
		}
	}
	return common
}

// maxSeen bounds the shingles that wait to be counted.
const maxSeen = 1 << 21

// shingleTally counts the sellers of shingles: sorting is quicker than a map of
// millions.
type shingleTally struct {
	counts []uint64 // shingle in the upper half, sellers in the lower, sorted
	seen   []uint64 // shingle and seller, by seller
	other  []uint64
}

// count adds what was seen to the counts. A seller's shingles are counted at one
// time.
func (t *shingleTally) count() {
	if len(t.other) < len(t.seen) {
		t.other = make([]uint64, len(t.seen))
	}
	sortByKey(t.seen, t.other[:len(t.seen)])
	merged := make([]uint64, 0, len(t.counts)+len(t.seen)/2)
	rest := t.counts
	for i := 0; i < len(t.seen); {
		shingle, sellers, j := t.seen[i]>>32, uint64(1), i+1
		for ; j < len(t.seen) && t.seen[j]>>32 == shingle; j++ {
			if t.seen[j] != t.seen[j-1] {
				sellers++
			}
		}
		i = j
		for len(rest) > 0 && rest[0]>>32 < shingle {
			merged, rest = append(merged, rest[0]), rest[1:]
		}
		if len(rest) > 0 && rest[0]>>32 == shingle {
			sellers += rest[0] & 0xffffffff
			rest = rest[1:]
		}
		merged = append(merged, shingle<<32|sellers)
	}
	t.counts, t.seen = append(merged, rest...), t.seen[:0]
}

// shingleSet is a set of shingles. Most of those that are asked for are not in it,
// which a bit by their last 16 bits tells without a look into the map.
type shingleSet struct {
	all   map[uint32]bool
	maybe [1 << 16 / 64]uint64
}

func (s *shingleSet) add(v uint32) {
	s.all[v] = true
	s.maybe[v&0xffff/64] |= 1 << (v % 64)
}

func (s *shingleSet) has(v uint32) bool {
	return s.maybe[v&0xffff/64]&(1<<(v%64)) != 0 && s.all[v]
}

func hashString(s string) uint64 {
	h := uint64(fnvOffset)
	for i := range len(s) {
		h = (h ^ uint64(s[i])) * fnvPrime
	}
	return mix(h)
}
