package compare

import (
	"cmp"
	"math"
	"strings"

	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/report/workbook"
)

// cellLook is one appearance of a cell.
type cellLook int

const (
	plain cellLook = iota
	wrapped
	whole
	money
	money0 // of currencies without decimals
	money3
	share
	strong
	title
	note
	head
	headNumber
	section
	warm // what stands out
	link
	cellLooks
)

const (
	lineHeight = 13.2  // points, of text at 10 points
	mostLines  = 10    // a row is not made higher than this
	cellLimit  = 4_000 // runes of a cell
	maxLinks   = 2_000 // links to captures on a sheet
)

// styles holds the style number of each look, and of the same look with the mark
// that keeps retyped text a text.
type styles struct{ of, quoted [cellLooks]int }

func newStyles(f *excelize.File) (*styles, error) {
	const ink, faint, line, headBg, warmBg, linkInk = "1F2A30", "5B6770", "D5DADD", "DCE4E8", "F3DCBB", "1F5673"
	font := func(color string, size float64, bold bool) *excelize.Font {
		return &excelize.Font{Family: "Calibri", Size: size, Color: color, Bold: bold}
	}
	fill := func(color string) excelize.Fill {
		return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{color}}
	}
	border := func(color string, style int) []excelize.Border {
		return []excelize.Border{{Type: "bottom", Color: color, Style: style}}
	}
	words := func(wrap bool) *excelize.Alignment {
		return &excelize.Alignment{Vertical: "top", Horizontal: "left", Indent: 1, WrapText: wrap}
	}
	rule, body := border(line, 1), font(ink, 10, false)
	number := func(format string) *excelize.Style {
		return &excelize.Style{Font: body, Border: rule, CustomNumFmt: &format, Alignment: &excelize.Alignment{Vertical: "top", Horizontal: "right"}}
	}
	underlined := font(linkInk, 10, false)
	underlined.Underline = "single"
	defs := [cellLooks]*excelize.Style{
		plain:   {Font: body, Border: rule, Alignment: words(false), NumFmt: 49},
		wrapped: {Font: body, Border: rule, Alignment: words(true), NumFmt: 49},
		whole:   number("#,##0"),
		money:   number("#,##0.00"),
		money0:  number("#,##0"),
		money3:  number("#,##0.000"),
		share:   number("+0.0 %;-0.0 %"),
		strong:  {Font: font(ink, 10, true), Border: rule, Alignment: words(true)},
		title:   {Font: font(ink, 15, true), Alignment: &excelize.Alignment{Vertical: "center"}},
		note:    {Font: font(faint, 10, false), Alignment: &excelize.Alignment{Vertical: "top"}},
		head: {Font: font(ink, 10, true), Fill: fill(headBg), Border: border(faint, 2),
			Alignment: &excelize.Alignment{Vertical: "center", Horizontal: "left", Indent: 1, WrapText: true}},
		headNumber: {Font: font(ink, 10, true), Fill: fill(headBg), Border: border(faint, 2),
			Alignment: &excelize.Alignment{Vertical: "center", Horizontal: "right", WrapText: true}},
		section: {Font: font(ink, 12, true), Border: border(faint, 2), Alignment: &excelize.Alignment{Vertical: "bottom"}},
		warm:    {Font: font(ink, 10, true), Fill: fill(warmBg), Border: rule, Alignment: words(true)},
		link:    {Font: underlined, Border: rule, Alignment: words(true)},
	}
	var s styles
	for i, def := range defs {
		id, err := f.NewStyle(def)
		if err != nil {
			return nil, err
		}
		s.of[i] = id
	}
	copy(s.quoted[:], workbook.Quoted(f, s.of[:]))
	return &s, nil
}

type column struct {
	head  string
	width float64 // characters
	look  cellLook
}

// as is a value with a look of its own.
type as struct {
	look  cellLook
	value any
}

// sheet is one streamed sheet.
type sheet struct {
	f      *excelize.File
	styles *styles
	name   string
	sw     *excelize.StreamWriter
	cols   []column
	row    int
	first  int // first row of data
	tall   int // columns that count for the height of a row
	links  []cellLink
	err    error
}

type cellLink struct {
	cell, target, kind string
}

// open starts a sheet. Columns without a heading make a sheet to read, in
// portrait; others a table with its headings in view, of which the columns up to
// printed go on paper.
func (b *book) open(name string, frozen, printed int, cols []column, notes ...string) *sheet {
	s := &sheet{f: b.f, styles: b.styles, name: name, cols: cols, tall: cmp.Or(printed, len(cols))}
	table := cols[0].head != ""
	s.setUpPage(b.headline, table)
	s.do(func() (err error) { s.sw, err = b.f.NewStreamWriter(name); return err })
	for i, c := range cols {
		s.do(func() error { return s.sw.SetColWidth(i+1, i+1, c.width) })
	}
	if !table {
		return s
	}
	top := len(notes) + 2
	corner, _ := excelize.CoordinatesToCellName(frozen+1, top+1)
	s.do(func() error {
		return s.sw.SetPanes(&excelize.Panes{Freeze: true, XSplit: frozen, YSplit: top, TopLeftCell: corner, ActivePane: "bottomRight",
			Selection: []excelize.Selection{{SQRef: corner, ActiveCell: corner, Pane: "bottomRight"}}})
	})
	s.put(24, as{title, name})
	for _, n := range notes {
		s.put(14, as{note, n})
	}
	heads := make([]any, len(cols))
	for i, c := range cols {
		heads[i] = as{headOf(c.look), c.head}
	}
	s.put(30, heads...)
	s.first = s.row + 1
	s.do(func() error {
		last, err := excelize.ColumnNumberToName(printed)
		if err != nil {
			return err
		}
		return b.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: name, RefersTo: "'" + name + "'!$A:$" + last})
	})
	s.do(func() error {
		return b.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: name, RefersTo: "'" + name + "'!$" + digits(top) + ":$" + digits(top)})
	})
	return s
}

// headOf puts a heading over its column's side.
func headOf(l cellLook) cellLook {
	if l >= whole && l <= share {
		return headNumber
	}
	return head
}

// amount is a sum of money as a number with its currency's decimals.
func amount(a listing.Amount) any {
	switch digits, ok := listing.MinorUnits(a.Currency); {
	case ok && digits == 0:
		return as{money0, a.Float()}
	case digits > 2:
		return as{money3, a.Float()}
	}
	return a.Float()
}

func (s *sheet) do(f func() error) {
	if s.err == nil {
		s.err = f()
	}
}

func (s *sheet) setUpPage(headline string, landscape bool) {
	yes, wide, tall, a4, turned := true, 1, 0, 9, "portrait"
	if landscape {
		turned = "landscape"
	}
	side, text := 0.4, 0.65 // inches
	s.do(func() error { return s.f.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: &yes}) })
	s.do(func() error {
		return s.f.SetPageLayout(s.name, &excelize.PageLayoutOptions{Size: &a4, Orientation: &turned, FitToWidth: &wide, FitToHeight: &tall})
	})
	s.do(func() error {
		return s.f.SetPageMargins(s.name, &excelize.PageLayoutMarginsOptions{Left: &side, Right: &side, Top: &text, Bottom: &text})
	})
	s.do(func() error {
		return s.f.SetHeaderFooter(s.name, &excelize.HeaderFooterOptions{OddHeader: "&L&8" + headline + "&R&8&A",
			OddFooter: "&L&8Leads, not findings: a person decides.&R&8Page &P of &N"})
	})
	if !landscape {
		no := false
		s.do(func() error { return s.f.SetSheetView(s.name, 0, &excelize.ViewOptions{ShowGridLines: &no}) })
	}
}

// add writes a row as high as its text needs.
func (s *sheet) add(values ...any) {
	most := 1
	for i, v := range values[:min(len(values), s.tall)] {
		look := s.cols[i].look
		if a, ok := v.(as); ok {
			look, v = a.look, a.value
		}
		if text, ok := v.(string); ok && look != plain {
			most = max(most, linesOf(text, s.cols[i].width))
		}
	}
	s.put(float64(min(most, mostLines))*lineHeight+2, values...)
}

func (s *sheet) put(height float64, values ...any) {
	if s.err != nil {
		return
	}
	s.row++
	cells := make([]any, len(values))
	for i, v := range values {
		look := s.cols[i].look
		if a, ok := v.(as); ok {
			look, v = a.look, a.value
		}
		c := excelize.Cell{StyleID: s.styles.of[look]}
		if text, ok := v.(string); !ok {
			c.Value = v
		} else if text != "" {
			if workbook.StartsFormula(text) {
				c.StyleID = s.styles.quoted[look]
			}
			c.Value = workbook.CellValue(listing.Shorten(report.Visible(text), cellLimit))
		}
		cells[i] = c
	}
	s.err = s.sw.SetRow("A"+digits(s.row), cells, excelize.RowOpts{Height: height})
}

// linkTo makes a cell of the row last written lead somewhere. kind is "External"
// for a file, "Location" for a place in the workbook.
func (s *sheet) linkTo(col int, target, kind string) {
	if target == "" || len(s.links) >= maxLinks {
		return
	}
	cell, _ := excelize.CoordinatesToCellName(col, s.row)
	s.links = append(s.links, cellLink{cell, target, kind})
}

// close sets what must be set before the sheet is flushed, and flushes it.
func (s *sheet) close() error {
	if s.first > 0 && s.row >= s.first {
		last, _ := excelize.ColumnNumberToName(len(s.cols))
		s.do(func() error { return s.f.AutoFilter(s.name, "A"+digits(s.first-1)+":"+last+digits(s.row), nil) })
	}
	for _, l := range s.links {
		s.do(func() error { return s.f.SetCellHyperLink(s.name, l.cell, l.target, l.kind) })
	}
	s.do(func() error { return s.sw.Flush() })
	return s.err
}

// linesOf estimates the lines of a wrapped text.
func linesOf(text string, width float64) int {
	lines := 0
	for part := range strings.SplitSeq(text[:min(len(text), 2000)], "\n") {
		lines += max(1, int(math.Ceil(float64(report.Width(part))/(width*1.15))))
	}
	return lines
}
