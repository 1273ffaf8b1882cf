package listing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Severity says what a [Problem] cost.
type Severity string

const (
	Refused Severity = "refused" // the file, row or photo was not read at all
	Partial Severity = "partial" // it was read, but the named part of it was not
	Notice  Severity = "notice"  // everything was read; a person should know this
)

// Problem is one thing in the input that could not be read, or that was read
// with a doubt. It is data, not a reason to stop: every report lists all of
// them.
type Problem struct {
	Severity Severity
	File     string // as named on the command line
	Entry    string // inside an archive, or the photo's reference on a page
	Place    Place
	Field    Name   // NoField when it concerns the whole file, row or photo
	Raw      string // text as read, shortened to RawLimit runes
	Reason   string // lower case, no full stop: `"12,5O" is not a price`
	Hint     string // what to do, or ""
}

// RawLimit is the length in runes to which Problem.Raw is shortened.
const RawLimit = 120

// Error makes a Problem usable as an error. It prints as
// `parts.csv: row 41, column price: "12,5O" is not a price`.
func (p Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Entry != "" {
		fmt.Fprintf(&b, " (%s)", p.Entry)
	}
	if place := p.Place.String(); place != "" {
		fmt.Fprintf(&b, ": %s", place)
	}
	if p.Field != NoField && p.Place.Row == 0 {
		fmt.Fprintf(&b, ": %s", p.Field)
	}
	fmt.Fprintf(&b, ": %s", p.Reason)
	return b.String()
}

// Shorten cuts s to at most n runes, with a closing ellipsis when it was cut.
func Shorten(s string, n int) string {
	if len(s) <= n {
		return s
	}
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-1]) + "…"
}

// SortProblems puts problems in the order reports print them: by file, entry,
// row, byte offset, field and reason. It sorts in place.
func SortProblems(list []Problem) {
	slices.SortStableFunc(list, func(a, b Problem) int {
		return cmp.Or(
			cmp.Compare(a.File, b.File),
			cmp.Compare(a.Entry, b.Entry),
			cmp.Compare(a.Place.Row, b.Place.Row),
			cmp.Compare(a.Place.Start, b.Place.Start),
			cmp.Compare(a.Field, b.Field),
			cmp.Compare(a.Reason, b.Reason),
			cmp.Compare(a.Raw, b.Raw),
		)
	})
}
