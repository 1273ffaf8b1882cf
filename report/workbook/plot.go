package workbook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules/market"
)

// A market's prices are drawn with characters in one cell: that opens in every
// program, prints, stays beside its row when the sheet is sorted, and says the
// exact count. The font has a fixed width.
const (
	plotCells = 30
	plotFrom  = 3 // prices
)

// plot draws the prices of a market on a logarithmic scale, from the least to
// the greatest of prices and reference. A digit counts the sellers of a cell, #
// stands for ten and more. Below stand M for the median and R for the reference,
// * for both in one cell. "" for fewer than three prices.
//
//	312 1·······27411··1 861
//	             M R
func plot(m *market.Market) string {
	if len(m.Included) < plotFrom {
		return ""
	}
	var prices []float64
	for _, e := range m.Included {
		prices = append(prices, e.Price.Float())
	}
	ends := slices.Clone(prices)
	reference := 0.0
	if m.Reference != nil {
		reference = m.Reference.InCurrency.Float()
		ends = append(ends, reference)
	}
	low, high := slices.Min(ends), slices.Max(ends)
	if !(low > 0) || math.IsInf(high, 0) {
		return ""
	}
	at := func(price float64) int {
		if high == low {
			return plotCells / 2
		}
		return min(int(math.Log(price/low)/math.Log(high/low)*plotCells), plotCells-1)
	}
	var counts [plotCells]int
	for _, p := range prices {
		counts[at(p)]++
	}
	from := shortPrice(low, m.Median)
	return from + " " + tallied(counts[:]) + " " + shortPrice(high, m.Median) + "\n" +
		strings.Repeat(" ", len(from)+1) + marks(at, m.Median.Float(), reference)
}

func tallied(counts []int) string {
	var b strings.Builder
	for _, n := range counts {
		switch {
		case n == 0:
			b.WriteRune('·')
		case n < 10:
			b.WriteByte('0' + byte(n))
		default:
			b.WriteByte('#')
		}
	}
	return b.String()
}

func marks(at func(float64) int, median, reference float64) string {
	line := []byte(strings.Repeat(" ", plotCells))
	if median > 0 {
		line[at(median)] = 'M'
	}
	if reference > 0 {
		if i := at(reference); line[i] == 'M' {
			line[i] = '*'
		} else {
			line[i] = 'R'
		}
	}
	return strings.TrimRight(string(line), " ")
}

// shortPrice prints the end of a scale with no more digits than help.
func shortPrice(price float64, like listing.Amount) string {
	if digits, _ := listing.MinorUnits(like.Currency); price < 100 && digits > 0 {
		return fmt.Sprintf("%.2f", price)
	}
	return fmt.Sprintf("%.0f", price)
}
