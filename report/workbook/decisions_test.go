package workbook_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	grid "counterfoil/parse/table"
	"counterfoil/report"
	"counterfoil/report/decisions"
	"counterfoil/report/internal/sample"
	"counterfoil/report/workbook"
	"counterfoil/rules"
)

// readBack gives the decisions of a workbook, and what was wrong with them.
func readBack(t *testing.T, data []byte) (report.Decided, []string) {
	t.Helper()
	var r decisions.Reader
	require.NoError(t, grid.StreamGrid(bytes.NewReader(data), r.Row))
	decided, problems := r.Result("old.xlsx")
	var list []string
	for _, p := range problems {
		list = append(list, p.Error())
	}
	return decided, list
}

// decide fills in cells of a workbook by sheet, listing key and heading.
func decide(t *testing.T, data []byte, cells ...[4]string) []byte {
	t.Helper()
	f := open(t, data)
	for _, c := range cells {
		rows, err := f.GetRows(c[0])
		require.NoError(t, err)
		var heads []string
		done := false
		for n, r := range rows {
			if slices.Contains(r, "Listing key") {
				heads = r
			}
			if heads == nil || !slices.Contains(r, c[1]) {
				continue
			}
			cell, err := excelize.CoordinatesToCellName(slices.Index(heads, c[2])+1, n+1)
			require.NoError(t, err)
			require.NoError(t, f.SetCellStr(c[0], cell, c[3]))
			done = true
		}
		require.True(t, done, "%v", c)
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

// shuffled rewrites the sheets with decisions as a person may leave them: rows
// in reverse, columns in reverse, one added, the sheet renamed, rows hidden by
// a filter.
func shuffled(t *testing.T, data []byte) []byte {
	t.Helper()
	f := open(t, data)
	for _, name := range []string{"Suspects", "Incomplete"} {
		rows, err := f.GetRows(name)
		require.NoError(t, err)
		head := slices.IndexFunc(rows, func(r []string) bool { return slices.Contains(r, "Listing key") })
		width := len(rows[head])
		lines := append([][]string{rows[head]}, slices.Clone(rows[head+1:])...)
		slices.Reverse(lines[1:])
		require.NoError(t, f.DeleteSheet(name))
		mine := "My " + name
		_, err = f.NewSheet(mine)
		require.NoError(t, err)
		for n, r := range lines {
			line := make([]any, width+1)
			line[0] = "added"
			for i, v := range r {
				line[width-i] = v
			}
			cell, _ := excelize.CoordinatesToCellName(1, n+3)
			require.NoError(t, f.SetSheetRow(mine, cell, &line))
			if n == 1 {
				require.NoError(t, f.SetRowVisible(mine, n+3, false))
			}
		}
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

func decidedWorkbook(t *testing.T) []byte {
	t.Helper()
	data := write(t, sample.Result(sample.Offers()), sample.Run(), workbook.Options{Dir: "out"})
	return decide(t, data,
		[4]string{"Suspects", "L1", "Decision", "report"}, [4]string{"Suspects", "L1", "Note", "=1+1, sent to counsel"},
		[4]string{"Suspects", "L4", "Decision", "order"}, [4]string{"Suspects", "L5", "Note", "call on Monday"},
		[4]string{"Incomplete", "L7", "Decision", "ask"})
}

func TestDecisionsComeBack(t *testing.T) {
	data := decidedWorkbook(t)
	res := sample.Result(sample.Offers())
	mark := func(rank int) string { return report.EvidenceMark(res.Ranked[rank-1]) }
	want := report.Decided{
		"L1": {Word: "report", Note: "=1+1, sent to counsel", Then: mark(1), Title: "KESTREL turbocharger 712290-0003 genuine, new"},
		"L4": {Word: "order", Then: mark(4), Title: "KESTREL 712290-0003"},
		"L5": {Note: "call on Monday", Then: mark(5), Title: "KESTREL 712290-0003 new"},
		"L7": {Word: "ask", Then: mark(7), Title: "turbo"},
	}
	for name, d := range map[string][]byte{"as written": data, "edited": shuffled(t, data)} {
		got, problems := readBack(t, d)
		assert.Equal(t, want, got, name)
		assert.Empty(t, problems, name)
	}
}

// A run with other evidence marks the decision; the mark stays until the person
// decides anew.
func TestDecisionsAreHeldAgainstTheEvidence(t *testing.T) {
	run := sample.Run()
	run.Decided, _ = readBack(t, decidedWorkbook(t))
	run.Decided["gone-1"] = report.Decision{Word: "refuse", Note: "too dear", Title: "An offer of before"}
	offers := sample.Offers()
	offers[3].DB, offers[3].Outcome = 12, rules.DeceptionSuspected // L4
	res := sample.Result(offers)
	data := write(t, res, run, workbook.Options{Dir: "out"})

	f := open(t, data)
	suspects := byKey(t, f, "Suspects")
	assert.Equal(t, []string{"report", "=1+1, sent to counsel", ""}, of(suspects["L1"], "Decision", "Note", "Since the decision"))
	assert.Equal(t, []string{"order", "", "evidence changed since"}, of(suspects["L4"], "Decision", "Note", "Since the decision"))
	assert.Equal(t, []string{"", "call on Monday", ""}, of(suspects["L5"], "Decision", "Note", "Since the decision"))
	assert.Equal(t, []string{"ask", "", ""}, of(byKey(t, f, "Incomplete")["L7"], "Decision", "Note", "Since the decision"))
	assert.Contains(t, table(t, f, "Run", "Kind"), map[string]string{"Kind": "listing gone", "What": "An offer of before, gone-1", "Place": "",
		"Detail": "refuse: too dear", "What to do": "The listing of this decision is not in the input any more."})
	first, err := f.GetRows("Read first")
	require.NoError(t, err)
	assert.Contains(t, first, []string{"Decisions", "4", "decisions and notes were taken over from an earlier workbook. For 1 of them the evidence is not the one they were taken on: column 'Since the decision'. Decide anew, or clear that cell to keep the decision. 1 more concern listings that are gone: sheet Run."})

	again, problems := readBack(t, data)
	assert.Empty(t, problems)
	assert.Equal(t, run.Decided["L4"], again["L4"], "left as it is, it stays marked")
	now := report.EvidenceMark(res.Ranked[3])
	again, _ = readBack(t, decide(t, data, [4]string{"Suspects", "L4", "Decision", "refuse"}))
	assert.Equal(t, now, again["L4"].Then, "decided anew")
	again, _ = readBack(t, decide(t, data, [4]string{"Suspects", "L4", "Since the decision", ""}))
	assert.Equal(t, now, again["L4"].Then, "kept knowingly")
}

// The way through another spreadsheet program: LibreOffice rewrites the whole
// file.
func TestDecisionsThroughLibreOffice(t *testing.T) {
	tool, _ := exec.LookPath("soffice")
	need(t, tool != "", "absent: soffice; install LibreOffice Calc")
	dir := t.TempDir()
	for name, data := range map[string][]byte{"plain": decidedWorkbook(t), "edited": shuffled(t, decidedWorkbook(t))} {
		file := filepath.Join(dir, name+".xlsx")
		require.NoError(t, os.WriteFile(file, data, 0o666))
		out, err := exec.Command(tool, "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--headless",
			"--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", filepath.Join(dir, "saved"), file).CombinedOutput()
		require.NoError(t, err, "%s", out)
		saved, err := os.ReadFile(filepath.Join(dir, "saved", name+".xlsx"))
		require.NoError(t, err)
		want, _ := readBack(t, data)
		require.Len(t, want, 4)
		got, problems := readBack(t, saved)
		assert.Equal(t, want, got, name)
		assert.Empty(t, problems, name)
	}
}

// byKey reads a sheet by listing key.
func byKey(t *testing.T, f *excelize.File, name string) map[string]map[string]string {
	t.Helper()
	m := map[string]map[string]string{}
	for _, r := range table(t, f, name, "Rank") {
		m[r["Listing key"]] = r
	}
	return m
}

func of(row map[string]string, heads ...string) []string {
	list := make([]string, len(heads))
	for i, h := range heads {
		list[i] = row[h]
	}
	return list
}
