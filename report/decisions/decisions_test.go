package decisions_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/report/decisions"
)

// read takes sheets written as lines with bars between the cells.
func read(sheets ...string) (report.Decided, []string) {
	var r decisions.Reader
	for i, s := range sheets {
		for n, line := range strings.Split(strings.TrimSpace(s), "\n") {
			cells := strings.Split(line, "|")
			for k := range cells {
				cells[k] = strings.TrimSpace(cells[k])
			}
			if !r.Row([]string{"Suspects", "Incomplete", "Third"}[i], n+1, cells) {
				break
			}
		}
	}
	decided, problems := r.Result("old.xlsx")
	var list []string
	for _, p := range problems {
		list = append(list, string(p.Severity)+" "+p.Error())
	}
	return decided, list
}

func TestReadByHeadings(t *testing.T) {
	decided, problems := read(`
		My notes, sorted anew | |
		Evidence then | mine | NOTE  | Listing key | Decision | Title | Since the decision
		e3f9a1c20     | x    | later | A-1         | order    | Turbo |
		e00000001     |      |       |             |          |       |
		              |      | note  | A-2
		e3f9a1c21     |      |       | A-3         | Test  Purchase`, `
		Listing key | Decision | Note | Evidence then
		B-1         | cleared  |      | 12`)
	assert.Equal(t, report.Decided{
		"A-1": {Word: "order", Note: "later", Then: "e3f9a1c20", Title: "Turbo"},
		"A-2": {Note: "note"},
		"A-3": {Word: "test purchase", Then: "e3f9a1c21"},
		"B-1": {Word: "cleared"},
	}, decided)
	assert.Empty(t, problems)
}

func TestWrongDecisionsNameTheirCell(t *testing.T) {
	decided, problems := read(`
		Listing key | Decision | Note | Evidence then
		A-1         | ordr     |      | e3f9a1c20
		A-2         | buy it   | mine | e3f9a1c20
		            | refuse   |      | e3f9a1c20
		A-3         | refuse   |      | e3f9a1c20`, `
		Listing key | Decision | Note | Evidence then
		A-3         | refuse   |      | e3f9a1c20
		A-3         | cleared  |      | e3f9a1c20`, `
		Listing key | Decision
		A-4         | ask`)
	assert.Equal(t, report.Decided{
		"A-2": {Note: "mine", Then: "e3f9a1c20"},
		"A-3": {Word: "refuse", Then: "e3f9a1c20"},
		"A-4": {Word: "ask"},
	}, decided)
	assert.Equal(t, []string{
		`partial old.xlsx (Suspects): row 2, column Decision: "ordr" is no word for a decision`,
		`partial old.xlsx (Suspects): row 3, column Decision: "buy it" is no word for a decision`,
		`partial old.xlsx (Suspects): row 4, column Listing key: a decision stands beside no listing key`,
		`partial old.xlsx (Incomplete): row 3, column Listing key: the listing has another decision in row 5 of sheet Suspects, which counts`,
		`partial old.xlsx (Third): row 1, column Note: the sheet has no column of this name`,
		`partial old.xlsx (Third): row 1, column Evidence then: the sheet has no column of this name`,
	}, problems)
}

// A remark that cannot be seen was not taken away: the decision stays marked.
func TestWithoutTheColumnOfRemarks(t *testing.T) {
	const cells = "A-1 | order | | e3f9a1c20 > e8b1d0042 order |"
	decided, _ := read("Listing key | Decision | Note | Evidence then | x\n" + cells)
	assert.Equal(t, "e3f9a1c20", decided["A-1"].Then)
	decided, _ = read("Listing key | Decision | Note | Evidence then | Since the decision\n" + cells)
	assert.Equal(t, "e8b1d0042", decided["A-1"].Then)
}

func TestWorkbookWithoutDecisions(t *testing.T) {
	decided, problems := read("a | b\n1 | 2")
	assert.Empty(t, decided)
	assert.Equal(t, []string{`refused old.xlsx: no sheet has the columns "Listing key" and "Decision"`}, problems)
}

// A decision carried over with changed evidence counts as taken anew when the
// person changes its word or takes the remark away.
func TestReadThen(t *testing.T) {
	for _, c := range []struct {
		cell, word string
		remarked   bool
		want       string
	}{
		{"e3f9a1c20", "order", false, "e3f9a1c20"},
		{"e3f9a1c20 > e8b1d0042 order", "order", true, "e3f9a1c20"},
		{"e3f9a1c20 > e8b1d0042 order", "order", false, "e8b1d0042"},
		{"e3f9a1c20 > e8b1d0042 order", "refuse", true, "e8b1d0042"},
		{"e3f9a1c20 > e8b1d0042 test purchase", "test purchase", true, "e3f9a1c20"},
		{"? > e8b1d0042 order", "order", true, ""},
		{"? > e8b1d0042 order", "order", false, "e8b1d0042"},
		{"", "order", false, ""},
		{"e3f9", "order", false, ""},
		{"e3f9a1c2g", "order", false, ""},
		{">", "order", false, ""},
	} {
		assert.Equal(t, c.want, report.ReadThen(c.cell, c.word, c.remarked), "%q %q %v", c.cell, c.word, c.remarked)
	}
}

func FuzzReader(f *testing.F) {
	f.Add("Listing key|Decision|Note|Evidence then\nA|order|x|e3f9a1c20 > e8b1d0042 order")
	f.Add("Decision|Listing key\n|")
	f.Fuzz(func(t *testing.T, s string) {
		decided, problems := func() (report.Decided, []listing.Problem) {
			var r decisions.Reader
			for n, line := range strings.Split(s, "\n") {
				if !r.Row("S", n+1, strings.Split(line, "|")) {
					break
				}
			}
			return r.Result("f")
		}()
		for key, d := range decided {
			assert.NotEmpty(t, key)
			assert.True(t, d.Word != "" || d.Note != "")
		}
		for _, p := range problems {
			assert.NotEmpty(t, p.Reason)
		}
	})
}
