package pricing

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestIsOdd(t *testing.T) {
	for minor, want := range map[int64]bool{31240: true, 31237: true, 31200: false, 31299: false, 31295: false, 31250: false, 0: false, -31240: false} {
		assert.Equal(t, want, IsOdd(minor), minor)
	}
}

// C(30, 3) = 4060 and C(30, 4) = 27405, by any table of binomials.
func TestSharers(t *testing.T) {
	assert.Equal(t, 3, sharers(30, 300))   // 4060 / 90,000 = 0.045
	assert.Equal(t, 4, sharers(30, 280))   // 4060 / 78,400 = 0.052
	assert.Equal(t, 4, sharers(30, 82))    // 27405 / 551,368 = 0.0497
	assert.Equal(t, 5, sharers(30, 81))    // 27405 / 531,441 = 0.0516
	assert.Equal(t, 4, sharers(3, 2))      // nothing proves anything
	assert.Equal(t, 3, sharers(3, 5))      // 1 / 25 = 0.04
	assert.Equal(t, 1001, sharers(1e3, 1)) // all prices equal
}

func TestOdd(t *testing.T) {
	var offers []Offer
	add := func(seller string, minor int64) {
		offers = append(offers, Offer{Listing: len(offers), Seller: seller, Market: "m", Minor: minor})
	}
	for i := range 20 {
		add(fmt.Sprint("s", i), 30000+int64(i)*1013)
	}
	add("x", 27737)
	add("y", 27737)
	assert.Nil(t, BuildOdd(offers).Of(20), "two may meet by chance")
	add("y", 27737)
	assert.Nil(t, BuildOdd(offers).Of(20), "one seller counts once")
	add("z", 27737)
	s := BuildOdd(offers).Of(20)
	if assert.NotNil(t, s) {
		assert.Equal(t, 3, s.Sellers)
		assert.Equal(t, []int{20, 21, 23}, s.Listings)
	}
}

// Prices drawn at random seldom meet: at most a few of 200 markets.
func TestOddByChance(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	hits := 0
	for m := range 200 {
		var offers []Offer
		for i := range 60 {
			offers = append(offers, Offer{Listing: i, Seller: fmt.Sprint(i), Market: fmt.Sprint(m), Minor: 40000 + r.Int64N(30000)})
		}
		x := BuildOdd(offers)
		for i := range offers {
			if x.Of(i) != nil {
				hits++
				break
			}
		}
	}
	assert.LessOrEqual(t, hits, 10)
}

func TestUniform(t *testing.T) {
	ratios := func(makers int, values ...float64) (list []Ratio) {
		for i, v := range values {
			list = append(list, Ratio{Listing: i, Seller: "s", Maker: fmt.Sprint(i % makers), Part: fmt.Sprint(i), Value: v})
		}
		return list
	}
	for _, c := range []struct {
		name string
		list []Ratio
		want bool
	}{
		{"five parts of two makers", ratios(2, 0.6, 0.601, 0.6, 0.599, 0.6), true},
		{"four parts", ratios(2, 0.6, 0.601, 0.6, 0.599), false},
		{"one maker", ratios(1, 0.6, 0.601, 0.6, 0.599, 0.6), false},
		{"a dealer's discount", ratios(2, 0.75, 0.75, 0.75, 0.75, 0.75), false},
		{"prices of the market", ratios(2, 0.5, 0.55, 0.6, 0.65, 0.7), false},
		{"one exception", ratios(2, 0.6, 0.6, 0.6, 0.6, 0.6, 0.9), true},
		{"two exceptions", ratios(2, 0.6, 0.6, 0.6, 0.6, 0.6, 0.9, 0.8), false},
	} {
		_, ok := BuildUniform(c.list, UniformLimits{Parts: 5, Makers: 2, Ratio: .7, Within: .01, Share: .8}).Of("s")
		assert.Equal(t, c.want, ok, c.name)
	}
}

func TestLow(t *testing.T) {
	ratios := func(values ...float64) (list []Ratio) {
		for i, v := range values {
			list = append(list, Ratio{Listing: i, Seller: "s", Part: fmt.Sprint(i), Value: v})
		}
		return list
	}
	for _, c := range []struct {
		name string
		list []Ratio
		want bool
	}{
		{"four cheap parts", ratios(0.5, 0.7, 0.6, 0.75), true},
		{"three parts", ratios(0.5, 0.7, 0.6), false},
		{"one dear part of four", ratios(0.5, 0.7, 0.6, 0.95), true},
		{"two dear parts of five", ratios(0.5, 0.7, 0.6, 0.95, 0.9), false},
		{"a discounter", ratios(0.72, 0.74, 0.75, 0.73), false},
		{"one part offered four times", []Ratio{{0, "s", "", "p", .5}, {1, "s", "", "p", .5}, {2, "s", "", "p", .5}, {3, "s", "", "p", .5}}, false},
	} {
		_, ok := BuildLow(c.list).Of("s")
		assert.Equal(t, c.want, ok, c.name)
	}
	c, _ := BuildLow(ratios(0.5, 0.7, 0.6, 0.95)).Of("s")
	assert.Equal(t, Cheap{Ratio: 0.6, Parts: 3, Of: 4, Listings: []int{0, 1, 2}}, c)
}
