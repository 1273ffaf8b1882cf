package photogroup

import (
	"cmp"
	"math/bits"
	"runtime"
	"slices"
	"sync"

	"counterfoil/parse/listing"
)

// The search splits a fingerprint into four chunks of about 16 bits. If chunk i may
// differ by r(i) bits and the sum of all r(i)+1 is above the bound, then a pair
// that differs by more than r(i) in every chunk is further apart than the bound
// (pigeonhole principle; multi-index hashing, Norouzi, Punjani and Fleet 2012).
// So for each chunk the prints are sorted by its value, and each print is
// compared with those whose value lies within r(i) bits of its own. Where chunks
// differ in r(i), those with more are made wider, and have smaller buckets.
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

// table holds prints, or their mirror images, sorted by one chunk. start[v] is
// the first with value v.
type table struct {
	start []int32
	bits  []uint64
	of    []int32 // number of the print
}

func newTable(prints []print, c chunk, value func(print) uint64) table {
	t := table{start: make([]int32, 1<<c.bits+1), bits: make([]uint64, len(prints)), of: make([]int32, len(prints))}
	for _, p := range prints {
		t.start[c.of(value(p))+1]++
	}
	for v := range 1 << c.bits {
		t.start[v+1] += t.start[v]
	}
	next := slices.Clone(t.start)
	for i, p := range prints {
		v := c.of(value(p))
		t.bits[next[v]], t.of[next[v]] = value(p), int32(i)
		next[v]++
	}
	return t
}

// masks lists the values of the chunk with at most radius bits set.
func (c chunk) masks() []int {
	var out []int
	for v := range 1 << c.bits {
		if bits.OnesCount(uint(v)) <= c.radius {
			out = append(out, v)
		}
	}
	return out
}

// searcher finds prints near a given one.
type searcher struct {
	prints []print
	bound  int
	chunks [chunks]chunk
	masks  [chunks][]int
	tables [chunks][2]table // of the prints and of their mirror images
}

func newSearcher(prints []print, bound int) *searcher {
	s := &searcher{prints: prints, bound: bound, chunks: chunksOf(bound)}
	var wait sync.WaitGroup
	for c := range chunks {
		wait.Go(func() {
			s.masks[c] = s.chunks[c].masks()
			s.tables[c][0] = newTable(prints, s.chunks[c], func(p print) uint64 { return p.print })
			s.tables[c][1] = newTable(prints, s.chunks[c], func(p print) uint64 { return p.mirror })
		})
	}
	wait.Wait()
	return s
}

// near calls found for each print that is, or whose mirror image is, within the
// bound of want, once or more.
func (s *searcher) near(want uint64, found func(j int32)) {
	for c := range chunks {
		v := s.chunks[c].of(want)
		for _, mask := range s.masks[c] {
			for k := range s.tables[c] {
				t := &s.tables[c][k]
				from := t.start[v^mask]
				for n, b := range t.bits[from:t.start[v^mask+1]] {
					if bits.OnesCount64(want^b) <= s.bound {
						found(t.of[int(from)+n])
					}
				}
			}
		}
	}
}

// rank counts for each print how often the search meets another one near it: the
// more and the nearer its neighbours, the higher. 0 is a print with none.
//
// It also gives in order the prints that have or are a neighbour: all that groups
// can be made of.
func (s *searcher) rank() (rank []int32, near []int32) {
	rank = make([]int32, len(s.prints))
	workers := runtime.GOMAXPROCS(0)
	met := make([][]bool, workers)
	for w := range met {
		met[w] = make([]bool, len(s.prints))
	}
	for c := range chunks {
		buckets := 1 << s.chunks[c].bits
		var wait sync.WaitGroup
		for w := range workers {
			wait.Go(func() { s.rankBuckets(rank, met[w], c, buckets*w/workers, buckets*(w+1)/workers) })
		}
		wait.Wait()
	}
	for i := range rank {
		if rank[i] > 0 || slices.ContainsFunc(met, func(m []bool) bool { return m[i] }) {
			near = append(near, int32(i))
		}
	}
	return rank, near
}

// rankBuckets compares the prints of the buckets from to to-1 of a chunk. Each
// print stands in one bucket, so that two ranges never write the same rank. met
// marks the neighbours.
func (s *searcher) rankBuckets(rank []int32, met []bool, chunk, from, to int) {
	own, bound := &s.tables[chunk][0], s.bound
	for v := from; v < to; v++ {
		first, last := own.start[v], own.start[v+1]
		if first == last {
			continue
		}
		for _, mask := range s.masks[chunk] {
			for k := range s.tables[chunk] {
				t := &s.tables[chunk][k]
				start := t.start[v^mask]
				others := t.bits[start:t.start[v^mask+1]]
				for i := first; i < last; i++ {
					want := own.bits[i]
					for n, b := range others {
						if bits.OnesCount64(want^b) > bound {
							continue
						}
						if other := t.of[int(start)+n]; k > 0 || other != own.of[i] {
							rank[own.of[i]]++
							met[other] = true
						}
					}
				}
			}
		}
	}
}

// cluster gives the number of the print at the centre of each print's group.
// Groups are stars: no member is further than bound from the centre, so that
// chains cannot grow. The print of highest rank (then of lowest number) that is
// in no star yet becomes the next centre; a print near several centres goes to
// the nearest, of equally near ones to the earlier. Beyond SureBits the fingerprints
// alone do not do: the pictures must be like each other too. Time and memory grow with
// the number of prints, time also with the square of the size of a dense crowd
// of unequal prints.
func cluster(prints []print, details []*listing.Detail, bound int) []int32 {
	rank, near := newSearcher(prints, bound).rank()
	centre := make([]int32, len(prints))
	for i := range centre {
		centre[i] = int32(i)
	}
	some, away := make([]print, len(near)), make([]int, len(near))
	order := make([]int, len(near)) // into near
	for i, n := range near {
		some[i], away[i], order[i] = prints[n], bound+1, i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rank[near[b]], rank[near[a]]) })
	s := newSearcher(some, bound)
	for _, c := range order {
		if away[c] <= bound {
			continue
		}
		away[c] = -1
		if rank[near[c]] == 0 {
			continue
		}
		own := view{detail: details[near[c]]}
		s.near(some[c].print, func(j int32) {
			d, mirrored := distance(some[c], some[j])
			if d < away[j] && (d <= SureBits || own.like(details[near[j]], mirrored)) {
				centre[near[j]], away[j] = near[c], d
			}
		})
	}
	return centre
}
