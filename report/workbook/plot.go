package workbook

import (
	"encoding/xml"
	"fmt"
	"math"
	"strings"

	"github.com/xuri/excelize/v2"

	"counterfoil/rules"
	"counterfoil/rules/market"
)

// The prices of a market are drawn by a sparkline over cells of the same row:
// it stays right when the sheet is sorted or filtered, and programs that draw
// none still show the counts.
const (
	// plotSteps is the number of steps of the scale, stepsOctave of them to each
	// doubling; atMedian is the one of the median. From a quarter of it to twice.
	plotSteps   = 19
	atMedian    = 12
	stepsOctave = 6
	plotFrom    = 3  // prices
	plotHeight  = 26 // points
)

// tallyColumns are the columns of the counts: for each step the sellers under
// suspicion, as numbers below zero, and the others.
func tallyColumns() []column {
	var list []column
	for i := range plotSteps {
		at := rules.Percent(math.Exp2(float64(i-atMedian) / stepsOctave))
		list = append(list, column{at + " ▲", 6, drawnCount}, column{at, 6, drawnCount})
	}
	return list
}

// tallied counts the prices of a market by the step they stand at; nothing for
// fewer than three. Prices beyond the scale count at its ends.
func (b *book) tallied(m *market.Market) []any {
	median := m.Median.Float()
	if len(m.Included) < plotFrom || !(median > 0) {
		return nil
	}
	var counts [2 * plotSteps]int
	for _, e := range m.Included {
		at := 2 * stepOf(e.Price.Float()/median)
		if e.Listing >= 0 && e.Listing < len(b.doubted) && b.doubted[e.Listing] {
			counts[at]--
		} else {
			counts[at+1]++
		}
	}
	values := make([]any, len(counts))
	for i, n := range counts {
		values[i] = n
	}
	return values
}

func stepOf(ratio float64) int {
	if !(ratio > 0) {
		return 0
	}
	return int(min(max(math.Round(math.Log2(ratio)*stepsOctave)+atMedian, 0), plotSteps-1))
}

// addPlots draws the counts that stand from column first on into column col,
// for the rows of data up to last. Sparklines are an extension of the first
// edition of ISO/IEC 29500 ([MS-XLSX] 2.4, sparklineGroups); the library drops
// extensions of streamed sheets, so the archive writes this one.
func (b *book) addPlots(s *sheet, col, first, last int) {
	var lines strings.Builder
	for row := s.first; row <= last; row++ {
		from, _ := excelize.CoordinatesToCellName(first, row)
		to, _ := excelize.CoordinatesToCellName(first+2*plotSteps-1, row)
		at, _ := excelize.CoordinatesToCellName(col, row)
		lines.WriteString(`<x14:sparkline><xm:f>`)
		xml.EscapeText(&lines, fmt.Appendf(nil, "'%s'!%s:%s", s.name, from, to))
		fmt.Fprintf(&lines, `</xm:f><xm:sqref>%s</xm:sqref></x14:sparkline>`, at)
	}
	if lines.Len() == 0 {
		return
	}
	b.extend(s, "{05C60535-1F16-4fd2-B633-F4F36F0B64E0}", `<x14:sparklineGroups xmlns:xm="http://schemas.microsoft.com/office/excel/2006/main">`+
		`<x14:sparklineGroup type="column" displayEmptyCellsAs="gap" negative="1" displayXAxis="1" displayHidden="1">`+
		`<x14:colorSeries rgb="FF`+upBar+`"/><x14:colorNegative rgb="FF`+downBar+`"/><x14:colorAxis rgb="FF`+faint+`"/>`+
		`<x14:sparklines>`+lines.String()+`</x14:sparklines></x14:sparklineGroup></x14:sparklineGroups>`)
}
