// Package decisions reads a person's decisions back from a workbook that was
// edited and saved again. Sheets may have been renamed, sorted and filtered,
// columns moved and added: a row counts by the headings above it and by the key
// of its listing, never by its place.
package decisions

import (
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/report"
)

// searched is the number of rows of a sheet in which headings are looked for.
const searched = 60

// maxNote is the length of a note in runes.
const maxNote = 8000

// Reader takes the rows of a workbook, sheet by sheet, and gathers decisions.
// The zero value is ready to use.
type Reader struct {
	sheet    string
	columns  map[string]int // by heading; nil until the headings are found
	sheets   []string       // with headings
	decided  report.Decided
	at       map[string]spot
	problems []problem
}

type spot struct {
	sheet string
	row   int
}

type problem struct {
	spot
	column, raw, reason, hint string
}

// Row takes one row; number is 1 for the first. It returns false when the rest
// of the sheet is not wanted.
func (r *Reader) Row(sheet string, number int, cells []string) bool {
	if sheet != r.sheet {
		r.sheet, r.columns = sheet, nil
	}
	if r.columns == nil {
		r.columns = headings(cells)
		if r.columns != nil {
			r.sheets = append(r.sheets, sheet)
			for _, name := range []string{report.HeadNote, report.HeadThen} {
				if _, ok := r.columns[name]; !ok {
					r.problem(spot{sheet, number}, name, "", "the sheet has no column of this name", "its decisions are read without it")
				}
			}
		}
		return r.columns != nil || number < searched
	}
	r.take(spot{sheet, number}, func(name string) string {
		if i, ok := r.columns[name]; ok && i < len(cells) {
			return strings.TrimSpace(cells[i])
		}
		return ""
	})
	return true
}

// headings gives the columns of a row of headings, nil when it is none.
// The first column of a name counts.
func headings(cells []string) map[string]int {
	columns := map[string]int{}
	for i, c := range cells {
		if name := heading(c); name != "" {
			if _, ok := columns[name]; !ok {
				columns[name] = i
			}
		}
	}
	_, key := columns[report.HeadKey]
	_, decision := columns[report.HeadDecision]
	if !key || !decision {
		return nil
	}
	return columns
}

func heading(cell string) string {
	cell = strings.Join(strings.Fields(cell), " ")
	for _, name := range []string{report.HeadKey, report.HeadDecision, report.HeadNote, report.HeadSince, report.HeadThen, report.HeadTitle} {
		if strings.EqualFold(cell, name) {
			return name
		}
	}
	return ""
}

// take reads the decision of one row.
func (r *Reader) take(at spot, cell func(string) string) {
	key, word, note := report.DecisionKey(cell(report.HeadKey)), cell(report.HeadDecision), cell(report.HeadNote)
	if word == "" && note == "" {
		return
	}
	if key == "" {
		r.problem(at, report.HeadKey, word+" "+note, "a decision stands beside no listing key", "copy the key of the listing into the row")
		return
	}
	d := report.Decision{Note: listing.Shorten(note, maxNote), Title: cell(report.HeadTitle)}
	if d.Note != note {
		r.problem(at, report.HeadNote, note, fmt.Sprintf("the note is longer than %d characters and was cut", maxNote), "")
	}
	if d.Word = known(word); word != "" && d.Word == "" {
		r.problem(at, report.HeadDecision, word, fmt.Sprintf("%q is no word for a decision", listing.Shorten(word, 40)),
			"the words are "+strings.Join(report.DecisionWords, ", "))
		if note == "" {
			return
		}
	}
	_, remarks := r.columns[report.HeadSince] // without the column nobody took a remark away
	d.Then = report.ReadThen(cell(report.HeadThen), d.Word, !remarks || cell(report.HeadSince) != "")
	r.keep(key, at, d)
}

// keep stores a decision; of two different ones the first counts.
func (r *Reader) keep(key string, at spot, d report.Decision) {
	if r.decided == nil {
		r.decided, r.at = report.Decided{}, map[string]spot{}
	}
	before, ok := r.decided[key]
	if !ok {
		r.decided[key], r.at[key] = d, at
		return
	}
	if before.Word != d.Word || before.Note != d.Note {
		first := r.at[key]
		r.problem(at, report.HeadKey, key, fmt.Sprintf("the listing has another decision in row %d of sheet %s, which counts", first.row, first.sheet),
			"keep one of the two rows")
	}
}

func known(word string) string {
	word = strings.Join(strings.Fields(word), " ")
	i := slices.IndexFunc(report.DecisionWords, func(w string) bool { return strings.EqualFold(w, word) })
	if i < 0 {
		return ""
	}
	return report.DecisionWords[i]
}

func (r *Reader) problem(at spot, column, raw, reason, hint string) {
	r.problems = append(r.problems, problem{at, column, strings.TrimSpace(raw), reason, hint})
}

// Result gives the decisions, and what was wrong with them as problems of the
// file, in the order of the workbook.
func (r *Reader) Result(file string) (report.Decided, []listing.Problem) {
	var list []listing.Problem
	if len(r.sheets) == 0 {
		list = append(list, listing.Problem{Severity: listing.Refused, File: file,
			Reason: fmt.Sprintf("no sheet has the columns %q and %q", report.HeadKey, report.HeadDecision),
			Hint:   "name a workbook of an earlier run, with its headings"})
	}
	for _, p := range r.problems {
		list = append(list, listing.Problem{Severity: listing.Partial, File: file, Entry: p.sheet,
			Place: listing.Cell(p.row, p.column), Raw: listing.Shorten(p.raw, listing.RawLimit), Reason: p.reason, Hint: p.hint})
	}
	return r.decided, list
}
