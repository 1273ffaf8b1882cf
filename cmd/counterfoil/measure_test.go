package main

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/fixtures/export"
	"counterfoil/parse/listing"
	"counterfoil/parse/table"
	"counterfoil/rules"
	"counterfoil/rules/calibrate"
	"counterfoil/rules/settings"
)

// TestMeasureExport prints how the rules do on an invented export of 20,000
// rows with planted copies and hard negatives: average precision, precision at
// 50, and for each kind and rule how often it is raised. The rows are invented
// by the same project, so the figures say how the rules behave on this model,
// not on a real market. The floors stand under what was reached.
func TestMeasureExport(t *testing.T) {
	if testing.Short() {
		t.Skip("20,000 rows")
	}
	const rows = 20_000
	kinds := map[string]export.Kind{}
	var csv bytes.Buffer
	require.NoError(t, export.Write(&csv, rows, 2026, func(id string, k export.Kind) { kinds[id] = k }))
	batch := readExport(t, &csv, func(l *listing.Listing) {
		l.Photos, l.PhotosKnown = export.Photos(l.Key, l.Value(listing.PartNumber), kinds[l.Key])
	})
	result, err := rules.Audit(context.Background(), batch, rules.Options{
		AsOf:  time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC),
		Rates: []settings.Rate{{Date: time.Date(2026, 9, 1, 0, 0, 0, 0, time.UTC), Base: "EUR", Quote: "PLN", Rate: 4.3, Source: "invented"}},
	})
	require.NoError(t, err)

	m := newMeasure(result, kinds)
	t.Log("\n" + m.table())
	assert.GreaterOrEqual(t, m.precision, 0.95, "average precision")
	assert.GreaterOrEqual(t, m.at50, 1.0, "precision at 50")
	m.assertHonestLow(t)
}

// readExport reads an invented export; finish adds what a table cannot hold.
func readExport(t *testing.T, csv io.Reader, finish func(l *listing.Listing)) (batch []*listing.Listing) {
	res := table.Stream(csv, "export.csv", table.Options{}, func(l *listing.Listing) {
		l.Key = l.Value(listing.ListingID)
		finish(l)
		batch = append(batch, l)
	})
	require.Empty(t, res.Problems)
	return batch
}

type kindCount struct{ all, suspect, top int }

type ruleCount struct {
	id            string
	copies, other int
}

type measure struct {
	precision, at50 float64
	kinds           map[export.Kind]*kindCount
	rules           []ruleCount
}

func newMeasure(res *rules.Result, kinds map[string]export.Kind) *measure {
	m := &measure{kinds: map[export.Kind]*kindCount{}}
	var relevant []bool
	var scores []float64
	byRule := map[string]*ruleCount{}
	for _, j := range res.Ranked {
		k := kinds[j.Listing.Key]
		relevant = append(relevant, k.IsCopy())
		scores = append(scores, -float64(j.Rank))
		if j.Rank <= 50 && k.IsCopy() {
			m.at50 += 1.0 / 50
		}
		c := m.kinds[k]
		if c == nil {
			c = &kindCount{}
			m.kinds[k] = c
		}
		c.all++
		if j.Outcome == rules.DeceptionSuspected || j.Outcome == rules.CopyOpenlySold {
			c.suspect++
		}
		if j.Support == rules.SupportStrong || j.Support == rules.SupportVeryStrong {
			c.top++
		}
		for _, f := range j.Findings {
			if f.WeightDB <= 0 {
				continue
			}
			r := byRule[f.Rule.ID]
			if r == nil {
				r = &ruleCount{id: f.Rule.ID}
				byRule[f.Rule.ID] = r
			}
			if k.IsCopy() {
				r.copies++
			} else {
				r.other++
			}
		}
	}
	m.precision = calibrate.AveragePrecision(relevant, scores)
	for _, r := range byRule {
		m.rules = append(m.rules, *r)
	}
	slices.SortFunc(m.rules, func(a, b ruleCount) int {
		return cmp.Or(cmp.Compare(b.other, a.other), cmp.Compare(a.id, b.id))
	})
	return m
}

// assertHonestLow fails when more than 2 % of an honest kind reach the top
// bands.
func (m *measure) assertHonestLow(t *testing.T) {
	for kind, c := range m.kinds {
		if !kind.IsCopy() {
			assert.LessOrEqual(t, c.top, c.all*2/100, "%s in the top bands", kind)
		}
	}
}

func (m *measure) table() string {
	var b strings.Builder
	fmt.Fprintf(&b, "average precision %.4f, precision at 50 %.2f\n\n", m.precision, m.at50)
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "kind\trows\tsuspect\tstrong or above\t")
	var names []export.Kind
	for k := range m.kinds {
		names = append(names, k)
	}
	slices.Sort(names)
	for _, k := range names {
		c := m.kinds[k]
		fmt.Fprintf(w, "%s\t%d\t%.1f %%\t%.1f %%\t\n", k, c.all, 100*float64(c.suspect)/float64(c.all), 100*float64(c.top)/float64(c.all))
	}
	fmt.Fprintln(w, "\t\t\t\t")
	fmt.Fprintln(w, "rule\ton copies\ton others\t\t")
	for _, r := range m.rules {
		fmt.Fprintf(w, "%s\t%d\t%d\t\t\n", r.id, r.copies, r.other)
	}
	w.Flush()
	return b.String()
}
