package workbook

import (
	"strings"

	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// look names one appearance of a cell.
type look int

const (
	plain look = iota
	wrapped
	ident // numbers that are names: always text
	whole
	decimal1
	decimal3
	money
	share
	strong
	title
	note
	head
	section
	entry // for the reader to fill in
	link
	suspected
	copySold
	incomplete
	silent
	looks
)

// Colours are few and keep their order of lightness in grey.
const (
	ink     = "1F2A30"
	faint   = "5B6770"
	line    = "D5DADD"
	bar     = "8FB3C4"
	headBg  = "DCE4E8"
	warmBg  = "F3DCBB"
	coolBg  = "DDE6EE"
	inputBg = "FBFAF2"
	linkInk = "1F5673"
)

// styles holds the style number of each look, and of the same look with the
// mark that keeps retyped text a text.
type styles struct {
	of, quoted [looks]int
}

func newStyles(f *excelize.File, currency string) (*styles, error) {
	amount := "#,##0"
	if digits, ok := listing.MinorUnits(currency); !ok || digits > 0 {
		amount += "." + strings.Repeat("0", max(2, digits))
	}
	border := []excelize.Border{{Type: "bottom", Color: line, Style: 1}}
	top := func(wrap bool) *excelize.Alignment { return &excelize.Alignment{Vertical: "top", WrapText: wrap} }
	font := func(color string, bold bool) *excelize.Font {
		return &excelize.Font{Size: 10, Family: "Calibri", Color: color, Bold: bold}
	}
	fill := func(color string) excelize.Fill {
		return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{color}}
	}
	number := func(format string) *excelize.Style {
		return &excelize.Style{Font: font(ink, false), Border: border, Alignment: top(false), CustomNumFmt: &format}
	}
	defs := [looks]*excelize.Style{
		plain:      {Font: font(ink, false), Border: border, Alignment: top(false)},
		wrapped:    {Font: font(ink, false), Border: border, Alignment: top(true)},
		ident:      {Font: font(ink, false), Border: border, Alignment: top(true), NumFmt: 49},
		whole:      number("#,##0"),
		decimal1:   number("0.0"),
		decimal3:   number("0.000"),
		money:      number(amount),
		share:      number("0 %"),
		strong:     {Font: font(ink, true), Border: border, Alignment: top(true)},
		title:      {Font: &excelize.Font{Size: 15, Family: "Calibri", Color: ink, Bold: true}, Alignment: &excelize.Alignment{Vertical: "center"}},
		note:       {Font: font(faint, false), Alignment: &excelize.Alignment{Vertical: "top"}},
		head:       {Font: font(ink, true), Fill: fill(headBg), Border: []excelize.Border{{Type: "bottom", Color: faint, Style: 2}}, Alignment: &excelize.Alignment{Vertical: "center", WrapText: true}},
		section:    {Font: &excelize.Font{Size: 12, Family: "Calibri", Color: ink, Bold: true}, Border: []excelize.Border{{Type: "bottom", Color: faint, Style: 2}}, Alignment: &excelize.Alignment{Vertical: "bottom"}},
		entry:      {Font: font(ink, false), Fill: fill(inputBg), Border: border, Alignment: top(true)},
		link:       {Font: &excelize.Font{Size: 10, Family: "Calibri", Color: linkInk, Underline: "single"}, Border: border, Alignment: top(true)},
		suspected:  {Font: font(ink, true), Fill: fill(warmBg), Border: border, Alignment: top(true)},
		copySold:   {Font: font(ink, false), Fill: fill(coolBg), Border: border, Alignment: top(true)},
		incomplete: {Font: &excelize.Font{Size: 10, Family: "Calibri", Color: ink, Italic: true}, Border: border, Alignment: top(true)},
		silent:     {Font: font(faint, false), Border: border, Alignment: top(true)},
	}
	var s styles
	for i, def := range defs {
		id, err := f.NewStyle(def)
		if err != nil {
			return nil, err
		}
		s.of[i] = id
	}
	// The library has no option for the mark; the style table itself does.
	quote := true
	xfs := f.Styles.CellXfs
	for i, id := range s.of {
		xf := xfs.Xf[id]
		xf.QuotePrefix = &quote
		xfs.Xf = append(xfs.Xf, xf)
		s.quoted[i] = len(xfs.Xf) - 1
	}
	xfs.Count = len(xfs.Xf)
	return &s, nil
}

// outcomeLooks tell the outcomes apart by sign, weight and shade.
var outcomeLooks = map[string]struct {
	look look
	sign string
}{
	rules.DeceptionSuspected: {suspected, "▲"},
	rules.CopyOpenlySold:     {copySold, "◇"},
	rules.TooIncomplete:      {incomplete, "…"},
	rules.NothingFound:       {silent, "–"},
}
