package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"counterfoil/parse"
	"counterfoil/parse/listing"
	"counterfoil/parse/savedpage"
	"counterfoil/report"
)

// explain prints how the fields of each page and the columns of each table
// were found.
func explain(w io.Writer, batch *parse.Batch) error {
	for i, e := range batch.Explained {
		if i > 0 {
			fmt.Fprintln(w)
		}
		fmt.Fprintf(w, "%s: %s, %s\n", shown(fileOf(e), 0), e.Kind, count(len(e.Listings), "listing"))
		err := error(nil)
		switch {
		case len(e.Columns) > 0:
			err = explainTable(w, e)
		case len(e.Candidates) > 0:
			err = explainPage(w, e)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func fileOf(e parse.Explanation) string {
	if e.Entry == "" {
		return e.File
	}
	return e.File + " (" + e.Entry + ")"
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// shown makes a text of the input fit for a line of output: one line, nothing
// hidden, at most n runes (0: all).
func shown(s string, n int) string {
	s = report.Visible(strings.Join(strings.Fields(s), " "))
	if n > 0 {
		s = listing.Shorten(s, n)
	}
	return cmp.Or(s, "-")
}

// Widths of texts in columns, in runes.
const (
	valueWidth = 36
	placeWidth = 70
)

const pageKey = "Of each field the value marked * was taken: the highest score among those that can be read; of equal ones the first."

func explainPage(w io.Writer, e parse.Explanation) error {
	fmt.Fprintln(w, pageKey)
	for at := range len(e.Listings) {
		if err := explainListing(w, e, at); err != nil {
			return err
		}
	}
	return explainRows(w, "Of no listing", slices.Collect(func(yield func(savedpage.Candidate) bool) {
		for _, c := range e.Candidates {
			if (c.Listing < 0 || c.Listing >= len(e.Listings)) && !yield(c) {
				return
			}
		}
	}), nil)
}

func explainListing(w io.Writer, e parse.Explanation, at int) error {
	l := e.Listings[at]
	var list []savedpage.Candidate
	taken := map[listing.Name]bool{}
	for _, c := range e.Candidates {
		if c.Listing == at {
			list = append(list, c)
			taken[c.Field] = taken[c.Field] || c.Won
		}
	}
	var told []listing.Field
	for _, f := range l.Fields() {
		if !taken[f.Name] {
			told = append(told, f)
		}
	}
	return explainRows(w, "Listing "+strconv.Itoa(at+1), list, told)
}

// explainRows prints candidates by field, and told, the fields that follow
// from others.
func explainRows(w io.Writer, title string, list []savedpage.Candidate, told []listing.Field) error {
	if len(list)+len(told) == 0 {
		return nil
	}
	fmt.Fprintf(w, "\n%s\n", title)
	slices.SortStableFunc(list, func(a, b savedpage.Candidate) int { return cmp.Compare(a.Field, b.Field) })
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  FIELD\tVALUE\tAS READ\tSCORE\tPLACE\tWHY")
	for _, c := range list {
		mark := " "
		if c.Won {
			mark = "*"
		}
		fmt.Fprintf(t, "%s %s\t%s\t%s\t%d\t%s\t%s\n", mark, c.Field, shown(c.Value, valueWidth), shown(c.Raw, valueWidth), c.Score,
			shown(c.From.String(), placeWidth), shown(cmp.Or(c.Why, "its source"), 0))
	}
	for _, f := range told {
		fmt.Fprintf(t, "* %s\t%s\t%s\t-\t%s\ttold by another field\n", f.Name, shown(f.Value, valueWidth), shown(f.Raw, valueWidth),
			shown(f.From.String(), placeWidth))
	}
	return t.Flush()
}

// maxSamples is how many values of a column are shown.
const maxSamples = 3

func explainTable(w io.Writer, e parse.Explanation) error {
	samples := map[string][]string{}
	for _, l := range e.Listings {
		for _, f := range l.Fields() {
			list := samples[f.From.Path]
			if text := shown(f.Raw, valueWidth); f.From.Row == int32(l.Row) && len(list) < maxSamples && !slices.Contains(list, text) {
				samples[f.From.Path] = append(list, text)
			}
		}
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "COLUMN\tFIELD\tHOW\tWHY\tLEARNED\tVALUES")
	for _, c := range e.Columns {
		field := "-"
		if c.Field != listing.NoField {
			field = c.Field.String()
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\n", shown(c.Header, valueWidth), field, c.How, shown(c.Reason, 0), shown(c.Learned, 0),
			cmp.Or(strings.Join(samples[c.Header], " | "), "-"))
	}
	return t.Flush()
}
