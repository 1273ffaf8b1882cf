package strict

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
)

// Row is one record of a settings table.
type Row struct {
	Line  int               // 1-based
	Cells map[string]string // by column, without outer blanks
	// Fail notes a mistake in the cell of a column.
	Fail func(column, format string, args ...any)
}

// Table reads a comma-separated settings table: lines that start with # are
// comments, the first record is the header, which must hold every column of
// required and none that is neither there nor in optional. All mistakes of a
// file are returned together.
func Table(file string, data []byte, required, optional []string, each func(Row)) error {
	if len(data) > Limit {
		return fmt.Errorf("%s: larger than %d bytes", file, Limit)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	r := csv.NewReader(bytes.NewReader(data))
	r.Comment = '#'
	r.TrimLeadingSpace = true
	header, err := r.Read()
	if errors.Is(err, io.EOF) {
		return At(file, data, 1, 1, "the file is empty")
	}
	if err != nil {
		return csvError(file, data, err)
	}
	var errs []error
	for i, h := range header {
		header[i] = strings.ToLower(strings.TrimSpace(h))
		line, column := r.FieldPos(i)
		switch {
		case slices.Contains(header[:i], header[i]):
			errs = append(errs, At(file, data, line, column, fmt.Sprintf("column %q stands here twice", header[i])))
		case !slices.Contains(required, header[i]) && !slices.Contains(optional, header[i]):
			errs = append(errs, At(file, data, line, column, fmt.Sprintf("unknown column %q; the columns are %s",
				header[i], strings.Join(slices.Concat(required, optional), ", "))))
		}
	}
	for _, want := range required {
		if !slices.Contains(header, want) {
			line, _ := r.FieldPos(0)
			errs = append(errs, At(file, data, line, 1, fmt.Sprintf("no column %q", want)))
		}
	}
	if len(errs) > 0 {
		return errors.Join(errs...)
	}
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return errors.Join(errs...)
		}
		if err != nil {
			errs = append(errs, csvError(file, data, err))
			if !errors.Is(err, csv.ErrFieldCount) {
				return errors.Join(errs...)
			}
			continue
		}
		line, _ := r.FieldPos(0)
		cells := make(map[string]string, len(record))
		for i, c := range record {
			cells[header[i]] = strings.TrimSpace(c)
		}
		each(Row{Line: line, Cells: cells, Fail: func(column, format string, args ...any) {
			at := 1
			if i := slices.Index(header, column); i >= 0 {
				_, at = r.FieldPos(i)
			}
			errs = append(errs, At(file, data, line, at, fmt.Sprintf(format, args...)))
		}})
	}
}

func csvError(file string, data []byte, err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return At(file, data, p.Line, p.Column, p.Err.Error())
	}
	return fmt.Errorf("%s: %w", file, err)
}

// Day reads a date of the form 2026-09-30.
func (r Row) Day(column string) time.Time {
	t, err := time.Parse(time.DateOnly, r.Cells[column])
	if err != nil {
		r.Fail(column, "%q is not a date such as 2026-09-30", r.Cells[column])
	}
	return t
}

// Needed gives the cell's text and reports an empty one.
func (r Row) Needed(column string) string {
	if r.Cells[column] == "" {
		r.Fail(column, "%s is empty", column)
	}
	return r.Cells[column]
}

// OneOf reports a cell whose text is not one of the words; an empty cell
// takes the first of them.
func (r Row) OneOf(column string, words []string) string {
	v := r.Cells[column]
	if v == "" {
		return words[0]
	}
	if !slices.Contains(words, v) {
		r.Fail(column, "%q is not one of %s", v, strings.Join(words, ", "))
	}
	return v
}
