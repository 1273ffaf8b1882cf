package workbook

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// libraryRow is a row as the library's own writer of streams has it.
func libraryRow(t testing.TB, row int, height float64, cells []cell) string {
	f := excelize.NewFile()
	defer f.Close()
	sw, err := f.NewStreamWriter("Sheet1")
	require.NoError(t, err)
	values := make([]any, len(cells))
	for i, c := range cells {
		if !c.none {
			values[i] = &excelize.Cell{StyleID: c.style, Value: c.value}
		}
	}
	at, err := excelize.CoordinatesToCellName(1, row)
	require.NoError(t, err)
	require.NoError(t, sw.SetRow(at, values, excelize.RowOpts{Height: height}))
	require.NoError(t, sw.Flush())
	var file bytes.Buffer
	_, err = f.WriteTo(&file)
	require.NoError(t, err)
	z, err := zip.NewReader(bytes.NewReader(file.Bytes()), int64(file.Len()))
	require.NoError(t, err)
	part, err := z.Open("xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	text, err := io.ReadAll(part)
	require.NoError(t, err)
	_, rest, _ := strings.Cut(string(text), "<sheetData>")
	rows, _, _ := strings.Cut(rest, "</sheetData>")
	return rows
}

func ownRow(t testing.TB, row int, height float64, cells []cell) string {
	var r rowStore
	defer r.close()
	require.NoError(t, r.add(row, height, cells))
	var b strings.Builder
	require.NoError(t, r.writeTo(&b))
	return b.String()
}

// TestRowsAreTheLibrarys holds rows against those of excelize, byte by byte.
func TestRowsAreTheLibrarys(t *testing.T) {
	values := []any{nil, "", "a", " a", "a ", "a\nb", "\n", "a\tb", "a\rb", `<a href="x">&'`, "ä 涡轮 🙂", "\x00\x1f\x7f", "a\xffb\xc3", "\ufffe\uffff\ufffd",
		"_x0041_", "_x005F_", "_x005F_x0041_", "__x0041__x0042_", "_x00G1_", "_x41_", "_X0041_", "x_x000a_y", strings.Repeat("long ", 3000),
		0, -1, math.MaxInt, int64(3601954), 0.0, 1.0, -0.5, 0.1, 1.0 / 3, 2.0 / 3e9, 123456789012345678.0, 1234567890123456.7, 100000000000000.25, 1e21, 1e-7,
		1e300 / 3, math.SmallestNonzeroFloat64, math.Copysign(0, -1)}
	random := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		values = append(values, math.Float64frombits(random.Uint64()&^(1<<62)), random.NormFloat64()*1e4, random.ExpFloat64()*1e15)
	}
	for from := 0; from < len(values); from += 40 {
		var cells []cell
		for i, v := range values[from:min(from+40, len(values))] {
			if f, ok := v.(float64); ok && (math.IsNaN(f) || math.IsInf(f, 0)) {
				continue
			}
			cells = append(cells, cell{style: i % 3, value: v, none: v == nil && i%2 == 0})
		}
		want := strings.Split(libraryRow(t, from+1, float64(from)/5, cells), "<c ")
		assert.Equal(t, want, strings.Split(ownRow(t, from+1, float64(from)/5, cells), "<c "))
	}
}

func TestRowsBeyondTheFormat(t *testing.T) {
	var r rowStore
	assert.Error(t, r.add(excelize.TotalRows+1, 10, nil))
	assert.Error(t, r.add(1, excelize.MaxRowHeight+1, nil))
}

func TestManyRowsComeBackInOrder(t *testing.T) {
	var r rowStore
	var want strings.Builder
	cells := []cell{{value: strings.Repeat("x", 1000)}}
	for row := 1; row <= 1000; row++ {
		require.NoError(t, r.add(row, 0, cells))
		want.WriteString(ownRow(t, row, 0, cells))
	}
	require.NotNil(t, r.file, "the bound was not reached")
	name := r.file.Name()
	var got strings.Builder
	require.NoError(t, r.writeTo(&got))
	assert.Equal(t, want.String(), got.String())
	r.close()
	assert.NoFileExists(t, name)
}

// FuzzText reads texts back by the standard, and holds those without a "_x"
// against the library, which takes back too little where two escapes overlap and
// drops half of a surrogate pair.
func FuzzText(f *testing.F) {
	f.Add("_x0041_ & \n <ä>")
	f.Add("_x005F_x005F_\r\x00\xff")
	f.Add("_x0A5F_x005F_")
	f.Add("turbo _xD800_ kit")
	f.Fuzz(func(t *testing.T, text string) {
		cells := []cell{{value: text}}
		own := ownRow(t, 1, 0, cells)
		var read struct {
			Text string `xml:"c>is>t"`
		}
		require.NoError(t, xml.Unmarshal([]byte(own), &read))
		assert.Equal(t, allowed(text), unescaped(read.Text))
		if !strings.Contains(text, "_x") && len(text) <= textLimit {
			assert.Equal(t, libraryRow(t, 1, 0, cells), own)
		}
	})
}

// allowed puts U+FFFD in the place of what is no character of XML 1.0, as the
// encoder of the standard library does.
func allowed(text string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(text))
	var s string
	_ = xml.Unmarshal([]byte("<s>"+b.String()+"</s>"), &s)
	return s
}

var escape = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// unescaped reads ST_Xstring (ISO/IEC 29500-1, 22.9.2.19); only underscores are
// ever escaped.
func unescaped(text string) string {
	return escape.ReplaceAllStringFunc(text, func(s string) string {
		if s != "_x005F_" {
			return "no escape of ours: " + s
		}
		return "_"
	})
}
