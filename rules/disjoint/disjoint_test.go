package disjoint

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The example of Cormen, Leiserson, Rivest and Stein, Introduction to Algorithms,
// section "Disjoint-set operations", from memory: ten vertices a to j, joined by
// seven edges, fall into four sets.
func TestConnectedComponents(t *testing.T) {
	s := New[int](0)
	for range "abcdefghij" {
		s.Add()
	}
	joined := 0
	for _, edge := range []string{"bd", "eg", "ac", "hi", "ab", "ef", "bc"} {
		if s.Join(int(edge[0]-'a'), int(edge[1]-'a')) {
			joined++
		}
	}
	assert.Equal(t, 6, joined, "the edge bc joins what is joined already")
	of := map[int]string{}
	for v := range "abcdefghij" {
		of[s.Of(v)] += string(rune('a' + v))
	}
	assert.Equal(t, map[int]string{0: "abcd", 4: "efg", 7: "hi", 9: "j"}, of)
}

// Being in one set is the smallest relation that holds of the joined pairs and
// is transitive: Warshall 1962 makes it otherwise. Each set goes by its least
// number.
func TestSetsAreTheClosure(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		n := 1 + r.IntN(12)
		s := New[int32](n)
		reach := make([][]bool, n)
		for i := range reach {
			reach[i] = make([]bool, n)
			reach[i][i] = true
		}
		for range r.IntN(n) {
			i, j := r.IntN(n), r.IntN(n)
			s.Join(int32(i), int32(j))
			reach[i][j], reach[j][i] = true, true
		}
		for k := range n {
			for i := range n {
				for j := range n {
					reach[i][j] = reach[i][j] || reach[i][k] && reach[k][j]
				}
			}
		}
		for i := range n {
			least := 0
			for !reach[i][least] {
				least++
			}
			assert.EqualValues(t, least, s.Of(int32(i)))
		}
	}
}
