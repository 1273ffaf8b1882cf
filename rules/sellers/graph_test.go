package sellers

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Against the definition: an edge is a bridge when its loss adds a component.
func TestBridgesByTheDefinition(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 4))
	count := func(n int, edges []edge, cut []bool) int {
		roots := map[int]bool{}
		for _, c := range components(n, edges, cut) {
			roots[c] = true
		}
		return len(roots)
	}
	found := 0
	for range 400 {
		n := 2 + rng.IntN(12)
		var edges []edge
		for range rng.IntN(2 * n) {
			if a, b := rng.IntN(n), rng.IntN(n); a != b {
				edges = append(edges, edge{a: a, b: b})
			}
		}
		var want []int
		for i := range edges {
			cut := make([]bool, len(edges))
			cut[i] = true
			if count(n, edges, cut) > count(n, edges, nil) {
				want = append(want, i)
			}
		}
		found += len(want)
		assert.Equal(t, want, bridges(n, edges))
	}
	assert.Positive(t, found)
}

func TestSplitBridges(t *testing.T) {
	triangle := func(at int) []edge { return []edge{{at, at + 1, 30}, {at + 1, at + 2, 30}, {at, at + 2, 30}} }
	edges := append(append(triangle(0), triangle(3)...), edge{2, 3, 12})
	assert.Equal(t, []bool{6: true}, splitBridges(6, edges, 20))
	edges[6].weight = 20 // as heavy as a bridge may have to be
	assert.Equal(t, make([]bool, 7), splitBridges(6, edges, 20))
	// A single account is not cut off, nor is a pair.
	assert.Equal(t, make([]bool, 4), splitBridges(4, append(triangle(0), edge{2, 3, 12}), 20))
	assert.Equal(t, make([]bool, 1), splitBridges(2, []edge{{0, 1, 12}}, 20))
	// A chain of four falls at its lightest pair.
	assert.Equal(t, []bool{false, true, false}, splitBridges(4, []edge{{0, 1, 15}, {1, 2, 11}, {2, 3, 12}}, 20))
}
