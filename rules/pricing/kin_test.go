package pricing

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every expectation follows from the thresholds by hand.
func TestKin(t *testing.T) {
	base := []int64{31237, 48812, 20771, 61043, 75533, 40127}
	var offers []Offer
	sell := func(seller string, price func(i int, p int64) int64) {
		for i, p := range base {
			if minor := price(i, p); minor > 0 {
				offers = append(offers, Offer{Listing: len(offers), Seller: seller, Market: fmt.Sprint("m", i), Minor: minor})
			}
		}
	}
	sell("a", func(_ int, p int64) int64 { return p })
	sell("b", func(i int, p int64) int64 { return p * int64(90+3*i) / 100 })
	sell("c", func(i int, p int64) int64 { // three of four equal
		if i > 3 {
			return 0
		}
		if i == 3 {
			return p + 2000
		}
		return p
	})
	sell("d", func(_ int, p int64) int64 { return p * 97 / 100 })
	sell("e", func(i int, p int64) int64 { return p*97/100 + int64(i%2)*3000 }) // half of them
	got := BuildKin(offers)
	require.Len(t, got, 2)
	assert.Equal(t, Kin{A: "a", B: "c", Ratio: 1, Parts: 3, Of: 4, Listings: [][2]int{{0, 12}, {1, 13}, {2, 14}}}, got[0])
	assert.Equal(t, "a d 6 6", fmt.Sprint(got[1].A, " ", got[1].B, " ", got[1].Parts, " ", got[1].Of))
	assert.InDelta(t, .97, got[1].Ratio, .0001)

	// A price list that nine sellers use says nothing of any two.
	offers = nil
	for s := range 9 {
		sell(fmt.Sprint("s", s), func(_ int, p int64) int64 { return p })
	}
	assert.Empty(t, BuildKin(offers))
	assert.Empty(t, BuildKin(nil))
}
