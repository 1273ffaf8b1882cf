package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/serials"
)

// SerialsDiffer compares the serials that a listing shows in several places.
var SerialsDiffer = &Rule{
	ID: "serials-differ", Family: FamilyIdentity, Weight: 12, Decisive: true,
	Doc: Doc{
		Title:    "Serials of text, plate and box differ",
		Meaning:  "The listing states one serial and shows another on the plate or on the box label. Plate, box and order of one unit agree.",
		Formula:  "two of serial number, plate serial and box serial are given, are no fillers, and differ; half weight when they differ in look-alike characters only (0 and O, 1 and I, 8 and B, 5 and S, 2 and Z). A serial read from a photo by machine that differs in one or two characters may be misread: a question and no finding",
		Innocent: "A photo of an earlier unit, or a misread character.",
		Ask:      "Ask for one photo that shows plate and box label of the unit that will be sent.",
		Since:    "1.0",
	},
	Needs: []Need{NeedTwoSerials, NeedClearReading},
	Run: func(p *Pass) Answer {
		var shown []listing.Name
		for _, n := range serialFields {
			s := p.Listing.Value(n)
			if _, filler := serials.Placeholder(s); !filler {
				shown = append(shown, n)
			}
		}
		if len(shown) < 2 {
			return Lacks(NeedTwoSerials)
		}
		best, unclear := Silent(), false
		for i, a := range shown {
			for _, b := range shown[i+1:] {
				x, y := serials.Canonical(p.Listing.Value(a)), serials.Canonical(p.Listing.Value(b))
				if x == y {
					continue
				}
				if p.mayBeMisread(a, b) {
					unclear = true
					continue
				}
				strength := 1.0
				if serials.Fold(x) == serials.Fold(y) {
					strength = 0.5
				}
				if best.finding == nil || strength > best.finding.Strength {
					best = Found(fmt.Sprintf("The %s is %s, the %s %s.", serialWord(a), p.Listing.Value(a), serialWord(b), p.Listing.Value(b)),
						p.Quote(a), p.Quote(b)).At(strength)
				}
			}
		}
		if unclear && best.finding == nil {
			return Lacks(NeedClearReading)
		}
		return best
	},
}

func serialWord(n listing.Name) string {
	switch n {
	case listing.PlateSerial:
		return "serial on the plate"
	case listing.BoxSerial:
		return "serial on the box"
	}
	return "stated serial"
}
