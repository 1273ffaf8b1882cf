package table

import (
	"errors"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"
)

// Bounds on a grid.
const (
	maxGridSheets = 200
	maxGridRows   = 1_100_000 // of a sheet; the format ends at 1,048,576
	maxGridText   = 1 << 30   // bytes of all cells
)

// StreamGrid gives the rows of all sheets of an XLSX workbook, hidden ones
// too, in the order of the sheets, as the cells show them: numbers and dates
// in their format, formulas by their last result. No heading is looked for.
// row gets the number of the row, 1 for the first, and its cells up to the
// last one stored, which belong to it; when it returns false, the rest of the
// sheet is left out. A sheet that holds no cells, such as a chart, gives
// nothing. The error says why the workbook, or a part of it, could not be read.
func StreamGrid(r io.Reader, row func(sheet string, number int, cells []string) (more bool)) error {
	limited := &io.LimitedReader{R: r, N: maxWorkbook + 1}
	book, err := excelize.OpenReader(limited, excelize.Options{UnzipSizeLimit: maxUnzipped, UnzipXMLSizeLimit: maxPart})
	if limited.N <= 0 {
		return errors.New("a workbook of more than 256 megabytes")
	}
	if err != nil {
		return fmt.Errorf("the workbook cannot be opened: %w", err)
	}
	defer book.Close()
	sheets := book.GetSheetList()
	if len(sheets) > maxGridSheets {
		return fmt.Errorf("more than %d sheets", maxGridSheets)
	}
	left := maxGridText
	for _, sheet := range sheets {
		if err := streamSheet(book, sheet, &left, row); err != nil {
			return fmt.Errorf("sheet %s: %w", sheet, err)
		}
	}
	return nil
}

func streamSheet(book *excelize.File, sheet string, left *int, row func(string, int, []string) bool) error {
	rows, err := book.Rows(sheet)
	var none excelize.ErrSheetNotExist
	if errors.As(err, &none) {
		return nil // a chart or a macro sheet
	}
	if err != nil {
		return err
	}
	defer rows.Close()
	for number := 1; rows.Next(); number++ {
		cells, err := rows.Columns()
		if err != nil {
			return fmt.Errorf("row %d: %w", number, err)
		}
		if number > maxGridRows || len(cells) > maxColumns {
			return fmt.Errorf("row %d: more than %d rows or %d columns", number, maxGridRows, maxColumns)
		}
		for _, c := range cells {
			*left -= len(c)
		}
		if *left < 0 {
			return errors.New("more than a gigabyte of text")
		}
		if !row(sheet, number, cells) {
			return nil
		}
	}
	return rows.Error()
}
