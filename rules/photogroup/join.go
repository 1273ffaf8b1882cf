package photogroup

import (
	"cmp"
	"runtime"
	"slices"
	"sync"

	"counterfoil/parse/listing"
	"counterfoil/rules/near"
)

// searcher finds prints near a given one.
type searcher struct {
	prints       []print
	own, mirrors *near.Set // the prints and their mirror images
}

func newSearcher(prints []print, bound int) *searcher {
	own, mirrors := make([]uint64, len(prints)), make([]uint64, len(prints))
	for i, p := range prints {
		own[i], mirrors[i] = p.print, p.mirror
	}
	return &searcher{prints, near.New(own, bound), near.New(mirrors, bound)}
}

// near calls found for each print that is, or whose mirror image is, within the
// bound of want, once or more.
func (s *searcher) near(want uint64, found func(j int32)) {
	for j := range s.own.Near(want) {
		found(j)
	}
	for j := range s.mirrors.Near(want) {
		found(j)
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
			rank, met := ranks[w], met[w]
			s.own.Pairs(w, workers, func(i, j int32) {
				rank[i]++
				rank[j]++
				met[i], met[j] = true, true
			})
			// A print may be near to another's mirror image, and not its own to that
			// one's print.
			s.own.Meet(s.mirrors, w, workers, func(i, j int32) {
				rank[i]++
				met[j] = true
			})
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
