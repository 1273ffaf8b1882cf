package sellers

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Pairs drawn from two classes whose rates are known: what Winkler's method
// estimates is what they were drawn with.
func TestClassesAreFound(t *testing.T) {
	const pairs, share = 200_000, 0.004
	one := [families]float64{.2, .3, .6, .25, .5, .6}            // chance of any link of the family
	other := [families]float64{1e-4, .004, .01, .001, .003, .03} // among strangers
	r := rand.New(rand.NewPCG(1, 2))
	counts := map[pattern]float64{}
	for range pairs {
		rates := &other
		if r.Float64() < share {
			rates = &one
		}
		var p pattern
		for f := range p {
			if r.Float64() < rates[f] {
				p[f] = 1 + uint8(r.IntN(3))
			}
		}
		counts[p]++
	}
	m := fit(counts, 1./600)
	assert.InDelta(t, share, m.share, .15*share)
	for f := range families {
		assert.InDelta(t, 1-one[f], m.one[f][0], .08, f)
		assert.InDelta(t, 1-other[f], m.other[f][0], .002, f)
	}
}

func TestLevels(t *testing.T) {
	assert.Equal(t, pattern{0, 1, 2, 3, 4, 5}, patternOf(&sums{0, .1, 3.5, 6, 9, 40}))
}

// A market too small to tell keeps the usual bar.
func TestBarOfASmallMarket(t *testing.T) {
	assert.Equal(t, Bar{Strong: 10}, market(4, value(Phone, "+491", "abcd")).Bar())
}
