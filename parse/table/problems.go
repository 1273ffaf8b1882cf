package table

import (
	"fmt"
	"slices"

	"counterfoil/parse/listing"
)

// keepEach bounds the problems of one kind in one column that are listed one
// by one; the rest is counted.
const keepEach = 1000

// problemList collects the problems of a table. A column of a million cells
// that are wrong in the same way must not fill the memory.
type problemList struct {
	kept   []listing.Problem
	counts map[problemKind]int
	last   map[problemKind]listing.Problem
}

type problemKind struct {
	severity listing.Severity
	field    listing.Name
	column   string
	hint     string
}

func (p *problemList) add(list ...listing.Problem) {
	for _, x := range list {
		kind := problemKind{x.Severity, x.Field, x.Place.Path, x.Hint}
		if p.counts == nil {
			p.counts, p.last = map[problemKind]int{}, map[problemKind]listing.Problem{}
		}
		p.counts[kind]++
		if p.counts[kind] > keepEach {
			p.last[kind] = x
			continue
		}
		p.kept = append(p.kept, x)
	}
}

func (p *problemList) refuse(file string, at listing.Place, raw, reason, hint string) {
	p.add(listing.Problem{Severity: listing.Refused, File: file, Place: at, Raw: listing.Shorten(raw, listing.RawLimit), Reason: reason, Hint: hint})
}

// unread names a column that was not used.
func (p *problemList) unread(file string, at listing.Place, raw, reason string) {
	p.add(listing.Problem{Severity: listing.Partial, File: file, Place: at, Raw: listing.Shorten(raw, listing.RawLimit),
		Reason: reason, Hint: "name its field in a --columns file, or none to leave it out"})
}

func (p *problemList) notice(file string, at listing.Place, raw, reason, hint string) {
	p.add(listing.Problem{Severity: listing.Notice, File: file, Place: at, Raw: listing.Shorten(raw, listing.RawLimit), Reason: reason, Hint: hint})
}

func (p *problemList) note(file, reason, hint string) {
	p.notice(file, listing.Place{}, "", reason, hint)
}

// all gives the problems in the order of reports, with one for each kind that
// was counted further.
func (p *problemList) all(file string) []listing.Problem {
	list := slices.Clone(p.kept)
	for kind, x := range p.last {
		more := p.counts[kind] - keepEach
		list = append(list, listing.Problem{Severity: kind.severity, File: file, Place: x.Place, Field: kind.field, Raw: x.Raw,
			Reason: fmt.Sprintf("%s; it is the last of %d further ones like the %d listed", x.Reason, more, keepEach), Hint: kind.hint})
	}
	listing.SortProblems(list)
	return list
}
