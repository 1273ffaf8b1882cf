package texts

import (
	"cmp"
	"math/bits"
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
	// each calls do with the sets of one seller after the other, counted from 1.
	each := func(do func(seller uint16, set []uint32)) {
		for n, s := range sellers {
			take := min(s.end-s.start, sampleDocs)
			for k := range take {
				for _, sets := range b.sets {
					do(uint16(n+1), sets[s.start+k*(s.end-s.start)/take])
				}
			}
		}
	}
	all := 0
	each(func(_ uint16, set []uint32) { all += len(set) })
	shift := 32 - min(bits.Len(uint(all)), maxSlotBits)
	slots := make([]sellerCount, 1<<(32-shift))
	each(func(seller uint16, set []uint32) {
		for _, v := range set {
			slots[v>>shift].add(seller)
		}
	})
	exact := map[uint32]sellerCount{}
	each(func(seller uint16, set []uint32) {
		for _, v := range set {
			if int(slots[v>>shift].sellers) > cut {
				c := exact[v]
				c.add(seller)
				exact[v] = c
			}
		}
	})
	common.all = map[uint32]bool{}
	for v, c := range exact {
		if int(c.sellers) > cut {
			common.add(v)
		}
	}
	return common
}

// maxSlotBits bounds the slots in which shingles are counted by their first bits:
// a shingle is counted by itself only where its slot has sellers enough, which is
// so of few.
const maxSlotBits = 24

// sellerCount counts sellers that come one after the other.
type sellerCount struct{ last, sellers uint16 }

func (c *sellerCount) add(seller uint16) {
	if c.last != seller {
		c.last, c.sellers = seller, c.sellers+1
	}
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
