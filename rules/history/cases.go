package history

import (
	"bytes"
	"database/sql"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"counterfoil/parse/listing/strict"
	"counterfoil/rules"
	"counterfoil/rules/serials"
)

func scanCase(rows *sql.Rows) (rules.Case, error) {
	var of, name string
	var at int64
	var c rules.Case
	err := rows.Scan(&of, &name, &c.Word, &at, &c.Basis)
	c.Date = moment(at)
	if of == "listing" {
		c.Listing = name
	} else {
		c.Serial = name
	}
	return c, err
}

// Cases lists all outcomes: those of listings, then those of serials, by name.
func (b *Book) Cases() (list []rules.Case, err error) {
	err = b.each("SELECT of, name, word, at, basis FROM outcome ORDER BY of, name", nil, func(rows *sql.Rows) error {
		c, err := scanCase(rows)
		list = append(list, c)
		return err
	})
	return list, err
}

// Settle records how cases ended, in place of what was recorded of the same
// listings and serials before.
func (b *Book) Settle(cases []rules.Case) error {
	for _, c := range cases {
		of, name := "serial", c.Serial
		if c.Listing != "" {
			of, name = "listing", c.Listing
		}
		if err := b.exec("REPLACE INTO outcome VALUES (?, ?, ?, ?, ?)", of, name, c.Word, c.Date.Unix(), c.Basis); err != nil {
			return b.wrap(err)
		}
	}
	return b.finish()
}

// finish keeps what was changed and goes on keeping others out.
func (b *Book) finish() error {
	if err := b.commit(); err != nil {
		return err
	}
	return b.begin()
}

// FindListing gives the keys of the listings that a text means: a key, or an id
// or address that stands in keys.
func (b *Book) FindListing(text string) (keys []string, err error) {
	text = strings.TrimPrefix(strings.TrimPrefix(strings.TrimSpace(text), "https://"), "http://")
	text = strings.TrimPrefix(text, "www.")
	if text == "" {
		return nil, nil
	}
	const tail = "substr(key, instr(key, '/') + 1)" // as the index listing_tail has it
	for _, where := range []string{
		"key = ?1",
		tail + " = ?1 OR " + tail + " > ?1 || '@' AND " + tail + " < ?1 || 'A'", // A follows @
		"substr(key, -length(?1) - 1) = '/' || ?1",
	} {
		err = b.each("SELECT key FROM listing WHERE "+where+" ORDER BY key", []any{text}, func(rows *sql.Rows) error {
			var key string
			err := rows.Scan(&key)
			keys = append(keys, key)
			return err
		})
		if err != nil || len(keys) > 0 {
			break
		}
	}
	return keys, err
}

// ListLimit bounds a list of serials, in bytes.
const ListLimit = strict.Limit

// ReadSerials reads a list of serials for which an outcome is known: a table
// with the column serial_number and, if wanted, date (2026-09-30) and basis.
// Rows without a date get that of date. Lines that begin with # are comments.
// All mistakes are returned together, with line and column.
func ReadSerials(file string, data []byte, word string, date time.Time) ([]rules.Case, error) {
	if len(data) > ListLimit {
		return nil, fmt.Errorf("%s: larger than %d bytes", file, ListLimit)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	r := csv.NewReader(bytes.NewReader(data))
	r.Comment, r.TrimLeadingSpace = '#', true
	header, err := r.Read()
	if errors.Is(err, io.EOF) {
		return nil, strict.At(file, data, 1, 1, "the list is empty")
	}
	if err != nil {
		return nil, tableError(file, data, err)
	}
	at := map[string]int{}
	for i, h := range header {
		h = strings.ToLower(strings.TrimSpace(h))
		if _, twice := at[h]; twice || !slices.Contains(listColumns, h) {
			return nil, strict.At(file, data, 1, 1, fmt.Sprintf("column %q is unknown or stands twice; the columns are %s", h, strings.Join(listColumns, ", ")))
		}
		at[h] = i
	}
	if _, ok := at["serial_number"]; !ok {
		return nil, strict.At(file, data, 1, 1, `no column "serial_number"`)
	}
	l := list{word: word, date: date, first: map[string]int{}}
	for {
		record, err := r.Read()
		switch {
		case errors.Is(err, io.EOF):
			return l.result()
		case errors.Is(err, csv.ErrFieldCount):
			l.errs = append(l.errs, tableError(file, data, err))
			continue
		case err != nil:
			l.errs = append(l.errs, tableError(file, data, err))
			return l.result()
		}
		cell := func(column string) (string, int) {
			if i, ok := at[column]; ok {
				_, column := r.FieldPos(i)
				return strings.TrimSpace(record[i]), column
			}
			return "", 1
		}
		line, _ := r.FieldPos(0)
		l.add(line, cell, func(column int, reason string) { l.errs = append(l.errs, strict.At(file, data, line, column, reason)) })
	}
}

var listColumns = []string{"serial_number", "date", "basis"}

func tableError(file string, data []byte, err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return strict.At(file, data, p.Line, max(p.Column, 1), p.Err.Error())
	}
	return fmt.Errorf("%s: %w", file, err)
}

type list struct {
	word  string
	date  time.Time
	cases []rules.Case
	first map[string]int
	errs  []error
}

func (l *list) result() ([]rules.Case, error) {
	if len(l.errs) > 0 {
		return nil, errors.Join(l.errs...)
	}
	return l.cases, nil
}

func (l *list) add(line int, cell func(string) (string, int), fail func(column int, reason string)) {
	text, column := cell("serial_number")
	c := rules.Case{Word: l.word, Date: l.date}
	var err error
	if c.Serial, err = UsableSerial(text); err != nil {
		fail(column, err.Error())
	} else if before, ok := l.first[c.Serial]; ok {
		fail(column, fmt.Sprintf("%q stands in line %d already", text, before))
	}
	l.first[c.Serial] = line
	if day, column := cell("date"); day != "" {
		var err error
		if c.Date, err = time.Parse(time.DateOnly, day); err != nil || c.Date.Year() < 1970 {
			fail(column, fmt.Sprintf("%q is not a day such as 2026-09-30", day))
		}
	}
	basis, column := cell("basis")
	if c.Basis = basis; len(basis) > BasisLimit {
		fail(column, fmt.Sprintf("longer than %d bytes", BasisLimit))
	}
	l.cases = append(l.cases, c)
}

// CanonicalSerial is the form in which serials are kept.
func CanonicalSerial(text string) string { return serials.Canonical(text) }

// UsableSerial is the form in which a serial is kept; it refuses fillers.
func UsableSerial(text string) (string, error) {
	if why, filler := serials.Placeholder(text); filler {
		return "", fmt.Errorf("%q is no serial: %s", text, why)
	}
	return serials.Canonical(text), nil
}

// IsOutcome reports whether a word says how a case ended.
func IsOutcome(word string) bool { return slices.Contains(rules.OutcomeWords, word) }

// BasisLimit bounds the basis of an outcome, in bytes.
const BasisLimit = 1000

// WriteSerials writes the serials with an outcome in the form that ReadSerials
// reads.
func (b *Book) WriteSerials(w io.Writer, word string) error {
	cases, err := b.Cases()
	if err != nil {
		return err
	}
	out := csv.NewWriter(w)
	out.Write(listColumns)
	for _, c := range cases {
		if c.Serial != "" && c.Word == word {
			out.Write([]string{c.Serial, c.Date.Format(time.DateOnly), c.Basis})
		}
	}
	out.Flush()
	return out.Error()
}
