package workbook

import (
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
	counted // a number that stands before a text
	decimal1
	decimal3
	money  // two decimals
	money0 // none, as the yen
	money3 // three, as the dinar of Kuwait
	share
	strong
	title
	note
	head
	headNumber
	section
	entry // for the reader to fill in
	link
	suspected
	copySold
	incomplete
	silent
	drawnCount // a count that is drawn; none for 0, no sign
	looks
)

// Colours are few and keep their order of lightness in grey.
const (
	ink     = "1F2A30"
	faint   = "5B6770"
	line    = "D5DADD"
	bar     = "B3CDD9"
	upBar   = "7FA3B5" // of a plot
	downBar = "8A4B12"
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

func newStyles(f *excelize.File) (*styles, error) {
	rule := func(color string, style int) []excelize.Border {
		return []excelize.Border{{Type: "bottom", Color: color, Style: style}}
	}
	font := func(color string, size float64, bold bool) *excelize.Font {
		return &excelize.Font{Family: "Calibri", Size: size, Color: color, Bold: bold}
	}
	fill := func(color string) excelize.Fill {
		return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{color}}
	}
	words := func(wrap bool) *excelize.Alignment {
		return &excelize.Alignment{Vertical: "top", Horizontal: "left", Indent: 1, WrapText: wrap}
	}
	border, body, bold := rule(line, 1), font(ink, 10, false), font(ink, 10, true)
	number := func(format string) *excelize.Style {
		return &excelize.Style{Font: body, Border: border, CustomNumFmt: &format,
			Alignment: &excelize.Alignment{Vertical: "top", Horizontal: "right"}}
	}
	heading := func(side string, indent int) *excelize.Style {
		return &excelize.Style{Font: bold, Fill: fill(headBg), Border: rule(faint, 2),
			Alignment: &excelize.Alignment{Vertical: "center", Horizontal: side, Indent: indent, WrapText: true}}
	}
	underlined, slanted := font(linkInk, 10, false), font(ink, 10, false)
	underlined.Underline, slanted.Italic = "single", true
	defs := [looks]*excelize.Style{
		plain:      {Font: body, Border: border, Alignment: words(false)},
		wrapped:    {Font: body, Border: border, Alignment: words(true)},
		ident:      {Font: body, Border: border, Alignment: words(true), NumFmt: 49},
		whole:      number("#,##0"),
		counted:    {Font: body, Border: border, Alignment: words(false), NumFmt: 3},
		decimal1:   number("0.0"),
		decimal3:   number("0.000"),
		money:      number("#,##0.00"),
		money0:     number("#,##0"),
		money3:     number("#,##0.000"),
		share:      number("0 %"),
		strong:     {Font: bold, Border: border, Alignment: words(true)},
		title:      {Font: font(ink, 15, true), Alignment: &excelize.Alignment{Vertical: "center"}},
		note:       {Font: font(faint, 10, false), Alignment: &excelize.Alignment{Vertical: "top"}},
		head:       heading("left", 1),
		headNumber: heading("right", 0),
		section:    {Font: font(ink, 12, true), Border: rule(faint, 2), Alignment: &excelize.Alignment{Vertical: "bottom"}},
		entry:      {Font: body, Fill: fill(inputBg), Border: border, Alignment: words(true)},
		link:       {Font: underlined, Border: border, Alignment: words(true)},
		suspected:  {Font: bold, Fill: fill(warmBg), Border: border, Alignment: words(true)},
		copySold:   {Font: body, Fill: fill(coolBg), Border: border, Alignment: words(true)},
		incomplete: {Font: slanted, Border: border, Alignment: words(true)},
		drawnCount: number("0;0;"),
		silent:     {Font: font(faint, 10, false), Border: border, Alignment: words(true)},
	}
	var s styles
	for i, def := range defs {
		id, err := f.NewStyle(def)
		if err != nil {
			return nil, err
		}
		s.of[i] = id
	}
	copy(s.quoted[:], Quoted(f, s.of[:]))
	return &s, nil
}

// amount is a sum of money as a number with its currency's decimals; nothing
// when it is not above zero.
func amount(a listing.Amount) any {
	if a.Minor <= 0 {
		return nil
	}
	switch digits, ok := listing.MinorUnits(a.Currency); {
	case ok && digits == 0:
		return as{money0, a.Float()}
	case digits > 2:
		return as{money3, a.Float()}
	}
	return a.Float()
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
