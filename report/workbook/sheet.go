package workbook

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"counterfoil/report"
)

const (
	lineHeight = 13.2 // points, of text at 10 points
	mostLines  = 12   // a row is not made higher than this
	// gridRows is the number of rows up to which empty cells are drawn too, so
	// that lines run through; beyond it speed matters more.
	gridRows = 5000
)

type column struct {
	head  string
	width float64 // characters
	look  look
}

// as is a value with a look of its own.
type as struct {
	look  look
	value any
}

// sheet is one streamed sheet. Opening and closing sheets must be done one
// after the other; rows of different sheets may be added at the same time, and
// while others are opened.
type sheet struct {
	book  *book
	name  string
	shell *excelize.StreamWriter // all but the rows
	feed  *feed
	cols  []column
	row   int // last row written
	first int // first row of data, 0 for a sheet without a table
	links []cellLink
	tall  int // columns that count for the height of a row
	lines int // a row is not made higher than this
	err   error
}

type cellLink struct {
	col, row     int
	target, kind string
}

type layout struct {
	frozen   int // columns that stay in view
	printed  int // columns on paper; 0 prints all
	portrait bool
	lines    int // a row is not made higher than this; 0 takes mostLines
}

// open starts a sheet whose columns and notes are known.
func (b *book) open(name string, lay layout, cols []column, notes ...string) *sheet {
	s := &sheet{book: b, name: name, cols: cols, tall: cmp.Or(lay.printed, len(cols)), lines: cmp.Or(lay.lines, mostLines)}
	top := 0
	if cols[0].head != "" {
		top = len(notes) + 2
	}
	s.shell = s.begin(b.f, lay, top)
	s.do(func() error {
		names := b.sheets[:1]
		if name != names[0] {
			names = []string{names[0], name}
		}
		f, err := newFile(names)
		if err == nil {
			s.feed = newFeed(f, s.begin(f, lay, top), partOf(len(names)-1), b.archive.begin(partOf(slices.Index(b.sheets, name))))
		}
		return err
	})
	if top == 0 {
		return s
	}
	s.alone(as{title, name}, 24)
	for _, n := range notes {
		s.alone(as{note, n}, 14)
	}
	heads := make([]any, len(cols))
	for i, c := range cols {
		heads[i] = as{headOf(c.look), c.head}
	}
	s.put(30, heads)
	s.first = s.row + 1
	s.do(func() error { return b.printTitles(name, top) })
	if lay.printed > 0 {
		s.do(func() error { return b.printArea(name, lay.printed) })
	}
	return s
}

// begin sets up a sheet of a workbook up to its first row. top is the last of the
// rows that stay in view, 0 for none.
func (s *sheet) begin(f *excelize.File, lay layout, top int) (sw *excelize.StreamWriter) {
	s.setUpPage(f, lay)
	s.do(func() (err error) {
		sw, err = f.NewStreamWriter(s.name)
		return err
	})
	for i, c := range s.cols {
		s.do(func() error { return sw.SetColWidth(i+1, i+1, c.width) })
	}
	if top == 0 {
		return sw
	}
	s.do(func() error {
		corner, err := excelize.CoordinatesToCellName(lay.frozen+1, top+1)
		if err != nil {
			return err
		}
		pane := "bottomLeft"
		if lay.frozen > 0 {
			pane = "bottomRight"
		}
		return sw.SetPanes(&excelize.Panes{Freeze: true, XSplit: lay.frozen, YSplit: top, TopLeftCell: corner, ActivePane: pane,
			Selection: []excelize.Selection{{SQRef: corner, ActiveCell: corner, Pane: pane}}})
	})
	return sw
}

func (s *sheet) do(f func() error) {
	if s.err == nil {
		s.err = f()
	}
}

func (s *sheet) setUpPage(f *excelize.File, lay layout) {
	yes, wide, tall, a4 := true, 1, 0, 9
	turned := "landscape"
	if lay.portrait {
		turned = "portrait"
	}
	side, edge, text := 0.4, 0.3, 0.65 // inches
	s.do(func() error { return f.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: &yes}) })
	s.do(func() error {
		return f.SetPageLayout(s.name, &excelize.PageLayoutOptions{Size: &a4, Orientation: &turned, FitToWidth: &wide, FitToHeight: &tall})
	})
	s.do(func() error {
		return f.SetPageMargins(s.name, &excelize.PageLayoutMarginsOptions{
			Left: &side, Right: &side, Top: &text, Bottom: &text, Header: &edge, Footer: &edge})
	})
	s.do(func() error {
		return f.SetHeaderFooter(s.name, &excelize.HeaderFooterOptions{
			OddHeader: "&L&8" + s.book.headline + "&R&8&A", OddFooter: "&L&8Leads, not findings: a person decides.&R&8Page &P of &N"})
	})
	if lay.portrait {
		no := false
		s.do(func() error { return f.SetSheetView(s.name, 0, &excelize.ViewOptions{ShowGridLines: &no}) })
	}
}

// alone writes one cell whose text may run over the empty cells beside it.
func (s *sheet) alone(v as, height float64) {
	s.put(height, []any{v})
}

// add writes a row of the table. A string stands in the column's look; nil
// and "" leave the cell empty.
func (s *sheet) add(values ...any) { s.put(s.heightOf(values), values) }

func (s *sheet) put(height float64, values []any) {
	if s.err == nil {
		s.err = s.book.opt.stopped()
	}
	if s.err != nil {
		return
	}
	var r *row
	if r, s.err = s.feed.next(len(s.cols)); s.err != nil {
		return
	}
	s.row++
	r.number, r.height = s.row, height
	table := s.first > 0 && s.row < s.first+gridRows
	grid := table || s.first == 0
	for i := range s.cols {
		r.refs[i] = nil
		if i >= len(values) && !table {
			continue
		}
		var v any
		if i < len(values) {
			v = values[i]
		}
		l := s.cols[i].look
		if a, ok := v.(as); ok {
			l, v = a.look, a.value
		}
		style := s.book.styles.of[l]
		if text, ok := v.(string); ok {
			if StartsFormula(text) {
				style = s.book.styles.quoted[l]
			}
			v = textValue(text, v)
		}
		if v != nil || grid {
			r.cells[i] = excelize.Cell{StyleID: style, Value: v}
			r.refs[i] = &r.cells[i]
		}
	}
}

// textValue is a text for a cell, as given when there is nothing to change in it,
// which spares a copy; nil for none.
func textValue(s string, given any) any {
	if s == "" {
		return nil
	}
	if text := cellText(s); text != s || strings.Contains(s, "_x") {
		return CellValue(text)
	}
	return given
}

// heightOf estimates the height that the wrapped cells of a row need, on paper
// if only some columns are printed.
func (s *sheet) heightOf(values []any) float64 {
	most := 1
	for i, v := range values[:min(len(values), s.tall)] {
		l := s.cols[i].look
		if a, ok := v.(as); ok {
			l, v = a.look, a.value
		}
		text, ok := v.(string)
		if !ok || !wraps(l) || float64(len(text)) < s.cols[i].width && strings.IndexByte(text, '\n') < 0 {
			continue
		}
		most = max(most, linesOf(text, s.cols[i].width))
		if most >= s.lines {
			return float64(s.lines)*lineHeight + 2
		}
	}
	return float64(most)*lineHeight + 2
}

func wraps(l look) bool {
	return l != plain && l != title && l != note && l != section && !isNumber(l)
}

func isNumber(l look) bool {
	switch l {
	case whole, counted, decimal1, decimal3, money, money0, money3, share, drawnCount:
		return true
	}
	return false
}

// headOf puts a heading over its column's side.
func headOf(l look) look {
	if isNumber(l) {
		return headNumber
	}
	return head
}

// linesOf estimates the lines of a wrapped text. Widths are counted in digits
// of the default font, and the text's is smaller.
func linesOf(text string, width float64) int {
	lines := 0
	for part := range strings.SplitSeq(text[:min(len(text), 4000)], "\n") {
		lines += max(1, int(math.Ceil(float64(report.Width(part))/(width*1.2))))
	}
	return lines
}

// linkTo makes the cell of the row last written lead somewhere. kind is
// "External" for a file, "Location" for a place in the workbook.
func (s *sheet) linkTo(col int, target, kind string) {
	s.links = append(s.links, cellLink{col, s.row, target, kind})
}

// column gives the data cells of a column, 1-based: "B4:B20".
func (s *sheet) column(col int) string {
	from, _ := excelize.CoordinatesToCellName(col, s.first)
	to, _ := excelize.CoordinatesToCellName(col, max(s.row, s.first))
	return from + ":" + to
}

// close sets what must be set before the sheet is flushed, and flushes it.
func (s *sheet) close() error {
	f := s.book.f
	if s.first > 0 && s.row >= s.first {
		s.do(func() error {
			from, _ := excelize.CoordinatesToCellName(1, s.first-1)
			to, _ := excelize.CoordinatesToCellName(len(s.cols), s.row)
			return f.AutoFilter(s.name, from+":"+to, nil)
		})
	}
	for _, l := range s.links {
		s.do(func() error {
			cell, err := excelize.CoordinatesToCellName(l.col, l.row)
			if err != nil {
				return err
			}
			return f.SetCellHyperLink(s.name, cell, l.target, l.kind)
		})
	}
	s.do(func() error { return s.shell.Flush() })
	return s.err
}
