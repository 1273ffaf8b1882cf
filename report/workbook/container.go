package workbook

import (
	"io"

	"github.com/xuri/excelize/v2"
)

// Container is the container of a workbook whose bytes depend on its content
// alone, for [excelize.File.SetZipWriter].
func Container(w io.Writer) excelize.ZipWriter {
	return newArchive(w, func() error { return nil })
}

// Quoted copies cell styles with the mark that keeps a text, typed again into
// its cell, from becoming a formula. The library has no option for the mark;
// the style table itself does.
func Quoted(f *excelize.File, styles []int) []int {
	mark := true
	xfs := f.Styles.CellXfs
	quoted := make([]int, len(styles))
	for i, id := range styles {
		xf := xfs.Xf[id]
		xf.QuotePrefix = &mark
		xfs.Xf = append(xfs.Xf, xf)
		quoted[i] = len(xfs.Xf) - 1
	}
	xfs.Count = len(xfs.Xf)
	return quoted
}
