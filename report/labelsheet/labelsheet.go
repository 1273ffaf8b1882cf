// Package labelsheet writes the workbook in which a person says what the photos
// of a batch show. It is read back with the next run.
//
// Each distinct picture has one row, with its copies counted in, those first
// whose label may change the ranking most. labelsheet.go holds the workbook,
// order.go the rows and their order.
package labelsheet

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/report/workbook"
	"counterfoil/rules"
	"counterfoil/rules/labels"
	"counterfoil/rules/settings"
)

// Name is the file's name in the output folder.
const Name = "photo-labels.xlsx"

// Options are what the sheet needs beside the batch.
type Options struct {
	Labels *labels.Set // those of earlier sheets, which are written again; may be nil
	// Version names the fingerprints of the batch.
	Version string
	// Thumb gives a small JPEG of a photo and its size in pixels. Nil, or an
	// error, leaves the picture out.
	Thumb func(p *listing.Photo) (jpeg []byte, w, h int, err error)
}

// Bounds of the workbook.
const (
	maxRows     = 5_000
	maxPictured = 400 // rows with a picture
	maxText     = 500 // runes of a cell
)

// Vocabulary gives the words that a sheet may hold: the views of the trade and
// of the profiles, and the marks. version names the fingerprints of this program.
func Vocabulary(makers *settings.Makers, version string) labels.Words {
	w := labels.Words{Views: slices.Clone(listing.Views), OfFile: rules.MarksOfFile, Makers: makers, Version: version}
	add := func(view string) {
		if view = strings.ToLower(view); !slices.Contains(w.Views, view) {
			w.Views = append(w.Views, view)
		}
	}
	if makers != nil {
		for i := range makers.List {
			for _, v := range makers.List[i].Views {
				add(v)
			}
			for _, f := range makers.List[i].Features {
				add(f.View)
			}
		}
	}
	for _, m := range rules.Marks {
		w.Marks = append(w.Marks, m.Word)
	}
	return w
}

// File is the workbook as a file of the report.
func File(res *rules.Result, run *report.Run, opt Options) report.File {
	return report.File{Name: Name, Write: func(w io.Writer) error { return Write(w, res, run, opt) }}
}

// Write writes the workbook. The same batch and run give the same bytes.
func Write(w io.Writer, res *rules.Result, run *report.Run, opt Options) (err error) {
	b := &book{f: excelize.NewFile(), opt: opt, words: Vocabulary(res.Facts.Makers, opt.Version), thumbs: map[string]thumb{}}
	defer func() {
		if e := b.f.Close(); err == nil {
			err = e
		}
	}()
	rows, all := rowsOf(res, opt.Labels)
	b.do(func() error { return b.f.SetSheetName("Sheet1", labels.SheetPhotos) })
	for _, name := range []string{labels.SheetFeatures, labels.SheetWords} {
		b.do(func() error { _, err := b.f.NewSheet(name); return err })
	}
	b.setUp()
	b.photos(rows, all)
	b.features(res, rows)
	b.vocabulary()
	stamp := run.AsOf.UTC().Format(time.RFC3339)
	b.do(func() error {
		return b.f.SetDocProps(&excelize.DocProperties{Creator: "Counterfoil " + run.Version, Title: "Photo labels", Created: stamp, Modified: stamp})
	})
	b.do(func() error { return b.f.SetAppProps(&excelize.AppProperties{Application: "Counterfoil"}) })
	if b.err != nil {
		return b.err
	}
	b.f.SetZipWriter(workbook.Container)
	_, err = b.f.WriteTo(w)
	return err
}

type book struct {
	f      *excelize.File
	opt    Options
	words  labels.Words
	thumbs map[string]thumb // by SHA-256

	body, head, entry, code, title, note int // styles
	err                                  error
}

type thumb struct {
	jpeg []byte
	w, h int
}

func (b *book) do(f func() error) {
	if b.err == nil {
		b.err = f()
	}
}

func (b *book) setUp() {
	style := func(id *int, s excelize.Style) {
		b.do(func() (err error) { *id, err = b.f.NewStyle(&s); return err })
	}
	line := []excelize.Border{{Type: "bottom", Color: "D5DADD", Style: 1}}
	font := func(size float64, bold bool) *excelize.Font {
		return &excelize.Font{Family: "Calibri", Size: size, Bold: bold, Color: "1F2A30"}
	}
	fill := func(color string) excelize.Fill {
		return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{color}}
	}
	top := &excelize.Alignment{Vertical: "top", WrapText: true}
	style(&b.body, excelize.Style{Font: font(10, false), Border: line, Alignment: top, NumFmt: 49})
	style(&b.head, excelize.Style{Font: font(10, true), Fill: fill("DCE4E8"), Alignment: &excelize.Alignment{Vertical: "center", WrapText: true}})
	style(&b.entry, excelize.Style{Font: font(10, false), Fill: fill("FBFAF2"), Border: line, Alignment: top, NumFmt: 49})
	style(&b.code, excelize.Style{Font: font(8, false), Border: line, Alignment: &excelize.Alignment{Vertical: "top", Horizontal: "fill"}, NumFmt: 49})
	style(&b.title, excelize.Style{Font: font(15, true)})
	style(&b.note, excelize.Style{Font: font(10, false), Alignment: &excelize.Alignment{Vertical: "top"}})
	if b.err == nil {
		for i, id := range workbook.Quoted(b.f, []int{b.body, b.entry, b.code}) {
			*[]*int{&b.body, &b.entry, &b.code}[i] = id
		}
	}
}

// column is a column of a sheet; entry marks those for the reader to fill in.
type column struct {
	head  string
	width float64
	entry bool
}

// firstRow is the first row of data: title, two notes and the headings stand
// above.
const firstRow = 5

func (b *book) open(sheet, title string, columns []column, notes ...string) {
	yes, wide, tall, a4, turned := true, 1, 0, 9, "landscape"
	b.do(func() error { return b.f.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &yes}) })
	b.do(func() error {
		return b.f.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: &a4, Orientation: &turned, FitToWidth: &wide, FitToHeight: &tall})
	})
	b.set(sheet, 1, 1, title, b.title)
	for i, n := range notes {
		b.set(sheet, 1, 2+i, n, b.note)
	}
	for i, c := range columns {
		b.set(sheet, i+1, firstRow-1, c.head, b.head)
		b.width(sheet, i+1, c.width)
	}
	b.do(func() error {
		return b.f.SetPanes(sheet, &excelize.Panes{Freeze: true, YSplit: firstRow - 1, XSplit: 1, ActivePane: "bottomRight",
			TopLeftCell: fmt.Sprintf("B%d", firstRow)})
	})
}

// printed keeps the ties off paper and repeats the headings on each page.
func (b *book) printed(sheet string, columns []column, last int) {
	b.do(func() error {
		end, err := excelize.CoordinatesToCellName(len(columns)-tieColumns, max(last, firstRow-1), true)
		if err != nil {
			return err
		}
		return b.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: sheet, RefersTo: sheet + "!$A$1:" + end})
	})
	b.do(func() error {
		return b.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: sheet,
			RefersTo: fmt.Sprintf("%s!$%d:$%d", sheet, firstRow-1, firstRow-1)})
	})
}

func (b *book) width(sheet string, col int, characters float64) {
	b.do(func() error {
		name, err := excelize.ColumnNumberToName(col)
		if err != nil {
			return err
		}
		return b.f.SetColWidth(sheet, name, name, characters)
	})
}

func (b *book) set(sheet string, col, row int, value any, style int) {
	b.do(func() error {
		cell, err := excelize.CoordinatesToCellName(col, row)
		if err != nil {
			return err
		}
		if err := b.f.SetCellStyle(sheet, cell, cell, style); err != nil {
			return err
		}
		switch v := value.(type) {
		case string:
			if v == "" {
				return nil
			}
			return b.f.SetCellValue(sheet, cell, workbook.CellValue(report.Visible(listing.Shorten(v, maxText))))
		case code:
			if v == "" {
				return nil
			}
			return b.f.SetCellStr(sheet, cell, string(v))
		default:
			return b.f.SetCellValue(sheet, cell, v)
		}
	})
}

func (b *book) fill(sheet string, row int, columns []column, values ...any) {
	for i, v := range values {
		style := b.body
		if columns[i].entry {
			style = b.entry
		} else if _, ok := v.(code); ok {
			style = b.code
		}
		b.set(sheet, i+1, row, v, style)
	}
}

// choose puts a drop-down list on the columns of one kind.
func (b *book) choose(sheet string, columns []column, kind string, rows int, list func(*excelize.DataValidation) error) {
	for i, c := range columns {
		if !c.entry || c.head != kind && !strings.HasPrefix(c.head, kind+" ") {
			continue
		}
		b.do(func() error {
			v := excelize.NewDataValidation(true)
			from, _ := excelize.CoordinatesToCellName(i+1, firstRow)
			to, _ := excelize.CoordinatesToCellName(i+1, firstRow+max(rows, 1)-1)
			v.SetSqref(from + ":" + to)
			if err := list(v); err != nil {
				return err
			}
			v.SetError(excelize.DataValidationErrorStyleStop, "Not in the list", "Choose a word of the list; the sheet Words says what each means.")
			return b.f.AddDataValidation(sheet, v)
		})
	}
}

// picture lays a thumbnail over a cell.
func (b *book) picture(sheet string, col, row int, p *listing.Photo) {
	if b.opt.Thumb == nil || row >= firstRow+maxPictured || p.File == "" {
		return
	}
	t, ok := b.thumbs[p.SHA256]
	if !ok {
		if jpeg, w, h, err := b.opt.Thumb(p); err == nil && w > 0 && h > 0 {
			t = thumb{jpeg, w, h}
		}
		b.thumbs[p.SHA256] = t
	}
	if t.jpeg == nil {
		return
	}
	b.do(func() error { return b.f.SetRowHeight(sheet, row, 156) })
	b.do(func() error {
		scale := min(270/float64(t.w), 200/float64(t.h), 1)
		cell, err := excelize.CoordinatesToCellName(col, row)
		if err != nil {
			return err
		}
		return b.f.AddPictureFromBytes(sheet, cell, &excelize.Picture{Extension: ".jpg", File: t.jpeg,
			Format: &excelize.GraphicOptions{AltText: report.Visible(report.FileText(p.File, p.Entry)), ScaleX: scale, ScaleY: scale,
				OffsetX: 3, OffsetY: 3, Positioning: "oneCell", LockAspectRatio: true}})
	})
}

// code is text for the program, in small type on one line and never cut.
type code string

// ties are the columns that tie a row to its picture.
func (b *book) ties() []column {
	list := []column{{labels.HeadSHA256, 9, false}}
	for _, name := range []string{labels.HeadFingerprint, labels.HeadMirror, labels.HeadDetail} {
		list = append(list, column{labels.HeadOf(name, b.opt.Version), 9, false})
	}
	return list
}

// tieColumns is how many there are.
const tieColumns = 4

// tied are their cells.
func tied(p *listing.Photo) []any {
	cells := []any{code(p.SHA256), code(""), code(""), code("")}
	if p.Printed {
		cells[1], cells[2] = code(fmt.Sprintf("%016x", p.Fingerprint)), code(fmt.Sprintf("%016x", p.Mirror))
	}
	if p.Printed && p.Detail != nil {
		text, _ := p.Detail.MarshalText() // never fails
		cells[3] = code(text)
	}
	return cells
}

func (b *book) photos(rows []row, all int) {
	columns := []column{{"Picture", 39, false}, {"Where", 40, false}, {"Worth", 8, false}, {"Known views", 22, false}}
	for n := range labels.ViewColumns {
		columns = append(columns, column{labels.Head(labels.HeadView, n+1), 22, true})
	}
	for n := range labels.MarkColumns {
		columns = append(columns, column{labels.Head(labels.HeadMark, n+1), 20, true})
	}
	columns = append(append(columns, column{labels.HeadNote, 30, true}), b.ties()...)
	cut := ""
	if len(rows) < all {
		cut = fmt.Sprintf(" Only the first %d of %d pictures are shown.", len(rows), all)
	}
	b.open(labels.SheetPhotos, "Photo labels", columns,
		"Choose what each picture shows, save, and give the file to the next run with --labels. A label holds for all copies of its picture."+cut,
		"Pictures come first whose label may change the ranking most: decibans that labels decide, shared among the listing's pictures, added up over its listings.")
	for i, r := range rows {
		at := firstRow + i
		values := []any{"", r.where, r.worth, strings.Join(r.known, "\n")}
		values = append(values, padded(r.views, labels.ViewColumns)...)
		values = append(values, padded(r.marks, labels.MarkColumns)...)
		b.fill(labels.SheetPhotos, at, columns, append(append(values, r.note), tied(r.photo)...)...)
		b.picture(labels.SheetPhotos, 1, at, r.photo)
	}
	b.printed(labels.SheetPhotos, columns, firstRow+len(rows)-1)
	b.choose(labels.SheetPhotos, columns, labels.HeadView, len(rows), func(v *excelize.DataValidation) error {
		v.SetSqrefDropList(fmt.Sprintf("%s!$A$2:$A$%d", labels.SheetWords, len(b.words.Views)+1))
		return nil
	})
	b.choose(labels.SheetPhotos, columns, labels.HeadMark, len(rows), func(v *excelize.DataValidation) error {
		v.SetSqrefDropList(fmt.Sprintf("%s!$C$2:$C$%d", labels.SheetWords, len(b.words.Marks)+1))
		return nil
	})
}

// padded gives exactly n values.
func padded(list []string, n int) []any {
	out := make([]any, n)
	for i := range out {
		out[i] = ""
		if i < len(list) {
			out[i] = list[i]
		}
	}
	return out
}

// features lists, for each picture whose view shows some, the features of the
// profile of each maker whose part it is used for.
func (b *book) features(res *rules.Result, rows []row) {
	columns := []column{{"Picture", 39, false}, {"Specimen", 39, false}, {labels.HeadMaker, 16, false}, {labels.HeadFeature, 18, false}, {"What to look at", 28, false},
		{"As genuine", 32, false}, {"As copy", 32, false}, {labels.HeadSeen, 16, true}, {"Specimen files", 26, false}, {"Where", 36, false}}
	columns = append(columns, b.ties()...)
	b.open(labels.SheetFeatures, "Features of the makers' profiles", columns,
		"Say of each feature whether it looks as on the maker's units, as on copies, or cannot be seen. What the texts say comes from your profiles.",
		"Specimens are pictures of the maker's units that the profile names. A picture stands here once its view is known: label the view first, and the next sheet asks for its features.")
	at := firstRow
	for _, r := range rows {
		for _, m := range r.makers(res) {
			for i := range m.Features {
				f := &m.Features[i]
				if !r.photo.Shows(f.View) || at >= firstRow+maxRows {
					continue
				}
				b.fill(labels.SheetFeatures, at, columns, append([]any{"", "", m.Name, f.ID, f.What, f.Genuine, f.Copy, r.seen(m.Name, f.ID),
					strings.Join(f.Specimens, "\n"), r.where}, tied(r.photo)...)...)
				b.picture(labels.SheetFeatures, 1, at, r.photo)
				if len(f.Pictures) > 0 {
					b.picture(labels.SheetFeatures, 2, at, &f.Pictures[0])
				}
				at++
			}
		}
	}
	b.printed(labels.SheetFeatures, columns, at-1)
	b.choose(labels.SheetFeatures, columns, labels.HeadSeen, at-firstRow, func(v *excelize.DataValidation) error {
		return v.SetDropList(labels.SeenWords)
	})
}

func (b *book) vocabulary() {
	const sheet = labels.SheetWords
	for i, c := range []column{{"View", 28, false}, {"What the picture shows", 40, false}, {"Mark", 26, false}, {"What it says", 80, false}} {
		b.set(sheet, i+1, 1, c.head, b.head)
		b.width(sheet, i+1, c.width)
	}
	for i, v := range b.words.Views {
		b.set(sheet, 1, i+2, v, b.body)
		b.set(sheet, 2, i+2, "the "+strings.ReplaceAll(v, "-", " ")+", so that it can be judged", b.body)
	}
	for i, m := range rules.Marks {
		b.set(sheet, 3, i+2, m.Word, b.body)
		b.set(sheet, 4, i+2, m.Meaning, b.body)
	}
}
