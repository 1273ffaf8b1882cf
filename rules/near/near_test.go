package near

import (
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// crowd draws fingerprints of which many are near others, with chunks that are all
// ones or zeros among them.
func crowd(n int) []uint64 {
	r := rand.New(rand.NewPCG(1, 2))
	list := make([]uint64, n)
	for i := range list {
		f := r.Uint64()
		switch {
		case i%3 == 2:
			f = list[i-1]
			for range r.IntN(18) {
				f ^= 1 << r.IntN(64)
			}
		case i%12 == 0:
			f |= 0xffff << (16 * r.IntN(4))
		case i%12 == 1:
			f &^= 0xffff << (16 * r.IntN(4))
		}
		list[i] = f
	}
	return list
}

// Near gives what comparing with each one gives, in small and large sets.
func TestNearMissesNothing(t *testing.T) {
	all := crowd(3000)
	for _, n := range []int{0, 1, 100, 3000} {
		for bound := range MaxBound + 2 {
			s := New(all[:n], bound)
			for _, f := range all[:300] {
				var want, got []int32
				for i, o := range all[:n] {
					if bits.OnesCount64(f^o) <= min(bound, MaxBound) {
						want = append(want, int32(i))
					}
				}
				for i := range s.Near(f) {
					got = append(got, i)
				}
				slices.Sort(got)
				require.Equal(t, want, slices.Compact(got), "%d, bound %d", n, bound)
				require.Equal(t, len(want) > 0, s.Any(f))
			}
		}
	}
}

// Pairs and Meet find each pair within the bound, at most once for each of the four
// chunks, and no other, whatever the parts in which they look.
func TestPairsAndMeetings(t *testing.T) {
	all := crowd(600)
	type pair struct{ i, j int32 }
	for _, bound := range []int{2, 3, 8, 11, MaxBound} {
		s, other := New(all, bound), New(all[:300], bound)
		within := func(p pair) bool { return bits.OnesCount64(all[p.i]^all[p.j]) <= bound }
		var first [2]map[pair]int
		for _, parts := range []int{1, 3} {
			pairs, met := map[pair]int{}, map[pair]int{}
			for part := range parts {
				s.Pairs(part, parts, func(i, j int32) { pairs[pair{min(i, j), max(i, j)}]++ })
				s.Meet(other, part, parts, func(i, j int32) { met[pair{i, j}]++ })
			}
			for i := range all {
				for j := range all {
					p := pair{int32(i), int32(j)}
					for n, found := range []bool{i < j && within(p), j < 300 && within(p)} {
						times := []map[pair]int{pairs, met}[n][p]
						if found != (times > 0) || times > 4 {
							require.Failf(t, "not exact", "bound %d, %v: within %t, found %d times", bound, p, found, times)
						}
					}
				}
			}
			if parts == 1 {
				first = [2]map[pair]int{pairs, met}
			}
			assert.Equal(t, first, [2]map[pair]int{pairs, met}, "in parts")
		}
	}
}
