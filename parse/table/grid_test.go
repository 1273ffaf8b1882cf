package table_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
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

func FuzzGrid(f *testing.F) {
	f.Add(shown(f))
	f.Add([]byte("PK\x03\x04"))
	f.Fuzz(func(t *testing.T, data []byte) {
		rows := 0
		_ = table.StreamGrid(bytes.NewReader(data), func(sheet string, n int, cells []string) bool {
			rows++
			require.Equal(t, false, strings.Contains(sheet, "\x00"))
			return rows < 10_000
		})
	})
}
