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
func (b *builder) findBoilerplate() map[uint32]bool {
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
		return nil
	}
	type count struct{ last, sellers int32 }
	counts := map[uint32]count{}
	f := folder{keepNumbers: b.KeepNumbers}
	for n, s := range sellers {
		take := min(s.end-s.start, sampleDocs)
		for k := range take {
			f.fold(b.docs[s.start+k*(s.end-s.start)/take].Text)
			f.shingles(func(set []uint32) {
				for _, v := range set {
					if c := counts[v]; c.last != int32(n)+1 {
						counts[v] = count{int32(n) + 1, c.sellers + 1}
					}
				}
			})
		}
	}
	common := map[uint32]bool{}
	for v, c := range counts {
		if int(c.sellers) > cut {
			common[v] = true
		}
	}
	return common
}

func hashString(s string) uint64 {
	h := uint64(fnvOffset)
	for i := range len(s) {
		h = (h ^ uint64(s[i])) * fnvPrime
	}
	return mix(h)
}
