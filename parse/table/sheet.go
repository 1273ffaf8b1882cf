package table

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/parse/money"
)

// Bounds on a workbook, in bytes.
const (
	maxWorkbook = 256 << 20 // as stored
	maxUnzipped = 2 << 30   // all parts unpacked
	maxPart     = 64 << 20  // a part kept in memory; larger ones go to a temporary file
)

// StreamWorkbook reads all sheets of an XLSX workbook like tables, in their
// order. The sheet's name is the entry of its listings. Cells give the value
// that the workbook stores: a number without its format, a formula's last
// result; of the format only leading zeros and the currency are taken, which
// are stored nowhere else. A number that was typed into a cell that is not text
// has lost its digits after the fifteenth in the workbook itself.
func StreamWorkbook(r io.Reader, file string, opt Options, yield func(*listing.Listing)) Result {
	refused := func(reason, hint string) Result {
		var p problemList
		p.refuse(file, listing.Place{}, "", reason, hint)
		return Result{Problems: p.all(file)}
	}
	limited := &io.LimitedReader{R: r, N: maxWorkbook + 1}
	book, err := excelize.OpenReader(limited, excelize.Options{RawCellValue: true, UnzipSizeLimit: maxUnzipped, UnzipXMLSizeLimit: maxPart})
	if limited.N <= 0 {
		return refused("a workbook of more than 256 megabytes", "export the table as CSV")
	}
	if err != nil {
		return refused("the workbook cannot be opened: "+err.Error(), "open it, take off any password, and save it as .xlsx or CSV")
	}
	defer book.Close()
	var res Result
	telling := tellingFormats(book)
	for _, sheet := range book.GetSheetList() {
		one := readSheet(book, sheet, telling, file, opt, yield)
		res.Columns = append(res.Columns, one.Columns...)
		res.Problems = append(res.Problems, one.Problems...)
		res.Rows += one.Rows
	}
	listing.SortProblems(res.Problems)
	return res
}

// maxStyles bounds the cell styles of a workbook that are looked at.
const maxStyles = 2000

// tellingFormats reports whether a number format of the workbook shows what the
// stored numbers do not have: leading zeros or a currency.
func tellingFormats(book *excelize.File) bool {
	for i := range maxStyles {
		style, err := book.GetStyle(i)
		if err != nil {
			return false
		}
		if f := style.CustomNumFmt; f != nil && (strings.HasPrefix(*f, "00") || strings.ContainsAny(*f, "€$£¥₽₹\"[")) {
			return true
		}
	}
	return false
}

// asShown takes from a cell as it is shown what the stored number lacks.
func asShown(stored, shown string) string {
	number, err := strconv.ParseFloat(stored, 64)
	if err != nil || stored == shown || number < 0 {
		return stored
	}
	if strings.HasPrefix(shown, "0") && strings.TrimLeft(shown, "0") == stored {
		return shown
	}
	_, part, _ := strings.Cut(stored, ".")
	if code, _, _ := money.Currency(shown, money.Hints{}); code != "" && len(part) != 3 && !strings.ContainsAny(stored, "eE") { // three decimals may look like grouping
		return stored + " " + code
	}
	return stored
}

func readSheet(book *excelize.File, sheet string, telling bool, file string, opt Options, yield func(*listing.Listing)) Result {
	t := &tableReader{file: file, entry: sheet, opt: opt}
	rows, err := book.Rows(sheet)
	if err != nil {
		t.problems.refuse(file, listing.Place{}, "", "the sheet cannot be read: "+err.Error(), "")
		return t.result()
	}
	defer rows.Close()
	props, err := book.GetWorkbookProps()
	s := &sheetRows{rows: rows, base1904: err == nil && props.Date1904 != nil && *props.Date1904}
	if telling {
		if shown, err := book.Rows(sheet); err == nil {
			defer shown.Close()
			s.shown = shown
		}
	}
	if t.findHeader(s) {
		t.read(s, yield)
	}
	return t.result()
}

// sheetRows gives a sheet's rows as records.
type sheetRows struct {
	rows     *excelize.Rows
	shown    *excelize.Rows // the same rows in their formats, nil when those tell nothing
	line     int
	base1904 bool
}

func (s *sheetRows) next() (cells []string, line int, err error) {
	if !s.rows.Next() {
		if err := s.rows.Error(); err != nil {
			return nil, s.line, err
		}
		return nil, s.line, io.EOF
	}
	s.line++
	cells, err = s.rows.Columns(excelize.Options{RawCellValue: true})
	if err != nil {
		return nil, s.line, badRecord{"", "the row cannot be read: " + err.Error(), ""}
	}
	if len(cells) > maxColumns {
		return nil, s.line, badRecord{"", fmt.Sprintf("more than %d cells", maxColumns), ""}
	}
	if s.shown != nil && s.shown.Next() {
		if shown, err := s.shown.Columns(excelize.Options{}); err == nil {
			for i := range cells[:min(len(cells), len(shown))] {
				cells[i] = asShown(cells[i], shown[i])
			}
		}
	}
	return cells, s.line, nil
}

// fit fills up the empty cells at the end of a row, which are not stored, and
// writes the day numbers of date columns as dates.
func (s *sheetRows) fit(cells []string, columns []ColumnMatch) []string {
	for len(cells) < len(columns) {
		cells = append(cells, "")
	}
	for len(cells) > len(columns) && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	for i, c := range columns {
		if i < len(cells) && (c.Field == listing.CapturedAt || c.Field == listing.SellerSince) {
			cells[i] = s.date(cells[i])
		}
	}
	return cells
}

// date turns a day number into a date. Years and other small numbers are no
// day numbers.
func (s *sheetRows) date(cell string) string {
	day, err := strconv.ParseFloat(cell, 64)
	if err != nil || !(day >= 10_000 && day <= 80_000) {
		return cell
	}
	at, err := excelize.ExcelDateToTime(day, s.base1904)
	if err != nil {
		return cell
	}
	return at.Round(time.Second).Format("2006-01-02 15:04:05")
}
