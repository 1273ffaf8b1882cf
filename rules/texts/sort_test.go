package texts

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Against the standard library's stable sort and a count in a map.
func TestSortAndTally(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	var tally shingleTally
	want := map[uint32]map[int]bool{}
	for seller := range 40 {
		for range rng.IntN(60) {
			v := uint32(rng.IntN(30)) * 0x9e3779b9
			tally.seen = append(tally.seen, uint64(v)<<32|uint64(seller))
			if want[v] == nil {
				want[v] = map[int]bool{}
			}
			want[v][seller] = true
		}
		if rng.IntN(5) == 0 {
			tally.count()
		}
	}
	tally.count()
	assert.Len(t, tally.counts, len(want))
	assert.True(t, slices.IsSorted(tally.counts))
	for _, c := range tally.counts {
		assert.Len(t, want[uint32(c>>32)], int(uint32(c)))
	}

	list := make([]uint64, 5000)
	for i := range list {
		list[i] = uint64(rng.Uint32N(700)*0x01010101)<<32 | uint64(rng.Uint32())
	}
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b uint64) int { return int(a>>32) - int(b>>32) })
	sortByKey(list, make([]uint64, len(list)))
	assert.Equal(t, sorted, list)
}
