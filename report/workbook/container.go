package workbook

import (
	"io"

	"github.com/xuri/excelize/v2"
)

// Container is the container of a workbook whose bytes depend on its content
// alone, for [excelize.File.SetZipWriter].
func Container(w io.Writer) excelize.ZipWriter { return &archive{w: w} }
