package listing

import (
	"encoding/json"
	"strings"
	"testing"
)

// A problem comes back as it was, wherever it stands.
func TestProblemLines(t *testing.T) {
	for _, p := range []Problem{
		{Severity: Refused, File: "in/a.csv", Place: Cell(4, ""), Raw: "A-1,\t900", Reason: "2 cells, the header has 10", Hint: "quote cells"},
		{Severity: Partial, File: "in/a.csv", Place: Cell(4, "Preis, netto"), Field: Price, Raw: "12,5O", Reason: `"12,5O" is not a number`},
		{Severity: Notice, File: "in/b.html", Entry: "x_files/1.jpg", Place: Place{Source: "page", Path: "main > h1", Start: 120, End: 150}, Reason: "odd"},
		{Severity: Refused, File: "in/c.zip", Entry: "deep.zip", Reason: "not opened"},
	} {
		data, err := json.Marshal(ExtractProblem{ProblemRecord, ToProblemLine(&p)})
		if err != nil {
			t.Fatal(err)
		}
		back, err := FromProblemLine(data)
		if err != nil || back != p {
			t.Errorf("%s\ncame back as %+v, %v", data, back, err)
		}
	}
}

// What no extract has written is refused, and nothing gets longer than this tool
// makes it.
func TestForeignProblemLines(t *testing.T) {
	for line, want := range map[string]string{
		`{"record":"problem"}`:                                                                `needs "file" and "reason"`,
		`{"record":"problem","file":"a","reason":"b"}`:                                        `unknown severity ""`,
		`{"record":"problem","file":"a","reason":"b","severity":"deadly"}`:                    `unknown severity "deadly"`,
		`{"record":"problem","file":"a","reason":"b","severity":"refused","field":"weather"}`: `unknown field "weather"`,
		`{"record":"problem","file":1}`:                                                       "not a problem of an extract",
	} {
		if _, err := FromProblemLine([]byte(line)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", line, err, want)
		}
	}
	long := strings.Repeat("x", 1<<20)
	p, err := FromProblemLine([]byte(`{"record":"problem","severity":"refused","file":"` + long + `","entry":"` + long + `","place":"` + long + `","raw":"` + long + `","reason":"` + long + `","hint":"` + long + `"}`))
	if err != nil {
		t.Fatal(err)
	}
	if n := len(p.File) + len(p.Entry) + len(p.Place.String()) + len(p.Raw) + len(p.Reason) + len(p.Hint); n > 20_000 {
		t.Errorf("%d bytes are kept", n)
	}
}
