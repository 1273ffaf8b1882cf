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
	workers := runtime.GOMAXPROCS(0)
	ranks, met := make([][]int32, workers), make([][]bool, workers)
	var wait sync.WaitGroup
	for w := range workers {
		ranks[w], met[w] = make([]int32, len(s.prints)), make([]bool, len(s.prints))
		wait.Go(func() {
			for c := range chunks {
				buckets := 1 << s.chunks[c].bits
				s.rankBuckets(ranks[w], met[w], c, buckets*w/workers, buckets*(w+1)/workers)
			}
		})
	}
	wait.Wait()
	rank = ranks[0]
	for i := range rank {
		is := met[0][i]
		for w := 1; w < workers; w++ {
			rank[i] += ranks[w][i]
			is = is || met[w][i]
		}
		if is || rank[i] > 0 {
			near = append(near, int32(i))
		}
	}
	return rank, near
}

// rankBuckets compares the prints of the buckets from to to-1 of a chunk with those
// of the buckets near them. Two prints are as far apart one way as the other, so
// that of two buckets only one is compared with the other, the one whose first
// differing bit is 0; not so a print and a mirror image. met marks the neighbours; rank is the worker's
// own.
func (s *searcher) rankBuckets(rank []int32, met []bool, chunk, from, to int) {
	own, mirrors := &s.tables[chunk][0], &s.tables[chunk][1]
	if len(s.masks[chunk]) == 0 { // no pair needs this chunk to be found
		return
	}
	for v := from; v < to; v++ {
		first, last := own.start[v], own.start[v+1]
		if first == last {
			continue
		}
		wants, names := own.bits[first:last], own.of[first:last]
		for _, mask := range s.masks[chunk] {
			other := v ^ mask
			if start, end := own.start[other], own.start[other+1]; v&mask&-mask == 0 && mask != 0 && start < end {
				others := own.of[start:end]
				s.pairs(wants, own.bits[start:end], func(i, n int) {
					a, b := names[i], others[n]
					rank[a]++
					rank[b]++
					met[a], met[b] = true, true
				})
			}
			start, end := mirrors.start[other], mirrors.start[other+1]
			if start == end {
				continue
			}
			others := mirrors.of[start:end]
			s.pairs(wants, mirrors.bits[start:end], func(i, n int) {
				rank[names[i]]++
				met[others[n]] = true
			})
		}
		for i, want := range wants {
			for n := i + 1; n < len(wants); n++ {
				if bits.OnesCount64(want^wants[n]) <= s.bound {
					a, b := names[i], names[n]
					rank[a]++
					rank[b]++
					met[a], met[b] = true, true
				}
			}
		}
	}
}

// pairs calls found for each want and other within the bound. Four wants are
// compared at a time: an other is fetched once for them.
func (s *searcher) pairs(wants, others []uint64, found func(i, n int)) {
	bound := s.bound
	i := 0
	for ; i+4 <= len(wants); i += 4 {
		a, b, c, d := wants[i], wants[i+1], wants[i+2], wants[i+3]
		for n, o := range others {
			if bits.OnesCount64(a^o) <= bound {
				found(i, n)
			}
			if bits.OnesCount64(b^o) <= bound {
				found(i+1, n)
			}
			if bits.OnesCount64(c^o) <= bound {
				found(i+2, n)
			}
			if bits.OnesCount64(d^o) <= bound {
				found(i+3, n)
			}
		}
	}
	for ; i < len(wants); i++ {
		want := wants[i]
		for n, o := range others {
			if bits.OnesCount64(want^o) <= bound {
				found(i, n)
			}
		}
	}
}

// atATime is how many prints are looked up at a time: few, since each may have very
// many neighbours.
const atATime = 64

// nearEach fills found with the neighbours of the prints at.
func (s *searcher) nearEach(prints []print, at []int, found [][]int32) {
	workers := runtime.GOMAXPROCS(0)
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			for i := w; i < len(at); i += workers {
				list := found[i][:0]
				s.near(prints[at[i]].print, func(j int32) { list = append(list, j) })
				found[i] = list
			}
		})
	}
	wait.Wait()
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
	// Neighbours are looked up for some prints at a time, on all processors; those
	// that turn out to be members by then were looked up in vain, which is seldom.
	at := make([]int, 0, atATime)
	found := make([][]int32, atATime)
	for next := 0; next < len(order); {
		at = at[:0]
		for ; next < len(order) && len(at) < atATime; next++ {
			if c := order[next]; away[c] > bound && rank[near[c]] > 0 {
				at = append(at, c)
			}
		}
		s.nearEach(some, at, found)
		for i, c := range at {
			if away[c] <= bound {
				continue
			}
			away[c] = -1
			own := view{detail: details[near[c]]}
			for _, j := range found[i] {
				d, mirrored := distance(some[c], some[j])
				if d < away[j] && (d <= SureBits || own.like(details[near[j]], mirrored)) {
					centre[near[j]], away[j] = near[c], d
				}
			}
		}
	}
	return centre
}
