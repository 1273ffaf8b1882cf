package workbook

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/report"
)

var runColumns = []column{
	{"Kind", 16, strong},
	{"What", 44, wrapped},
	{"Place", 32, wrapped},
	{"Detail", 60, wrapped},
	{"What to do", 44, wrapped},
	{"SHA-256", 34, ident},
	{"Size (bytes)", 12, whole},
	{"File modified", 20, plain},
	{"Listings", 9, whole},
}

func (b *book) account() task {
	s := b.open(sheetRun, layout{}, runColumns,
		"What was read, what was not, and with which settings. Three times are kept apart: when the file was modified, when the input says it was captured, and the run time.")
	return task{s, func() { b.addRun(s) }, nil}
}

func (b *book) addRun(s *sheet) {
	run := b.run
	given := "the clock's time at the start"
	if run.AsOfGiven {
		given = "given by the user"
	}
	s.add("run", "Tool and version", nil, "Counterfoil "+run.Version)
	s.add("run", "Run time", nil, instant(run.AsOf)+" UTC, "+given)
	s.add("run", "Rule set", nil, fmt.Sprintf("%d rules", len(b.res.Rules)), nil, run.RuleSetHash)
	s.add("run", "Currency of the report", nil, b.res.Facts.Currency)
	if b.res.Facts.Learned {
		s.add("run", "Makers' names", nil, "learned from the brand fields of the batch, since no maker profiles were given", "Give profiles with --makers.")
	}
	for _, w := range report.Warnings(run, b.res) {
		s.add("warning", nil, nil, w)
	}
	for _, f := range run.Settings {
		s.add("setting", f.Role, f.File, nil, nil, f.SHA256, f.Size)
	}
	b.addProblems(s)
	b.addGone(s)
	for i := range run.Captures {
		if b.full(s, len(run.Captures)-i, "inputs") {
			break
		}
		c := &run.Captures[i]
		var listings any
		if c.Listings > 0 || c.Kind != "photo" {
			listings = c.Listings
		}
		s.add("input", report.FileText(c.File, c.Entry), nil, c.Kind, nil, c.SHA256, c.Size, instant(c.Modified), listings)
	}
	for i, m := range run.ColumnMaps {
		if b.full(s, len(run.ColumnMaps)-i, "columns") {
			break
		}
		field := m.Field
		if field == "" {
			field = "not used"
		}
		s.add("column", m.File, m.Heading, "read as: "+field, m.How)
	}
	for _, c := range report.Cautions {
		s.add("caution", c.Title, nil, c.Text)
	}
}

// addProblems lists what was refused before what was read in part.
func (b *book) addProblems(s *sheet) {
	for _, severity := range []listing.Severity{listing.Refused, listing.Partial, listing.Notice} {
		for i := range b.run.Problems {
			p := &b.run.Problems[i]
			if p.Severity != severity {
				continue
			}
			if b.full(s, len(b.run.Problems)-i, "problems") {
				return
			}
			place := p.Place.String()
			if p.Field != listing.NoField && p.Place.Row == 0 {
				place = join(place, p.Field.String())
			}
			detail := p.Reason
			if p.Raw != "" && !strings.Contains(p.Reason, p.Raw) {
				detail += "\nas read: " + p.Raw
			}
			s.add(severityText(severity), report.FileText(p.File, p.Entry), place, detail, report.Sentence(p.Hint))
		}
	}
}

// addGone lists the decisions on listings that are not in this run.
func (b *book) addGone(s *sheet) {
	gone := b.run.Decided.Gone(b.res)
	for i, g := range gone {
		if b.full(s, len(gone)-i, "decisions on listings that are gone") {
			return
		}
		detail := cmp.Or(g.Word, "no decision")
		if g.Note != "" {
			detail += ": " + g.Note
		}
		s.add("listing gone", join(g.Title, g.Key), nil, detail, "The listing of this decision is not in the input any more.")
	}
}

// full says on the sheet that no more rows fit.
func (b *book) full(s *sheet, left int, what string) bool {
	if s.row < maxRunRows {
		return false
	}
	s.add("warning", nil, nil, fmt.Sprintf("%d more %s are not shown here; run.json holds all", left, what))
	return true
}

func severityText(s listing.Severity) string {
	switch s {
	case listing.Refused:
		return "refused"
	case listing.Partial:
		return "read in part"
	}
	return "notice"
}

func join(a, b string) string {
	if a == "" {
		return b
	}
	return a + ", " + b
}

func instant(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format("2006-01-02 15:04:05")
}
