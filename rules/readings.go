package rules

import (
	"fmt"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules/serials"
)

// machineShare is what is left of a finding that rests on lettering read from a
// photo by machine: characters are misread with great confidence. It is this
// project's judgement.
const machineShare = 0.5

// assess runs a rule over a listing. A finding that rests on lettering read by
// machine says so and weighs less.
func assess(r *Rule, p *Pass) Answer {
	a := r.Run(p)
	if a.finding == nil {
		return a
	}
	for _, e := range a.finding.Evidence {
		if strings.HasPrefix(e.Place, listing.SourceOCR+" ") {
			a.finding.Strength *= machineShare
			a.finding.Statement += " This rests on lettering read from a photo by machine."
			break
		}
	}
	return a
}

// maxMisread is the number of characters in which a reading may differ from a
// number of the same length and still be that number, misread.
const maxMisread = 2

// mayBeMisread reports whether two fields differ by what a machine may have
// misread: one of them was read from a photo, and at most two characters of
// equally many differ.
func (p *Pass) mayBeMisread(a, b listing.Name) bool {
	x, _ := p.Listing.Get(a)
	y, _ := p.Listing.Get(b)
	return (x.From.Source == listing.SourceOCR || y.From.Source == listing.SourceOCR) && nearlyEqual(x.Value, y.Value)
}

func nearlyEqual(a, b string) bool {
	x, y := serials.Canonical(a), serials.Canonical(b)
	if len(x) != len(y) {
		return strings.Contains(x, y) || strings.Contains(y, x) // a part of it was read
	}
	n := 0
	for i := range len(x) {
		if x[i] != y[i] {
			n++
		}
	}
	return n <= maxMisread
}

// quoteReading is the evidence of a reading.
func quoteReading(ph *listing.Photo, r *listing.Reading) Evidence {
	e := QuotePhoto(ph)
	e.Place = fmt.Sprintf("%s at %s, confidence %.0f %%", listing.SourceOCR, r.Box, 100*r.Confidence)
	e.Quote = listing.Shorten(r.Raw, QuoteLimit)
	return e
}
