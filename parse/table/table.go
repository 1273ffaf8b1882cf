// Package table reads listings from tables: CSV of any common dialect, XLSX
// workbooks, NDJSON exports and the lines that the extract command writes.
//
// The files: table.go the entry points for CSV, csv.go records, scan.go their
// cells, decode.go the encoding, columns.go which column is which field, with the
// words in synonyms.go and the user's own names in settings.go; learn.go what a
// column's values show together, rows.go a row's listing, problems.go the
// bounded list of problems, lines.go
// and object.go JSON, sheet.go workbooks.
package table

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/parse/values"
)

// Options steer the reading of a table. The zero value is usable.
type Options struct {
	Columns map[string]listing.Name // headers as the user names them, see [ReadColumns]
	Hints   values.Hints            // what is known from outside the table
	// Encoding is the label of the encoding to read the table in, after the
	// Encoding Standard; "" to detect it. A byte order mark counts more.
	Encoding string
}

// Result is what a table gave.
type Result struct {
	Listings []*listing.Listing // of Read only
	Columns  []ColumnMatch      // in the table's order
	Problems []listing.Problem
	Told     []listing.Problem // of an extract's input, as the extract tells them
	Rows     int               // rows that became listings
}

// ColumnMatch says how a column was understood.
type ColumnMatch struct {
	Header string
	Field  listing.Name // NoField when the column is not used
	How    string       // one of the How words
	Reason string       // why it is not used, or what decided
	// Learned states what the column's first rows show about its values, such
	// as their decimal mark, or "".
	Learned string
}

// How a column was matched.
const (
	ByUser    = "columns file"
	ByName    = "name"
	BySynonym = "synonym"
	BySpell   = "similar name"
	NotUsed   = "not used"
)

// learnRows is how many rows are looked at before the first one is read.
const learnRows = 2000

// Read reads a whole table. sha is the SHA-256 of its bytes, as it goes into
// the listings; whatever is wrong with the table is in the problems.
func Read(data []byte, file, sha string, opt Options) Result {
	var list []*listing.Listing
	res := Stream(bytes.NewReader(data), file, opt, func(l *listing.Listing) {
		l.SHA256 = sha
		list = append(list, l)
	})
	res.Listings = list
	return res
}

// Stream reads a table row by row and yields each listing in the table's
// order. The result holds no listings. It keeps a few thousand rows at a time,
// whatever the size of the table.
func Stream(r io.Reader, file string, opt Options, yield func(*listing.Listing)) Result {
	t := &tableReader{file: file, opt: opt}
	text, err := decode(r, opt.Encoding)
	if err != nil {
		t.problems.refuse(file, listing.Place{}, "", err.Error(), "")
		return t.result()
	}
	if text.note != "" {
		t.problems.note(file, text.note, "if letters look wrong, name the encoding with --encoding or save the table as UTF-8")
	}
	head, err := text.Peek(sniffSize)
	if err != nil && !errors.Is(err, io.EOF) {
		t.problems.refuse(file, listing.Place{}, "", err.Error(), "")
		return t.result()
	}
	sep, skip := delimiter(head)
	_, _ = text.Discard(skip)
	records := newRecordReader(text.Reader, sep)
	if skip > 0 {
		records.line++
	}
	if !t.findHeader(records) {
		return t.result()
	}
	t.read(records, yield)
	text.sayLost(&t.problems, file)
	if records.damaged > 0 {
		t.problems.notice(file, listing.Place{Row: int32(records.damaged)}, "", "bytes that are no UTF-8 text, here and perhaps further down, were replaced", "save the table as UTF-8")
	}
	return t.result()
}

// source gives the records of a table, whatever its form.
type source interface {
	// next gives the cells and the 1-based line of the next record. A
	// badRecord error concerns that record only.
	next() (cells []string, line int, err error)
	// fit brings a record's cells to the columns of the header, where the
	// form of the table calls for it.
	fit(cells []string, columns []ColumnMatch) []string
}

// badRecord is a record that cannot be read.
type badRecord struct{ raw, reason, hint string }

func (e badRecord) Error() string { return e.reason }

type tableReader struct {
	file    string
	entry   string // the sheet of a workbook
	opt     Options
	columns []ColumnMatch
	plan    []column       // the columns in use, in reading order
	photos  int            // index of the photo column, or -1
	seen    map[string]int // listing ids and their rows
	// headerLine is the line of the header.
	headerLine int
	problems   problemList
	rows       int
	pending    []record // rows read ahead while looking for the header
}

type record struct {
	cells []string
	line  int
}

func (t *tableReader) result() Result {
	problems := t.problems.all(t.file)
	for i := range problems {
		problems[i].Entry = t.entry
	}
	return Result{Columns: t.columns, Problems: problems, Rows: t.rows}
}

// headerRows is how many records may stand above the header.
const headerRows = 10

// findHeader takes the first record as header unless a later one, among the
// first few, names more fields and at least two.
func (t *tableReader) findHeader(src source) bool {
	var ahead []record
	best, most := 0, 0
	for len(ahead) < headerRows {
		cells, line, err := src.next()
		if err != nil {
			var bad badRecord
			if errors.As(err, &bad) {
				t.problems.refuse(t.file, listing.Place{Row: int32(line)}, bad.raw, bad.reason, bad.hint)
				continue
			}
			if !errors.Is(err, io.EOF) {
				t.problems.refuse(t.file, listing.Place{}, "", err.Error(), "")
			}
			break
		}
		if blank(cells) {
			continue
		}
		ahead = append(ahead, record{cells, line})
		if n := matches(cells, t.opt.Columns); n > most && (n >= 2 || len(ahead) == 1) {
			best, most = len(ahead)-1, n
		}
	}
	if len(ahead) == 0 {
		t.problems.refuse(t.file, listing.Place{}, "", "the table is empty", "export it again")
		return false
	}
	header := ahead[best]
	for _, r := range ahead[:best] {
		t.problems.notice(t.file, listing.Place{Row: int32(r.line)}, strings.Join(r.cells, " "), "a row above the header is not read", "")
	}
	t.columns = MatchColumns(header.cells, t.opt.Columns)
	t.headerLine = header.line
	t.reportColumns(header.line)
	t.makePlan()
	if len(t.plan) == 0 {
		t.problems.refuse(t.file, listing.Place{Row: int32(header.line)}, strings.Join(header.cells, ", "),
			"no column name is known, so no row can be read", "name the columns in a --columns file")
		return false
	}
	t.pending = ahead[best+1:]
	return true
}

func (t *tableReader) reportColumns(line int) {
	for _, c := range t.columns {
		if c.Field == listing.NoField && c.Header != "" && c.How != ByUser {
			t.problems.unread(t.file, listing.Cell(line, c.Header), c.Header, fmt.Sprintf("column %q is not used: %s", c.Header, c.Reason))
		}
	}
}

// makePlan orders the columns so that currency and language are known when the
// price is read.
func (t *tableReader) makePlan() {
	t.photos = -1
	first := func(n listing.Name) bool { return n == listing.Currency || n == listing.Language }
	for _, early := range []bool{true, false} {
		for i, c := range t.columns {
			if c.Field == listing.NoField || first(c.Field) != early {
				continue
			}
			if c.Field == listing.PhotoFiles {
				t.photos = i
				continue
			}
			t.plan = append(t.plan, column{index: i, name: c.Field, header: c.Header})
		}
	}
	if t.photos >= 0 && len(t.plan) == 0 {
		t.photos = -1
	}
}

// read reads the rows behind the header.
func (t *tableReader) read(src source, yield func(*listing.Listing)) {
	t.seen = map[string]int{}
	buffered, end := t.lookAhead(src)
	t.learn(buffered)
	p := newPipeline(t, yield)
	for _, r := range buffered {
		p.add(r)
	}
	for !end {
		r, ok, last := t.nextRow(src)
		end = last
		if ok {
			p.add(r)
		}
	}
	p.finish()
}

// lookAhead reads the rows from which the columns' habits are learned.
func (t *tableReader) lookAhead(src source) (rows []record, end bool) {
	for _, r := range t.pending {
		r.cells = src.fit(r.cells, t.columns)
		if t.fits(r) {
			rows = append(rows, r)
		}
	}
	t.pending = nil
	for len(rows) < learnRows && !end {
		r, ok, last := t.nextRow(src)
		end = last
		if ok {
			rows = append(rows, r)
		}
	}
	return rows, end
}

// nextRow gives the next row that has the right number of cells.
func (t *tableReader) nextRow(src source) (r record, ok, end bool) {
	cells, line, err := src.next()
	if err != nil {
		var bad badRecord
		if errors.As(err, &bad) {
			t.problems.refuse(t.file, listing.Place{Row: int32(line)}, bad.raw, bad.reason, bad.hint)
			return record{}, false, false
		}
		if !errors.Is(err, io.EOF) {
			t.problems.refuse(t.file, listing.Place{Row: int32(line)}, "", "reading stopped: "+err.Error(), "")
		}
		return record{}, false, true
	}
	r = record{src.fit(cells, t.columns), line}
	return r, t.fits(r), false
}

func (t *tableReader) fits(r record) bool {
	if len(r.cells) == len(t.columns) {
		return !blank(r.cells)
	}
	if len(r.cells) == 1 && r.cells[0] == "" {
		return false // an empty line
	}
	t.problems.refuse(t.file, listing.Place{Row: int32(r.line)}, strings.Join(r.cells, ", "),
		fmt.Sprintf("%d cells, the header has %d", len(r.cells), len(t.columns)), "quote cells that hold the delimiter")
	return false
}

func blank(cells []string) bool {
	for _, c := range cells {
		if strings.TrimSpace(c) != "" {
			return false
		}
	}
	return true
}
