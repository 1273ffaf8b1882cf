package table

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
)

// workbook writes the sheets with the reference library excelize.
func workbook(t *testing.T, sheets map[string][][]any, order ...string) []byte {
	t.Helper()
	book := excelize.NewFile()
	for i, name := range order {
		if i == 0 {
			require.NoError(t, book.SetSheetName("Sheet1", name))
		} else {
			_, err := book.NewSheet(name)
			require.NoError(t, err)
		}
		for r, row := range sheets[name] {
			for c, v := range row {
				cell, err := excelize.CoordinatesToCellName(c+1, r+1)
				require.NoError(t, err)
				require.NoError(t, book.SetCellValue(name, cell, v))
			}
		}
	}
	var b bytes.Buffer
	require.NoError(t, book.Write(&b))
	return b.Bytes()
}

func TestWorkbook(t *testing.T) {
	data := workbook(t, map[string][][]any{
		"Angebote": {{"Export von März"}, nil, {"Titel", "Seriennummer", "Preis", "Währung", "Datum", "Bilder"},
			{"Turbo A", "000123456789012345", 312.4, "EUR", 46022, "a.jpg"},
			{"Turbo B", "X1", "1.234,50 €"},
			{"Turbo C", "X2", 99.5, "EUR", 46022.75, nil, "zu viel"}},
		"Notizen": {{"foo", "bar"}, {"1", "2"}},
		"Leer":    {},
	}, "Angebote", "Notizen", "Leer")
	var list []*listing.Listing
	res := StreamWorkbook(bytes.NewReader(data), "a.xlsx", Options{}, func(l *listing.Listing) { list = append(list, l) })
	require.Len(t, list, 2)
	a, b := list[0], list[1]
	assert.Equal(t, 4, a.Row)
	assert.Equal(t, "Angebote", a.Entry)
	assert.Equal(t, "000123456789012345", a.Value(listing.SerialNumber))
	assert.Equal(t, "312.4", a.Value(listing.Price))
	assert.Equal(t, "2025-12-31", a.Value(listing.CapturedAt), "46022 is the last day of 2025 in the 1900 date system of ECMA-376")
	assert.True(t, a.PhotosKnown)
	assert.Equal(t, "1234.50", b.Value(listing.Price))
	assert.Equal(t, "EUR", b.Value(listing.Currency))
	assert.False(t, b.PhotosKnown)
	var refused []string
	for _, p := range res.Problems {
		if p.Severity == listing.Refused {
			refused = append(refused, p.Entry+" "+p.Reason)
		}
	}
	assert.ElementsMatch(t, []string{"Angebote 7 cells, the header has 6", "Leer the table is empty", "Notizen no column name is known, so no row can be read"}, refused)
}

func TestNoWorkbook(t *testing.T) {
	for _, text := range []string{"", "title,price\n", "PK\x03\x04 broken", strings.Repeat("\x00", 100)} {
		res := StreamWorkbook(strings.NewReader(text), "a.xlsx", Options{}, func(*listing.Listing) { t.Fatal("no listing") })
		require.Len(t, res.Problems, 1)
		assert.Equal(t, listing.Refused, res.Problems[0].Severity)
	}
}

// What a cell shows and the stored number lacks: leading zeros, a currency. All
// else is as stored, whatever the format rounds or groups.
func TestWorkbookAsShown(t *testing.T) {
	book := excelize.NewFile()
	set := func(cell string, value any, format string) {
		require.NoError(t, book.SetCellValue("Sheet1", cell, value))
		if format != "" {
			style, err := book.NewStyle(&excelize.Style{CustomNumFmt: &format})
			require.NoError(t, err)
			require.NoError(t, book.SetCellStyle("Sheet1", cell, cell, style))
		}
	}
	for i, h := range []string{"Title", "Part number", "Serial number", "Price"} {
		set(string(rune('A'+i))+"1", h, "")
	}
	set("A2", "Turbo", "")
	set("B2", 1234, "000000")
	set("C2", 123456789012345, "0.00E+00")
	set("D2", 1234.56, `#,##0.0 "€"`)
	set("A3", "Turbo", "")
	set("B3", 54399700070, "#,##0")
	set("C3", 123456789012345, "")
	set("D3", 99, `[$£-809]#,##0.00`)
	var b bytes.Buffer
	require.NoError(t, book.Write(&b))
	var got []string
	StreamWorkbook(&b, "a.xlsx", Options{}, func(l *listing.Listing) {
		got = append(got, l.Value(listing.PartNumber)+" "+l.Value(listing.SerialNumber)+" "+l.Value(listing.Price)+" "+l.Value(listing.Currency))
	})
	assert.Equal(t, []string{"001234 123456789012345 1234.56 EUR", "54399700070 123456789012345 99 GBP"}, got)
}
