package rules

import (
	"math/bits"
	"slices"
)

// Prints finds fingerprints of pictures near a given one, without missing any:
// when two of 64 bits differ in at most bound bits, one of their four quarters
// differs in at most bound/4 (multi-index hashing, Norouzi, Punjani, Fleet
// 2012).
type Prints struct {
	bound int
	list  []uint64
	of    []int
	flips []uint16
	at    [4][][]int32 // numbers in list, by quarter
}

// NewPrints makes an empty set. Bounds above 15 are cut to it.
func NewPrints(bound int) *Prints {
	p := &Prints{bound: min(bound, 15)}
	for x := range 1 << 16 {
		if bits.OnesCount(uint(x)) <= p.bound/4 {
			p.flips = append(p.flips, uint16(x))
		}
	}
	for i := range p.at {
		p.at[i] = make([][]int32, 1<<16)
	}
	return p
}

// Add puts a fingerprint under a number of the caller's.
func (p *Prints) Add(fingerprint uint64, number int) {
	for i := range p.at {
		q := uint16(fingerprint >> (16 * i))
		p.at[i][q] = append(p.at[i][q], int32(len(p.list)))
	}
	p.list, p.of = append(p.list, fingerprint), append(p.of, number)
}

// Near gives the numbers of all fingerprints within the bound, ascending, each
// once.
func (p *Prints) Near(fingerprint uint64) []int {
	var found []int
	p.each(fingerprint, func(n int32) bool { found = append(found, p.of[n]); return true })
	slices.Sort(found)
	return slices.Compact(found)
}

// Any reports whether a fingerprint is within the bound.
func (p *Prints) Any(fingerprint uint64) (any bool) {
	p.each(fingerprint, func(int32) bool { any = true; return false })
	return any
}

// each calls do with the numbers in list of the fingerprints within the bound,
// some of them several times, until it answers false.
func (p *Prints) each(fingerprint uint64, do func(int32) bool) {
	if len(p.list) <= len(p.flips) {
		for n, f := range p.list {
			if bits.OnesCount64(f^fingerprint) <= p.bound && !do(int32(n)) {
				return
			}
		}
		return
	}
	for i := range p.at {
		quarter := uint16(fingerprint >> (16 * i))
		for _, flip := range p.flips {
			for _, n := range p.at[i][quarter^flip] {
				if bits.OnesCount64(p.list[n]^fingerprint) <= p.bound && !do(n) {
					return
				}
			}
		}
	}
}
