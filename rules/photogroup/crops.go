package photogroup

import (
	"cmp"
	"math/bits"
	"runtime"
	"slices"
	"sync"

	"counterfoil/parse/listing"
)

// Overlap says how the picture at a group's centre and a crop of it, or the
// picture that it is a crop of, lie on each other.
type Overlap struct {
	Score float64 // correlation where both show the same, light evened, up to 1
	// The shares of the two pictures' areas that the other shows too, margins and
	// frames left out, 0 to 1.
	OfCentre, OfMember float64
}

// MaxCropped is the number of different pictures up to which crops are looked for.
const MaxCropped = 200_000

// link says that the group of one print may be joined to that of another.
type link struct {
	from, to int32 // numbers of centres, from < to
	mirrored bool  // the mirror image of the one is a copy of the other
	overlap  Overlap
}

// joinCrops joins groups whose centres are crops of one another. A centre's crops
// are looked for among the fingerprints of the other centres within bound; what is
// found is laid over each other. Groups are joined as stars too: to one centre,
// never in chains. It gives for each print the link by which its centre was joined
// to another one, and whether there were too many pictures to look.
func joinCrops(prints []print, details []*listing.Detail, centre []int32, size []int, bound int) (joined map[int32]link, left bool) {
	var centres []int32
	for p, c := range centre {
		if int32(p) == c && details[p] != nil {
			centres = append(centres, c)
		}
	}
	if len(centres) < 2 {
		return nil, false
	}
	if len(centres) > MaxCropped {
		return nil, true
	}
	links := confirm(candidates(prints, details, centres, bound), details)
	next := map[int32][]link{}
	for _, l := range links {
		next[l.from] = append(next[l.from], l)
		l.from, l.to = l.to, l.from
		l.overlap.OfCentre, l.overlap.OfMember = l.overlap.OfMember, l.overlap.OfCentre
		next[l.from] = append(next[l.from], l)
	}
	slices.SortFunc(centres, func(a, b int32) int {
		return cmp.Or(cmp.Compare(len(next[b]), len(next[a])), cmp.Compare(size[b], size[a]), cmp.Compare(a, b))
	})
	joined = map[int32]link{}
	heads := map[int32]bool{}
	for _, c := range centres {
		if _, done := joined[c]; done || len(next[c]) == 0 {
			continue
		}
		for _, l := range next[c] {
			if _, done := joined[l.to]; !done && !heads[l.to] {
				joined[l.to] = l
				heads[c] = true
			}
		}
	}
	return joined, false
}

// candidates lists the pairs of which one has a crop near the other, in order.
func candidates(prints []print, details []*listing.Detail, centres []int32, bound int) []link {
	list := make([]print, len(centres))
	for i, c := range centres {
		list[i] = prints[c]
	}
	s := newSearcher(list, bound)
	parts := make([][]link, runtime.GOMAXPROCS(0))
	var wait sync.WaitGroup
	for w := range parts {
		wait.Go(func() {
			for i := len(centres) * w / len(parts); i < len(centres)*(w+1)/len(parts); i++ {
				for _, crop := range details[centres[i]].Crops {
					s.near(crop, func(j int32) {
						if int(j) == i {
							return
						}
						mirrored := bits.OnesCount64(crop^list[j].mirror) < bits.OnesCount64(crop^list[j].print)
						parts[w] = append(parts[w], link{from: min(centres[i], centres[j]), to: max(centres[i], centres[j]), mirrored: mirrored})
					})
				}
			}
		})
	}
	wait.Wait()
	all := slices.Concat(parts...)
	slices.SortFunc(all, func(a, b link) int {
		return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to), cmp.Compare(b2i(a.mirrored), b2i(b.mirrored)))
	})
	return slices.Compact(all)
}

// confirm lays the pictures of each pair over each other and keeps those that
// are copies, the better way round of two.
func confirm(pairs []link, details []*listing.Detail) (kept []link) {
	found := make([]bool, len(pairs))
	workers := runtime.GOMAXPROCS(0)
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			var last int32 = -1
			var own *plane
			for i := len(pairs) * w / workers; i < len(pairs)*(w+1)/workers; i++ {
				p := &pairs[i]
				if p.from != last {
					last, own = p.from, newPlane(details[p.from], false)
				}
				p.overlap, found[i] = align(own, newPlane(details[p.to], p.mirrored), LeastPlain, LeastEvened)
			}
		})
	}
	wait.Wait()
	for i, p := range pairs {
		if !found[i] {
			continue
		}
		if n := len(kept) - 1; n >= 0 && kept[n].from == p.from && kept[n].to == p.to {
			if p.overlap.Score > kept[n].overlap.Score {
				kept[n] = p
			}
			continue
		}
		kept = append(kept, p)
	}
	return kept
}

// Like tells whether two pictures would stand in one group if there were no
// others. Of m, Distance, Mirrored and Overlap are set, a being the centre.
func Like(a, b *Photo, bound int) (m Member, ok bool) {
	if !a.Printed || !b.Printed {
		return m, false
	}
	prints := []print{{a.Fingerprint, a.Mirror}, {b.Fingerprint, b.Mirror}}
	m.Distance, m.Mirrored = distance(prints[0], prints[1])
	own := view{detail: a.Detail}
	if m.Distance <= bound && (m.Distance <= SureBits || own.like(b.Detail, m.Mirrored)) {
		return m, true
	}
	if a.Detail == nil || b.Detail == nil {
		return m, false
	}
	var near [2]bool // straight, mirrored
	for i, d := range []*listing.Detail{a.Detail, b.Detail} {
		other := prints[1-i]
		for _, crop := range d.Crops {
			near[0] = near[0] || bits.OnesCount64(crop^other.print) <= bound
			near[1] = near[1] || bits.OnesCount64(crop^other.mirror) <= bound
		}
	}
	for i, mirrored := range []bool{false, true} {
		if !near[i] {
			continue
		}
		o, fits := align(newPlane(a.Detail, false), newPlane(b.Detail, mirrored), LeastPlain, LeastEvened)
		if fits && (m.Overlap == nil || o.Score > m.Overlap.Score) {
			m.Mirrored, m.Overlap = mirrored, &o
		}
	}
	return m, m.Overlap != nil
}
