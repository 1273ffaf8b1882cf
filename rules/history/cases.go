package history

import (
	"database/sql"
	"encoding/csv"
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

var listColumns = []string{"serial_number", "date", "basis"}

// ReadSerials reads a list of serials for which an outcome is known: a table
// with the column serial_number and, if wanted, date (2026-09-30) and basis.
// Rows without a date get that of date. Lines that begin with # are comments.
// All mistakes are returned together, with line and column.
func ReadSerials(file string, data []byte, word string, date time.Time) (cases []rules.Case, err error) {
	first := map[string]int{} // line, by serial
	err = strict.Table(file, data, listColumns[:1], listColumns[1:], func(r strict.Row) {
		c := rules.Case{Word: word, Date: date, Basis: r.Cells["basis"]}
		var err error
		if c.Serial, err = UsableSerial(r.Cells["serial_number"]); err != nil {
			r.Fail("serial_number", "%v", err)
		} else if before, ok := first[c.Serial]; ok {
			r.Fail("serial_number", "%q stands in line %d already", r.Cells["serial_number"], before)
		}
		first[c.Serial] = r.Line
		if r.Cells["date"] != "" {
			if c.Date = r.Day("date"); c.Date.Year() < 1970 && c.Date.Year() > 1 {
				r.Fail("date", "%q is before 1970", r.Cells["date"])
			}
		}
		if len(c.Basis) > BasisLimit {
			r.Fail("basis", "longer than %d bytes", BasisLimit)
		}
		cases = append(cases, c)
	})
	if err != nil {
		return nil, err
	}
	return cases, nil
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
