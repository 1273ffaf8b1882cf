package report_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/report"
	"counterfoil/report/internal/sample"
	"counterfoil/rules"
	"counterfoil/rules/settings"
)

func TestSuspectsLine(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.WriteSuspects(&b, sample.Run(), sample.Result(sample.Offers())))
	lines := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
	require.Len(t, lines, 7)

	// The documented keys, in the documented order.
	order := []string{"rank", "listing", "file", "sha256", "row", "url", "title", "seller", "part", "condition", "claim",
		"landed", "outcome", "evidence_db", "support", "coverage", "findings", "not_assessed"}
	at := 0
	for _, key := range order {
		i := strings.Index(lines[0][at:], `"`+key+`":`)
		require.GreaterOrEqual(t, i, 0, key)
		at += i
	}
	var first struct {
		Rank     int
		Landed   struct{ Amount, Currency string }
		Findings []struct {
			Rule     string
			Evidence []struct{ Place, Quote string }
		}
		NotAssessed []struct{ Rule, Needs string } `json:"not_assessed"`
	}
	require.NoError(t, json.Unmarshal([]byte(lines[0]), &first))
	assert.Equal(t, "312.40", first.Landed.Amount)
	assert.Equal(t, "EUR", first.Landed.Currency)
	assert.Equal(t, "serial-reuse", first.Findings[0].Rule)
	assert.Equal(t, "row 2, column serial_number", first.Findings[0].Evidence[0].Place)
	assert.Equal(t, "view-plate", first.NotAssessed[0].Rule)
	assert.Equal(t, "to see which photos the listing has", first.NotAssessed[0].Needs)
	assert.Contains(t, lines[2], "Fell & Sons", "no HTML escapes")
	assert.Contains(t, lines[3], `"findings":[]`, "an empty list is no null")
	assert.Contains(t, lines[6], `"landed":null`)
}

func TestRunFile(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.WriteRun(&b, sample.Run(), sample.Result(sample.Offers())))
	var f struct {
		Times struct {
			Run      string                       `json:"as_of"`
			Given    bool                         `json:"as_of_given"`
			Captured struct{ First, Last string } `json:"capture_time_stated"`
			Modified struct{ First string }       `json:"file_modified"`
		}
		Counts   report.Counts
		Inputs   []struct{ File, SHA256, Kind string }
		Problems []struct{ Severity, Place, Raw, Reason string }
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &f))
	assert.Equal(t, "2026-03-01T09:30:00Z", f.Times.Run)
	assert.True(t, f.Times.Given)
	assert.Equal(t, "2026-02-01T08:00:00Z", f.Times.Captured.First)
	assert.Equal(t, "2026-02-07T08:00:00Z", f.Times.Captured.Last)
	assert.Equal(t, "2026-03-01T08:30:00Z", f.Times.Modified.First)
	assert.Equal(t, []report.Count{{Of: "file", N: 1}, {Of: "entry or photo"}, {Of: "row"}}, f.Counts.Refused)
	assert.Equal(t, 1, f.Counts.Partial)
	assert.Equal(t, 2, f.Counts.Unread())
	assert.Equal(t, []report.Count{{Of: rules.DeceptionSuspected, N: 2}, {Of: rules.CopyOpenlySold, N: 1},
		{Of: rules.TooIncomplete, N: 1}, {Of: rules.NothingFound, N: 3}}, f.Counts.Outcomes)
	assert.Equal(t, "row 8, column price", f.Problems[1].Place)
	assert.Equal(t, "12,5O", f.Problems[1].Raw)
}

func TestRuleSetHash(t *testing.T) {
	list := []*rules.Rule{sample.Serial, sample.Price}
	h := report.RuleSetHash(list, nil)
	assert.Len(t, h, 64)
	assert.Equal(t, h, report.RuleSetHash([]*rules.Rule{sample.Price, sample.Serial}, nil), "the order does not count")
	assert.NotEqual(t, h, report.RuleSetHash(list, settings.Weights{"serial-reuse": 13}))
}

func TestWords(t *testing.T) {
	res := sample.Result(sample.Offers())
	assert.Equal(t, "312.40 EUR, 39 % of the median of 5 sellers (weak)", report.PriceText(res.Ranked[0].Market()))
	assert.Equal(t, "not comparable: no price was observed", report.PriceText(res.Ranked[6].Market()))
	assert.Equal(t, []string{"The serial K20418733 also stands at Ostmark Parts.", "One unit costs 312.40 EUR landed, 38 % of the median."},
		report.Reasons(res.Ranked[0]))
	assert.Equal(t, []string{"Ask for a photo of the plate with today's date beside it.", "Ask what the price includes.",
		"Also ask: photos of the unit itself."}, report.AskList(res.Ranked[0]))
}

// A family's second finding counts half, so a lighter one of another family
// may add more.
func TestReasonsByWhatTheyAdd(t *testing.T) {
	serial := func(text string, db float64) rules.Finding {
		return rules.Finding{Rule: sample.Serial, Statement: text, WeightDB: db}
	}
	j := &rules.Judged{Findings: []rules.Finding{serial("a", 14), serial("b", 12), {Rule: sample.Price, Statement: "c", WeightDB: 8}, serial("d", -3)}}
	assert.Equal(t, []string{"A.", "C.", "B."}, report.Reasons(j))
}

func TestVisible(t *testing.T) {
	for in, want := range map[string]string{
		"plain":             "plain",
		"a\x00b":            "a⟨U+0000⟩b",
		"a\x1b[31mred":      "a⟨U+001B⟩[31mred",
		"\u202egnp.exe":     "⟨U+202E⟩gnp.exe",
		"Kes\u200btrel":     "Kes⟨U+200B⟩trel",
		"Kes\u200dtrel":     "Kes⟨U+200D⟩trel",
		"👨\u200d🔧":          "👨\u200d🔧",
		"line\r\nnext\rend": "line\nnext\nend",
		"bad\xff":           "bad\uFFFD",
		"原装 涡轮":             "原装 涡轮",
	} {
		assert.Equal(t, want, report.Visible(in), "%q", in)
	}
}

func FuzzVisible(f *testing.F) {
	for _, s := range []string{"", "a\r\nb", "\u202e", "Kes\u200dtrel", "\xff\x00", "👨\u200d🔧"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v := report.Visible(s)
		require.True(t, utf8.ValidString(v))
		require.Equal(t, v, report.Visible(v), "what is visible stays as it is")
		for _, r := range v {
			if unicode.IsControl(r) {
				require.Contains(t, "\n\t", string(r))
			}
			require.False(t, r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069)
		}
	})
}

func TestWidth(t *testing.T) {
	assert.Equal(t, 5, report.Width("turbo"))
	assert.Equal(t, 4, report.Width("原装"))
	assert.Equal(t, 1, report.Width("e\u0301"))
}

func TestSummary(t *testing.T) {
	offers := sample.Offers()
	offers[0].Title = "KESTREL \x1b]0;owned\a turbo \u202e with a title that is far longer than the line of a terminal can be, whoever looks at it"
	res := sample.Result(offers)
	for _, width := range []int{20, 80, 120} {
		var b bytes.Buffer
		require.NoError(t, report.Summary(&b, res, sample.Run(), width))
		out := b.String()
		assert.NotContains(t, out, "\x1b")
		assert.NotContains(t, out, "\u202e")
		assert.Contains(t, out, "Examined 7 listings from 1 file.")
		assert.Contains(t, out, "2 deception suspected, 1 copy openly sold, 1 too incomplete to judge, 3 nothing found.")
		assert.Contains(t, out, "Not read, or not in full: 2.")
		assert.Contains(t, out, "Report in out.")
		for line := range strings.SplitSeq(out, "\n") {
			if strings.Contains(line, "KESTREL") {
				assert.LessOrEqual(t, report.Width(line), max(width, 60), line)
			}
		}
	}
}

func TestSummaryWithoutSuspects(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.Summary(&b, sample.Result(sample.Offers()[3:]), sample.Run(), 80))
	assert.Contains(t, b.String(), "No listing stands out in what was supplied. That clears none of them.")
}

func text(name, s string) report.File {
	return report.File{Name: name, Write: func(w io.Writer) error { _, err := io.WriteString(w, s); return err }}
}

func readAll(t *testing.T, dir string) map[string]string {
	t.Helper()
	got := map[string]string{}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		got[e.Name()] = string(data)
	}
	return got
}

func TestWriteReplacesTheSet(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "out")
	require.NoError(t, report.Write(dir, text("a", "1"), text("b", "1")))
	require.NoError(t, report.Write(dir, text("a", "2"), text("b", "2")))
	assert.Equal(t, map[string]string{"a": "2", "b": "2"}, readAll(t, dir))
}

func TestFailedWriteLeavesThePreviousSet(t *testing.T) {
	boom := errors.New("boom")
	failing := report.File{Name: "b", Write: func(w io.Writer) error {
		io.WriteString(w, strings.Repeat("x", 1<<20))
		return boom
	}}
	dir := t.TempDir()
	require.NoError(t, report.Write(dir, text("a", "1"), text("b", "1")))
	err := report.Write(dir, text("a", "2"), failing)
	require.ErrorIs(t, err, boom)
	var we *report.WriteError
	require.ErrorAs(t, err, &we)
	assert.Equal(t, filepath.Join(dir, "b"), we.File)
	assert.Contains(t, we.Hint, "unchanged")
	assert.Equal(t, map[string]string{"a": "1", "b": "1"}, readAll(t, dir))
}

func TestFailedRenameIsUndone(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, report.Write(dir, text("a", "1")))
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "c", "mine"), 0o777))
	err := report.Write(dir, text("a", "2"), text("b", "2"), text("c", "2"))
	require.ErrorContains(t, err, "not a file")
	assert.DirExists(t, filepath.Join(dir, "c", "mine"), "a folder of the user's is never touched")
	require.NoError(t, os.RemoveAll(filepath.Join(dir, "c")))
	assert.Equal(t, map[string]string{"a": "1"}, readAll(t, dir), "a is back, b is gone, nothing is left over")
}

func TestWriteWithoutPlace(t *testing.T) {
	name := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(name, nil, 0o666))
	err := report.Write(filepath.Join(name, "out"), text("a", "1"))
	var we *report.WriteError
	require.ErrorAs(t, err, &we)
	assert.Contains(t, we.Hint, "--out")
}
