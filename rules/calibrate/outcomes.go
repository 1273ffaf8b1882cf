package calibrate

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"counterfoil/parse/listing/strict"
)

// The words for an outcome.
const (
	ConfirmedCopy    = "confirmed copy"
	ConfirmedGenuine = "confirmed genuine"
	OutcomeUnknown   = "unknown"
)

// Outcome is what a person confirmed about a listing.
type Outcome struct {
	Listing string // its key, as in suspects.ndjson
	Outcome string // one of the words above
	Date    time.Time
	Basis   string // what the confirmation rests on
	Line    int
}

var (
	outcomeWords   = []string{ConfirmedCopy, ConfirmedGenuine, OutcomeUnknown}
	outcomeColumns = []string{"listing", "outcome", "date", "basis"}
)

// ReadOutcomes reads a comma-separated table with the columns listing, outcome,
// date and basis, in any order; lines that start with # are comments. A listing
// may stand several times with different dates: the latest counts. basis may be
// empty only for an unknown outcome. All mistakes are returned together, with
// line and column.
func ReadOutcomes(file string, data []byte) ([]Outcome, error) {
	if len(data) > strict.Limit {
		return nil, fmt.Errorf("%s: larger than %d bytes", file, strict.Limit)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	t := outcomeTable{file: file, data: data, seen: map[string]int{}}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comment, r.TrimLeadingSpace = '#', true
	header, err := r.Read()
	switch {
	case errors.Is(err, io.EOF):
		return nil, strict.At(file, data, 1, 1, "the file is empty")
	case err != nil:
		t.broken(err)
	default:
		t.header(r, header)
	}
	if len(t.errs) > 0 {
		return nil, errors.Join(t.errs...)
	}
	for {
		record, err := r.Read()
		switch {
		case errors.Is(err, io.EOF):
			return t.list, errors.Join(t.errs...)
		case errors.Is(err, csv.ErrFieldCount):
			t.broken(err)
		case err != nil:
			t.broken(err)
			return nil, errors.Join(t.errs...)
		default:
			t.row(r, record)
		}
	}
}

// outcomeTable is a table of outcomes while it is read.
type outcomeTable struct {
	file string
	data []byte
	at   map[string]int // column numbers, from 0
	seen map[string]int // lines, by listing and date
	list []Outcome
	errs []error
}

func (t *outcomeTable) fail(line, column int, format string, args ...any) {
	t.errs = append(t.errs, strict.At(t.file, t.data, line, column, fmt.Sprintf(format, args...)))
}

func (t *outcomeTable) broken(err error) {
	var p *csv.ParseError
	if errors.As(err, &p) {
		t.fail(p.Line, p.Column, "%v", p.Err)
		return
	}
	t.errs = append(t.errs, fmt.Errorf("%s: %w", t.file, err))
}

func (t *outcomeTable) header(r *csv.Reader, cells []string) {
	t.at = map[string]int{}
	for i, cell := range cells {
		name := strings.ToLower(strings.TrimSpace(cell))
		line, column := r.FieldPos(i)
		if _, twice := t.at[name]; twice {
			t.fail(line, column, "column %q stands here twice", name)
		} else if !slices.Contains(outcomeColumns, name) {
			t.fail(line, column, "unknown column %q; the columns are %s", name, strings.Join(outcomeColumns, ", "))
		}
		t.at[name] = i
	}
	for _, name := range outcomeColumns {
		if _, there := t.at[name]; !there {
			line, _ := r.FieldPos(0)
			t.fail(line, 1, "no column %q", name)
		}
	}
}

func (t *outcomeTable) row(r *csv.Reader, record []string) {
	cell := func(name string) string { return strings.TrimSpace(record[t.at[name]]) }
	line, _ := r.FieldPos(0)
	fail := func(name, format string, args ...any) {
		_, column := r.FieldPos(t.at[name])
		t.fail(line, column, format, args...)
	}
	o := Outcome{Listing: cell("listing"), Outcome: strings.ToLower(cell("outcome")), Basis: cell("basis"), Line: line}
	if o.Listing == "" {
		fail("listing", "listing is empty")
	}
	if !utf8.ValidString(o.Listing) {
		fail("listing", "listing is not UTF-8")
	}
	if !slices.Contains(outcomeWords, o.Outcome) {
		fail("outcome", "%q is not one of %s", cell("outcome"), strings.Join(outcomeWords, ", "))
	}
	var err error
	if o.Date, err = time.Parse(time.DateOnly, cell("date")); err != nil {
		fail("date", "%q is not a date such as 2026-09-30", cell("date"))
	}
	if o.Basis == "" && o.Outcome != OutcomeUnknown {
		fail("basis", "basis is empty: say what the confirmation rests on, such as 'examined by the maker'")
	}
	if o.Listing != "" && err == nil {
		key := o.Listing + "\x00" + cell("date")
		if before, twice := t.seen[key]; twice {
			fail("listing", "%q stands in line %d already, with the same date", o.Listing, before)
		}
		t.seen[key] = line
	}
	t.list = append(t.list, o)
}
