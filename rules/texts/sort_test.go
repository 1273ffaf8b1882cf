package texts

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Against a count in a map.
func TestFindBoilerplate(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	var b builder
	users := map[uint32]map[int]bool{}
	for seller := range 40 {
		for range 1 + rng.IntN(4) {
			b.docs = append(b.docs, Doc{Seller: fmt.Sprint(seller)})
			b.seller = append(b.seller, int32(seller+1))
			for nth := range b.sets {
				var set []uint32
				for range rng.IntN(12) {
					v := uint32(rng.IntN(90)) * 0x9e3779b9
					set = append(set, v)
					if users[v] == nil {
						users[v] = map[int]bool{}
					}
					users[v][seller] = true
				}
				b.sets[nth] = append(b.sets[nth], set)
			}
		}
	}
	want := map[uint32]bool{}
	for v, by := range users {
		if len(by) > MinBoilerplate {
			want[v] = true
		}
	}
	assert.Greater(t, len(want), 10)
	assert.Less(t, len(want), 80)
	assert.Equal(t, want, b.findBoilerplate().all)
}

// Against the standard library's stable sort.
func TestSortByKey(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	list := make([]uint64, 5000)
	for i := range list {
		list[i] = uint64(rng.Uint32N(700)*0x01010101)<<32 | uint64(rng.Uint32())
	}
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b uint64) int { return int(a>>32) - int(b>>32) })
	sortByKey(list, make([]uint64, len(list)))
	assert.Equal(t, sorted, list)
}
