package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
	"counterfoil/rules/market"
)

func priced(median int64, minor ...int64) *market.Market {
	m := &market.Market{}
	m.Median = listing.Amount{Minor: median, Currency: "EUR"}
	for i, p := range minor {
		m.Included = append(m.Included, market.Entry{Listing: i, Price: listing.Amount{Minor: p, Currency: "EUR"}})
	}
	return m
}

// A step is the sixth root of two, 1.122: half the median stands six steps to
// the left, 190 % rounds to the step of 200 (5.56), 106 rounds to the step of 112
// (log2(1.06)*6 = 0.504) and 105 to that of 100 (0.422).
func TestPlotPlacesPrices(t *testing.T) {
	b := &book{doubted: []bool{true, false, false, false, true, false, false}}
	got := b.tallied(priced(10000, 5000, 10000, 10500, 10600, 19000, 1, 99999999))
	want := make([]any, 2*plotSteps)
	for i := range want {
		want[i] = 0
	}
	want[2*6] = -1           // half, under suspicion
	want[2*12+1] = 2         // the median, and 105 %
	want[2*13+1] = 1         // 106 %
	want[2*18] = -1          // twice, under suspicion
	want[1], want[37] = 1, 1 // beyond the scale
	assert.Equal(t, want, got)

	heads := tallyColumns()
	assert.Equal(t, []string{"25 % ▲", "25 %", "50 % ▲", "100 %", "200 %"},
		[]string{heads[0].head, heads[1].head, heads[12].head, heads[25].head, heads[37].head})
	assert.Nil(t, b.tallied(priced(100, 1, 2)), "two prices are no market")
	assert.Nil(t, b.tallied(priced(0, 10, 20, 30)), "no median, no scale")
}
