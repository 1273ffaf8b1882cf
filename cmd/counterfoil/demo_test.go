package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/rules/calibrate"
)

// Source: the example in scikit-learn's documentation of
// sklearn.metrics.average_precision_score.
func TestAveragePrecisionAgainstScikitLearn(t *testing.T) {
	ap := calibrate.AveragePrecision([]bool{false, false, true, true}, []float64{.1, .4, .35, .8})
	assert.InDelta(t, 0.8333, ap, 0.00005)
}

type ranked struct {
	Rank     int     `json:"rank"`
	Listing  string  `json:"listing"`
	Outcome  string  `json:"outcome"`
	Evidence float64 `json:"evidence_db"`
}

// auditDemo runs the README's command and gives the ranking and what each
// listing was planted as.
func auditDemo(t *testing.T, extra ...string) (list []ranked, planted map[string]string) {
	root := filepath.Join("..", "..")
	out := filepath.Join(t.TempDir(), "demo-audit")
	var stdout, stderr bytes.Buffer
	args := append([]string{"audit", filepath.Join(root, "fixtures/demo"), "--out", out, "--as-of", "2026-10-01"}, extra...)
	code := run(context.Background(), args, &stdout, &stderr)
	require.Equal(t, exitDone, code, stderr.String())

	f, err := os.Open(filepath.Join(out, "suspects.ndjson"))
	require.NoError(t, err)
	defer f.Close()
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<24)
	for lines.Scan() {
		var r ranked
		require.NoError(t, json.Unmarshal(lines.Bytes(), &r))
		list = append(list, r)
	}
	require.NoError(t, lines.Err())

	truth, err := os.Open(filepath.Join(root, "fixtures/demogen/truth.csv"))
	require.NoError(t, err)
	defer truth.Close()
	rows, err := csv.NewReader(truth).ReadAll()
	require.NoError(t, err)
	column := slices.Index(rows[0], "planted")
	planted = map[string]string{}
	for _, row := range rows[1:] {
		planted[row[0]] = row[column]
	}
	return list, planted
}

// The demo is invented, so this measures only that the program still does on
// it what the README says. The floors stand a little under what was reached.
func TestDemoRanking(t *testing.T) {
	settings := filepath.Join("..", "..", "fixtures", "settings")
	full := []string{"--currency", "EUR"}
	for option, file := range map[string]string{"makers": "makers.yaml", "reference": "reference.csv",
		"rates": "rates.csv", "equivalents": "equivalents.csv", "weights": "weights.yaml", "columns": "columns.yaml"} {
		full = append(full, "--"+option, filepath.Join(settings, file))
	}
	for _, c := range []struct {
		name      string
		args      []string
		precision float64 // average precision at least
		flagged   int     // honest listings called suspect, at most
	}{
		{"without settings", nil, 0.98, 5},
		{"with all settings", full, 0.99, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			list, planted := auditDemo(t, c.args...)
			var relevant []bool
			var scores []float64
			flagged := 0
			for _, r := range list {
				what, known := planted[r.Listing]
				assert.True(t, known, "%s is not in the truth file", r.Listing)
				isCopy := what == "copy" || what == "open-copy"
				relevant = append(relevant, isCopy)
				scores = append(scores, -float64(r.Rank))
				if !isCopy && r.Outcome == "deception-suspected" {
					flagged++
					t.Logf("rank %d, %.1f dB: %s, planted as %s", r.Rank, r.Evidence, r.Listing, what)
				}
				if what == "open-copy" {
					assert.Equal(t, "copy-openly-sold", r.Outcome, r.Listing)
				}
				if what == "aftermarket" {
					assert.NotEqual(t, "deception-suspected", r.Outcome, "%s: honest aftermarket", r.Listing)
				}
			}
			ap := calibrate.AveragePrecision(relevant, scores)
			t.Logf("average precision %.4f, %d others called suspect", ap, flagged)
			assert.GreaterOrEqual(t, ap, c.precision)
			assert.LessOrEqual(t, flagged, c.flagged)
		})
	}
}
