package workbook

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
	"counterfoil/rules/market"
)

func priced(reference int64, minor ...int64) *market.Market {
	m := &market.Market{}
	for _, p := range minor {
		m.Included = append(m.Included, market.Entry{Price: listing.Amount{Minor: p, Currency: "EUR"}})
	}
	if len(minor) > 0 {
		m.Median = listing.Amount{Minor: minor[len(minor)/2], Currency: "EUR"}
	}
	if reference > 0 {
		m.Reference = &market.ReferenceUse{InCurrency: listing.Amount{Minor: reference, Currency: "EUR"}}
	}
	return m
}

// From 100 to 1000 there are 30 cells, each a factor of 10^(1/30): 200 stands at
// 30 log10(2) = 9.03, cell 9, 500 at 20.97, cell 20.
func TestPlotPlacesPrices(t *testing.T) {
	assert.Equal(t, "100 1········1··········2········1 1000\n"+strings.Repeat(" ", 4+20)+"M", plot(priced(0, 10000, 20000, 50000, 50010, 100000)))
	assert.Equal(t, "100 1········1··········1········· 1000\n"+strings.Repeat(" ", 4+9)+"M"+strings.Repeat(" ", 19)+"R", plot(priced(100000, 10000, 20000, 50000)))
}

func TestPlotCounts(t *testing.T) {
	same := make([]int64, 12)
	for i := range same {
		same[i] = 5000
	}
	assert.Equal(t, "50.00 ···············#·············· 50.00\n"+strings.Repeat(" ", 6+15)+"*", plot(priced(5000, same...)), "all equal, and the reference too")
	assert.Empty(t, plot(priced(100, 1, 2)), "two prices are no market")
	assert.Empty(t, plot(priced(0, 0, 10, 20)), "a price of 0 has no logarithm")
}
