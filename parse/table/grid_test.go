package table_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"counterfoil/parse/table"
)

// shown is a workbook whose cells show something else than they store.
func shown(t testing.TB) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	set := func(cell string, v any, format string) {
		require.NoError(t, f.SetCellValue("Sheet1", cell, v))
		if format != "" {
			id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
			require.NoError(t, err)
			require.NoError(t, f.SetCellStyle("Sheet1", cell, cell, id))
		}
	}
	set("A1", "Key", "")
	set("C1", "after a gap", "")
	set("A3", 0.4567, "0.00")
	set("B3", time.Date(2026, 9, 30, 0, 0, 0, 0, time.UTC), "yyyy-mm-dd")
	set("C3", "000123456789012345678", "")
	require.NoError(t, f.SetCellFormula("Sheet1", "D3", "=1+1"))
	_, err := f.NewSheet("hidden")
	require.NoError(t, err)
	require.NoError(t, f.SetCellValue("hidden", "B2", "x\ny"))
	require.NoError(t, f.SetSheetVisible("hidden", false))
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

type gridRow struct {
	Sheet string
	N     int
	Cells []string
}

func gridOf(data []byte, more func(gridRow) bool) ([]gridRow, error) {
	var list []gridRow
	err := table.StreamGrid(bytes.NewReader(data), func(sheet string, n int, cells []string) bool {
		r := gridRow{sheet, n, cells}
		list = append(list, r)
		return more == nil || more(r)
	})
	return list, err
}

func TestGridGivesCellsAsShown(t *testing.T) {
	got, err := gridOf(shown(t), nil)
	require.NoError(t, err)
	assert.Equal(t, []gridRow{
		{"Sheet1", 1, []string{"Key", "", "after a gap"}},
		{"Sheet1", 2, nil},
		{"Sheet1", 3, []string{"0.46", "2026-09-30", "000123456789012345678", ""}},
		{"hidden", 1, nil},
		{"hidden", 2, []string{"", "x\ny"}},
	}, got)
}

func TestGridStopsASheetOnly(t *testing.T) {
	got, err := gridOf(shown(t), func(r gridRow) bool { return r.Sheet != "Sheet1" })
	require.NoError(t, err)
	require.Len(t, got, 3)
	assert.Equal(t, "hidden", got[1].Sheet)
}

// LibreOffice writes the cells in its own way; they show the same, and it has
// reckoned the formula.
func TestGridOfLibreOffice(t *testing.T) {
	tool, _ := exec.LookPath("soffice")
	if tool == "" {
		if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
			t.Fatal("absent: soffice; install LibreOffice Calc")
		}
		t.Skip("absent: soffice; install LibreOffice Calc")
	}
	dir := t.TempDir()
	name := filepath.Join(dir, "a.xlsx")
	require.NoError(t, os.WriteFile(name, shown(t), 0o666))
	out, err := exec.Command(tool, "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--headless",
		"--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", filepath.Join(dir, "again"), name).CombinedOutput()
	require.NoError(t, err, "%s", out)
	data, err := os.ReadFile(filepath.Join(dir, "again", "a.xlsx"))
	require.NoError(t, err)
	got, err := gridOf(data, nil)
	require.NoError(t, err)
	var third []string
	for _, r := range got {
		if r.Sheet == "Sheet1" && r.N == 3 {
			third = r.Cells
		}
	}
	assert.Equal(t, []string{"0.46", "2026-09-30", "000123456789012345678", "2"}, third)
}

func TestGridOfNoWorkbook(t *testing.T) {
	whole := shown(t)
	for name, data := range map[string][]byte{
		"empty": nil, "text": []byte("a,b\n"), "cut": whole[:len(whole)/2], "zeros": make([]byte, 4096),
	} {
		_, err := gridOf(data, nil)
		assert.ErrorContains(t, err, "the workbook cannot be opened", name)
	}
}

// withSheet gives the workbook with other XML for its first sheet.
func withSheet(t testing.TB, book []byte, sheet string) []byte {
	t.Helper()
	in, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	require.NoError(t, err)
	var b bytes.Buffer
	out := zip.NewWriter(&b)
	for _, part := range in.File {
		if part.Name != "xl/worksheets/sheet1.xml" {
			require.NoError(t, out.Copy(part))
			continue
		}
		w, err := out.Create(part.Name)
		require.NoError(t, err)
		_, err = io.WriteString(w, sheet)
		require.NoError(t, err)
	}
	require.NoError(t, out.Close())
	return b.Bytes()
}

// A sheet that claims rows and columns beyond the format's end costs no more
// than its bytes allow.
func TestGridOfAFarCell(t *testing.T) {
	const sheet = `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="%s"><c r="%s" t="inlineStr"><is><t>x</t></is></c></row></sheetData></worksheet>`
	for _, c := range [][3]string{
		{"3", "XFD3", "more than"}, {"2000000000", "A2000000000", ""}, {"1048577", "A1048577", ""}, {"-1", "A1", ""}, {"1", "ZZZZZ1", ""}, {"1", "", ""},
	} {
		_, err := gridOf(withSheet(t, shown(t), fmt.Sprintf(sheet, c[0], c[1])), nil)
		if c[2] != "" {
			assert.ErrorContains(t, err, c[2])
		}
	}
}

func FuzzGrid(f *testing.F) {
	book := shown(f)
	f.Add(`<worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>Key</t></is></c><c r="C1" t="s"><v>0</v></c></row></sheetData></worksheet>`)
	f.Add(`<worksheet><sheetData><row><c><v>1e308</v></c></row><row r="5"><c r="B5" s="1"><f>A1</f><v>46</v></c></row></sheetData></worksheet>`)
	f.Add(`<worksheet><sheetData/></worksheet>`)
	f.Fuzz(func(t *testing.T, sheet string) {
		rows := 0
		_ = table.StreamGrid(bytes.NewReader(withSheet(t, book, sheet)), func(string, int, []string) bool {
			rows++
			return rows < 1000
		})
	})
}
