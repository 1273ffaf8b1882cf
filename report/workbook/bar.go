package workbook

import (
	"fmt"
	"slices"

	"github.com/xuri/excelize/v2"
)

// barEnd is the weight in decibans at which a bar fills its cell; very strong
// support begins at 40.
const barEnd = "50"

// addBar draws the weights of a column as bars inside their cells, from zero
// up. A weight below zero has none.
//
// The bar of the first edition of ISO/IEC 29500 fades out, so that its end is
// hard to see. A plain one is an extension ([MS-XLSX] 2.3.4, dataBar); the
// library drops extensions of streamed sheets, so the archive writes this one.
func (b *book) addBar(s *sheet, col int) {
	ref := s.column(col)
	s.do(func() error {
		return b.f.SetConditionalFormat(s.name, ref, []excelize.ConditionalFormatOptions{{
			Type: "data_bar", Criteria: "=", MinType: "num", MinValue: "0", MaxType: "num", MaxValue: barEnd,
			BarColor: "#" + bar, BarSolid: true}})
	})
	number := slices.Index(b.sheets, s.name) + 1
	// The id by which the library joins a sheet's first rule to its extension.
	id := fmt.Sprintf("{00000000-0000-0000-%04X-%012X}", number, 0)
	b.extend(s, "{78C0D931-6437-407d-A8EE-F0AAD7539E65}", `<x14:conditionalFormattings>`+
		`<x14:conditionalFormatting xmlns:xm="http://schemas.microsoft.com/office/excel/2006/main"><x14:cfRule type="dataBar" id="`+id+`">`+
		`<x14:dataBar minLength="0" maxLength="100" gradient="0" axisPosition="none">`+
		`<x14:cfvo type="num"><xm:f>0</xm:f></x14:cfvo><x14:cfvo type="num"><xm:f>`+barEnd+`</xm:f></x14:cfvo>`+
		`</x14:dataBar></x14:cfRule><xm:sqref>`+ref+`</xm:sqref></x14:conditionalFormatting></x14:conditionalFormattings>`)
}

// extend ends a sheet with an extension. A sheet has at most one.
func (b *book) extend(s *sheet, uri, xml string) {
	b.archive.extensions[partOf(slices.Index(b.sheets, s.name))] = `<extLst><ext uri="` + uri + `" xmlns:x14="http://schemas.microsoft.com/office/spreadsheetml/2009/9/main">` + xml + `</ext></extLst>`
}
