// Package near finds 64-bit fingerprints of pictures that differ in few bits. The
// search is exact: no pair within the bound is missed.
//
// A fingerprint is split into four chunks of about 16 bits. If chunk i may differ
// by r(i) bits and the sum of all r(i)+1 is above the bound, then a pair that
// differs by more than r(i) in every chunk is further apart than the bound
// (pigeonhole principle; multi-index hashing, Norouzi, Punjani and Fleet 2012). So
// for each chunk the fingerprints lie sorted by its value, and one is compared with
// those whose value is within r(i) bits of its own. Where chunks differ in r(i),
// those with more are made wider, and have smaller buckets.
package near

import (
	"iter"
	"math/bits"
	"slices"
	"sync"
)

// MaxBound is the largest bound in bits; larger ones are cut to it.
const MaxBound = 15

const chunks = 4

// chunk is some bits of a fingerprint, and how many of them may differ.
type chunk struct{ shift, bits, radius int }

func (c chunk) of(v uint64) int { return int(v >> c.shift & (1<<c.bits - 1)) }

func chunksOf(bound int) (list [chunks]chunk) {
	more := (bound + 1) % chunks // have one bit more
	shift := 0
	for i := range list {
		list[i] = chunk{shift: shift, bits: 64/chunks - more, radius: (bound+1)/chunks - 1}
		if i < more {
			list[i].bits += chunks
			list[i].radius++
		}
		shift += list[i].bits
	}
	return list
}

// masks lists the values of the chunk with at most radius bits set.
func (c chunk) masks() (out []int) {
	for v := range 1 << c.bits {
		if bits.OnesCount(uint(v)) <= c.radius {
			out = append(out, v)
		}
	}
	return out
}

// Set holds fingerprints, by their numbers in the list it was made of.
type Set struct {
	bound  int
	list   []uint64 // of a set so small that comparing with all is quicker; else nil
	chunks [chunks]chunk
	masks  [chunks][]int
	tables [chunks]table
}

// table holds fingerprints sorted by one chunk. start[v] is the first with value
// v.
type table struct {
	start []int32
	bits  []uint64
	of    []int32 // number of the fingerprint
}

func newTable(prints []uint64, c chunk) table {
	t := table{start: make([]int32, 1<<c.bits+1), bits: make([]uint64, len(prints)), of: make([]int32, len(prints))}
	for _, p := range prints {
		t.start[c.of(p)+1]++
	}
	for v := range 1 << c.bits {
		t.start[v+1] += t.start[v]
	}
	next := slices.Clone(t.start)
	for i, p := range prints {
		v := c.of(p)
		t.bits[next[v]], t.of[next[v]] = p, int32(i)
		next[v]++
	}
	return t
}

// bucket is the fingerprints of a table that have one value of its chunk.
type bucket struct {
	bits []uint64
	of   []int32
}

func (t *table) bucket(v int) bucket {
	from, to := t.start[v], t.start[v+1]
	return bucket{t.bits[from:to], t.of[from:to]}
}

// New makes a set for the search within a bound.
func New(prints []uint64, bound int) *Set {
	s := &Set{bound: min(bound, MaxBound)}
	s.chunks = chunksOf(s.bound)
	var wait sync.WaitGroup
	for c := range chunks {
		wait.Go(func() {
			s.masks[c] = s.chunks[c].masks()
			s.tables[c] = newTable(prints, s.chunks[c])
		})
	}
	wait.Wait()
	buckets := 0
	for _, m := range s.masks {
		buckets += len(m)
	}
	if len(prints) <= buckets {
		s.list = prints
	}
	return s
}

// Near gives the numbers of the fingerprints within the bound of one, some of
// them several times.
func (s *Set) Near(want uint64) iter.Seq[int32] {
	return func(yield func(int32) bool) {
		if s.list != nil {
			for i, p := range s.list {
				if bits.OnesCount64(want^p) <= s.bound && !yield(int32(i)) {
					return
				}
			}
			return
		}
		for c := range chunks {
			t, v := &s.tables[c], s.chunks[c].of(want)
			for _, mask := range s.masks[c] {
				from := t.start[v^mask]
				for n, p := range t.bits[from:t.start[v^mask+1]] {
					if bits.OnesCount64(want^p) <= s.bound && !yield(t.of[int(from)+n]) {
						return
					}
				}
			}
		}
	}
}

// Any reports whether a fingerprint is within the bound of one.
func (s *Set) Any(want uint64) bool {
	for range s.Near(want) {
		return true
	}
	return false
}

// Meet calls found for the pairs of a fingerprint of s and one of other, which has
// the same bound: once for each chunk in which they differ by no more than it may.
// It does the part-th of so many parts of the work, which may be done at one time.
func (s *Set) Meet(other *Set, part, parts int, found func(i, j int32)) {
	for c := range chunks {
		own, others := &s.tables[c], &other.tables[c]
		buckets := 1 << s.chunks[c].bits
		for v := buckets * part / parts; v < buckets*(part+1)/parts; v++ {
			wants := own.bucket(v)
			if len(wants.bits) == 0 {
				continue
			}
			for _, mask := range s.masks[c] {
				s.compare(wants, others.bucket(v^mask), found)
			}
		}
	}
}

// Pairs is Meet for the pairs of different numbers of one set, each one way round.
// Two fingerprints are as far apart one way as the other, so that of two buckets
// only one is compared with the other, the one whose first differing bit is 0.
func (s *Set) Pairs(part, parts int, found func(i, j int32)) {
	for c := range chunks {
		if len(s.masks[c]) == 0 { // no pair needs this chunk to be found
			continue
		}
		t := &s.tables[c]
		buckets := 1 << s.chunks[c].bits
		for v := buckets * part / parts; v < buckets*(part+1)/parts; v++ {
			wants := t.bucket(v)
			if len(wants.bits) == 0 {
				continue
			}
			for _, mask := range s.masks[c] {
				if mask != 0 && v&mask&-mask == 0 {
					s.compare(wants, t.bucket(v^mask), found)
				}
			}
			for i := range wants.bits {
				s.compare(bucket{wants.bits[i : i+1], wants.of[i : i+1]}, bucket{wants.bits[i+1:], wants.of[i+1:]}, found)
			}
		}
	}
}

// compare calls found for each want and other within the bound. Four wants are
// compared at a time: an other is fetched once for them.
func (s *Set) compare(wants, others bucket, found func(i, j int32)) {
	if len(others.bits) == 0 {
		return
	}
	bound := s.bound
	i := 0
	for ; i+4 <= len(wants.bits); i += 4 {
		a, b, c, d := wants.bits[i], wants.bits[i+1], wants.bits[i+2], wants.bits[i+3]
		for n, o := range others.bits {
			if bits.OnesCount64(a^o) <= bound {
				found(wants.of[i], others.of[n])
			}
			if bits.OnesCount64(b^o) <= bound {
				found(wants.of[i+1], others.of[n])
			}
			if bits.OnesCount64(c^o) <= bound {
				found(wants.of[i+2], others.of[n])
			}
			if bits.OnesCount64(d^o) <= bound {
				found(wants.of[i+3], others.of[n])
			}
		}
	}
	for ; i < len(wants.bits); i++ {
		want := wants.bits[i]
		for n, o := range others.bits {
			if bits.OnesCount64(want^o) <= bound {
				found(wants.of[i], others.of[n])
			}
		}
	}
}
