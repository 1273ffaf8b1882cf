package workbook

import (
	"fmt"
	"strings"

	"counterfoil/report"
	"counterfoil/rules/serials"
)

var serialColumns = []column{
	{"Serial", 24, ident},
	{"Kind", 20, wrapped},
	{"Listings", 9, whole},
	{"Sellers", 9, whole},
	{"Parts", 8, whole},
	{"Spellings, as read", 32, ident},
	{"Where it stands", 70, wrapped},
	{"What it may mean", 56, wrapped},
}

// Kinds of rows, with what an honest explanation may be.
const (
	repeatMeans = "One unit cannot be in two stocks. Honest ways: the same seller lists it twice, the unit was resold, or the picture was taken from the rightful listing, whose seller is then listed here too."
	runMeans    = "Consecutive serials at one seller. A carton from the maker gives such a run, and so does a list of invented numbers."
	fillerMeans = "No usable serial, so it was not compared. A form may have asked for a value."
)

func (b *book) serials() task {
	x := b.res.Facts.Serials
	if x == nil {
		x = serials.Build(nil)
	}
	repeats, runs, fillers := x.Repeats(), x.Runs(), x.Excluded()
	total := len(repeats) + len(runs) + len(fillers)
	intro := "Serials seen on more than one listing, consecutive serials at one seller, and values that are no serial. Letters and digits are never exchanged to make two serials equal."
	if total == 0 {
		intro = "No serial was seen on more than one listing."
	}
	s := b.open(sheetSerials, layout{frozen: 1}, serialColumns, notes(intro, cutNote(min(total, maxSerials), total, "serials"))...)
	add := func(serial, kind string, listings int, sellers, parts any, spellings []string, at []serials.Sighting, means string) {
		if s.row-s.first+1 < maxSerials {
			s.add(serial, kind, listings, sellers, parts, strings.Join(spellings, "; "), b.sightings(at), means)
		}
	}
	return task{s, func() {
		for _, r := range repeats {
			add(r.Serial, "repeated serial", r.Listings, r.Sellers, r.Parts, r.Spellings, r.Sightings, repeatMeans)
		}
		for _, r := range runs {
			add(r.First+" to "+r.Last, "counting run", r.Listings, 1, nil, r.Serials, r.Sightings, runMeans)
		}
		for _, e := range fillers {
			add(e.Serial, "not a serial: "+e.Why, e.Listings, nil, nil, nil, e.Sightings, fillerMeans)
		}
	}, nil}
}

// manySightings is the number of places named in one cell.
const manySightings = 12

func (b *book) sightings(list []serials.Sighting) string {
	var lines []string
	for _, s := range list[:min(len(list), manySightings)] {
		l := b.res.Facts.Listings[s.Listing]
		line := fmt.Sprintf("%s, %s: %q in %s", b.rankText(s.Listing), seller(l), s.Serial, s.Field)
		if s.Part != "" {
			line += ", part " + s.Part
		}
		if s.Quantity > 1 {
			line += ", " + report.Plural(s.Quantity, "unit") + " offered"
		}
		lines = append(lines, line)
	}
	if more := len(list) - manySightings; more > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(lines, "\n")
}
