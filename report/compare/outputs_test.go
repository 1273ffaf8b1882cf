package compare_test

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/report/compare"
)

func run() *compare.Run {
	in := func(file string) compare.Input {
		return compare.Input{Arguments: []string{file}, Captures: []listing.Capture{{File: file, SHA256: strings.Repeat("0", 64), Kind: "table", Listings: 2}},
			Problems: []listing.Problem{{Severity: listing.Partial, File: file, Place: listing.Cell(9, "price"), Field: listing.Price, Raw: "12,5O", Reason: `"12,5O" is not a price`}}}
	}
	return &compare.Run{Version: "1.0.0", AsOf: asOf, AsOfGiven: true, Out: "out", Before: in("b.csv"), After: in("a.csv")}
}

// outputs writes all files of a comparison.
func outputs(t testing.TB, res *compare.Result) map[string][]byte {
	t.Helper()
	got := map[string][]byte{}
	for _, f := range compare.Files(run(), res) {
		var b bytes.Buffer
		require.NoError(t, f.Write(&b))
		got[f.Name] = b.Bytes()
	}
	return got
}

// hostile texts: formulas, controls, what the format escapes, and what is too
// long for a cell.
var hostile = []string{"=cmd|' /C calc'!A0", "+1", "-1", "@SUM(A1)", "\tx", "a\u202egpj.exe", "_xD800_ _x000D_", "\xff\xfe broken", "<b>&amp;\"'</b>",
	strings.Repeat("long ", 20_000), "\x00\x1b[31m", "zero\u200bwidth", "最后一件"}

func hostilePair(t testing.TB) *compare.Result {
	var before, after []*listing.Listing
	for i, text := range hostile {
		b := offer(t, "b", i+2, common+"seller: Alfa")
		a := offer(t, "a", i+2, common+"seller: Alfa\nprice: 500.00")
		for _, l := range []*listing.Listing{b, a} {
			l.Key = text
			for _, n := range []listing.Name{listing.ListingID, listing.Seller, listing.Description, listing.SerialNumber, listing.URL} {
				put(l, n, text)
			}
		}
		put(a, listing.Title, text)
		put(a, listing.Description, text+" last one")
		before, after = append(before, b), append(after, a)
		gone := offer(t, "b", i+100, common)
		gone.Key = text + " gone"
		put(gone, listing.Title, text)
		before = append(before, gone)
	}
	return compared(t, before, after, compare.Options{})
}

func TestHostileText(t *testing.T) {
	res := hostilePair(t)
	got := outputs(t, res)
	for line := range bytes.Lines(got["changes.ndjson"]) {
		assert.True(t, json.Valid(line))
	}
	assert.True(t, json.Valid(got["run.json"]))
	f, err := excelize.OpenReader(bytes.NewReader(got["changes.xlsx"]))
	require.NoError(t, err)
	defer f.Close()
	assert.Equal(t, []string{"Summary", "Changes", "New", "Gone", "Prices"}, f.GetSheetList())
	for _, name := range f.GetSheetList() {
		rows, err := f.GetRows(name)
		require.NoError(t, err)
		for r, row := range rows {
			for c, cell := range row {
				assert.NotContains(t, cell, "\u202e")
				assert.NotContains(t, cell, "\x1b")
				at, err := excelize.CoordinatesToCellName(c+1, r+1)
				require.NoError(t, err)
				formula, err := f.GetCellFormula(name, at)
				require.NoError(t, err)
				assert.Empty(t, formula)
			}
		}
	}
	var b bytes.Buffer
	require.NoError(t, compare.Summary(&b, run(), res))
	assert.NotContains(t, b.String(), "\x1b")
	assert.NotContains(t, b.String(), "\u202e")
}

func TestSameBytes(t *testing.T) {
	m := newMarket(t, 800, 4)
	var first map[string][]byte
	for range 3 {
		res, err := compare.Compare(m.before, m.after, compare.Options{})
		require.NoError(t, err)
		got := outputs(t, res)
		if first == nil {
			first = got
		}
		for name := range got {
			assert.True(t, bytes.Equal(first[name], got[name]), name)
		}
	}
}

// Each line and each row of the workbook has a change of its own, and the first
// sheet counts them.
func TestWorkbookHoldsTheChanges(t *testing.T) {
	m := newMarket(t, 800, 4)
	res, err := compare.Compare(m.before, m.after, compare.Options{})
	require.NoError(t, err)
	got := outputs(t, res)
	assert.Equal(t, len(res.Changes), bytes.Count(got["changes.ndjson"], []byte("\n")))
	f, err := excelize.OpenReader(bytes.NewReader(got["changes.xlsx"]))
	require.NoError(t, err)
	defer f.Close()
	for sheet, kind := range map[string]compare.Kind{"New": compare.New, "Gone": compare.Gone, "Prices": compare.PriceMoved} {
		rows, err := f.GetRows(sheet)
		require.NoError(t, err)
		assert.Len(t, rows, 3+res.Kinds[kind], sheet)
	}
	rows, err := f.GetRows("Summary")
	require.NoError(t, err)
	text := ""
	for _, r := range rows {
		text += strings.Join(r, "\t") + "\n"
	}
	for _, want := range []string{"In short", "Still there\t", "New\t", "Gone\t", "Prices moved\t", "Not read\t2\t", "What stands out", "Two looks, no more", "Leads, not findings"} {
		assert.Contains(t, text, want)
	}
	for _, word := range []string{"price-moved", "gone"} {
		assert.Contains(t, string(got["run.json"]), `"of": "`+word+`"`)
	}
}

// LibreOffice, as a program of others, opens the workbook and prints it.
func TestLibreOfficeOpens(t *testing.T) {
	tool, err := exec.LookPath("soffice")
	if err != nil {
		if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
			t.Fatal("LibreOffice is not installed")
		}
		t.Skip("install libreoffice-calc")
	}
	dir := t.TempDir()
	require.NoError(t, report.Write(dir, compare.Files(run(), hostilePair(t))...))
	out, err := exec.Command(tool, "-env:UserInstallation=file://"+dir+"/profile", "--headless", "--convert-to", "pdf", "--outdir", dir, filepath.Join(dir, "changes.xlsx")).CombinedOutput()
	require.NoError(t, err, "%s", out)
	info, err := os.Stat(filepath.Join(dir, "changes.pdf"))
	require.NoError(t, err, "%s", out)
	assert.Greater(t, info.Size(), int64(10_000))
}

func BenchmarkWriteWorkbook(b *testing.B) {
	m := newMarket(b, 100_000, 7)
	res, err := compare.Compare(m.before, m.after, compare.Options{})
	require.NoError(b, err)
	b.ReportAllocs()
	b.ResetTimer()
	for b.Loop() {
		var w bytes.Buffer
		require.NoError(b, compare.WriteWorkbook(&w, run(), res, "out"))
		b.ReportMetric(float64(w.Len())/1e6, "MB")
	}
}
