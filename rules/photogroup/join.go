package photogroup

import (
	"cmp"
	"math/bits"
	"runtime"
	"slices"
	"sync"
)

// The search splits a fingerprint into four chunks of 16 bits. If chunk i may
// differ by r(i) bits and the sum of all r(i)+1 is above the bound, then a pair
// that differs by more than r(i) in every chunk is further apart than the bound
// (pigeonhole principle; multi-index hashing, Norouzi, Punjani and Fleet 2012).
// So for each chunk the prints are sorted by its value, and each print is
// compared with those whose value lies within r(i) bits of its own.
const (
	chunks    = 4
	chunkBits = 16
	buckets   = 1 << chunkBits
)

// table holds prints, or their mirror images, sorted by one chunk. start[v] is
// the first with value v.
type table struct {
	start []int32
	bits  []uint64
	of    []int32 // number of the print
}

func newTable(prints []print, chunk int, value func(print) uint64) table {
	t := table{start: make([]int32, buckets+1), bits: make([]uint64, len(prints)), of: make([]int32, len(prints))}
	for _, p := range prints {
		t.start[chunkOf(value(p), chunk)+1]++
	}
	for v := range buckets {
		t.start[v+1] += t.start[v]
	}
	next := slices.Clone(t.start)
	for i, p := range prints {
		v := chunkOf(value(p), chunk)
		t.bits[next[v]], t.of[next[v]] = value(p), int32(i)
		next[v]++
	}
	return t
}

func chunkOf(v uint64, chunk int) int { return int(v >> (chunk * chunkBits) & (buckets - 1)) }

// radius gives how many bits a chunk may differ by; negative for not at all.
func radius(bound, chunk int) int {
	r := (bound+1)/chunks - 1
	if chunk < (bound+1)%chunks {
		r++
	}
	return r
}

// masks lists the chunk values with at most n bits set.
func masks(n int) []int {
	var out []int
	for v := range buckets {
		if bits.OnesCount(uint(v)) <= n {
			out = append(out, v)
		}
	}
	return out
}

// searcher finds prints near a given one.
type searcher struct {
	prints []print
	bound  int
	masks  [chunks][]int
	tables [chunks][2]table // of the prints and of their mirror images
}

func newSearcher(prints []print, bound int) *searcher {
	s := &searcher{prints: prints, bound: bound}
	var wait sync.WaitGroup
	for c := range chunks {
		wait.Go(func() {
			s.masks[c] = masks(radius(bound, c))
			s.tables[c][0] = newTable(prints, c, func(p print) uint64 { return p.print })
			s.tables[c][1] = newTable(prints, c, func(p print) uint64 { return p.mirror })
		})
	}
	wait.Wait()
	return s
}

// near calls found for each print that is, or whose mirror image is, within the
// bound of want, once or more.
func (s *searcher) near(want uint64, found func(j int32)) {
	for c := range chunks {
		v := chunkOf(want, c)
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
func (s *searcher) rank() []int32 {
	rank := make([]int32, len(s.prints))
	workers := runtime.GOMAXPROCS(0)
	for c := range chunks {
		var wait sync.WaitGroup
		for w := range workers {
			wait.Go(func() { s.rankBuckets(rank, c, buckets*w/workers, buckets*(w+1)/workers) })
		}
		wait.Wait()
	}
	return rank
}

// rankBuckets compares the prints of the buckets from to to-1 of a chunk. Each
// print stands in one bucket, so that two ranges never write the same rank.
func (s *searcher) rankBuckets(rank []int32, chunk, from, to int) {
	own := &s.tables[chunk][0]
	for v := from; v < to; v++ {
		first, last := own.start[v], own.start[v+1]
		if first == last {
			continue
		}
		for _, mask := range s.masks[chunk] {
			for k := range s.tables[chunk] {
				t := &s.tables[chunk][k]
				others := t.bits[t.start[v^mask]:t.start[v^mask+1]]
				for i := first; i < last; i++ {
					want, n := own.bits[i], int32(0)
					if mask == 0 && k == 0 {
						n-- // the print itself
					}
					for _, b := range others {
						if bits.OnesCount64(want^b) <= s.bound {
							n++
						}
					}
					rank[own.of[i]] += n
				}
			}
		}
	}
}

// cluster gives the number of the print at the centre of each print's group.
// Groups are stars: no member is further than bound from the centre, so that
// chains cannot grow. The print of highest rank (then of lowest number) that is
// in no star yet becomes the next centre; a print near several centres goes to
// the nearest, of equally near ones to the earlier. Time and memory grow with
// the number of prints, time also with the square of the size of a dense crowd
// of unequal prints.
func cluster(prints []print, bound int) []int32 {
	s := newSearcher(prints, bound)
	rank := s.rank()
	order := make([]int32, len(prints))
	centre, away := make([]int32, len(prints)), make([]int, len(prints))
	for i := range order {
		order[i], centre[i], away[i] = int32(i), -1, bound+1
	}
	slices.SortFunc(order, func(a, b int32) int {
		return cmp.Or(cmp.Compare(rank[b], rank[a]), cmp.Compare(a, b))
	})
	for _, c := range order {
		if centre[c] >= 0 {
			continue
		}
		centre[c], away[c] = c, -1
		if rank[c] == 0 {
			continue
		}
		s.near(prints[c].print, func(j int32) {
			if d, _ := distance(prints[c], prints[j]); d < away[j] {
				centre[j], away[j] = c, d
			}
		})
	}
	return centre
}
