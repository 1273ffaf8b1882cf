package rules

import "fmt"

// SerialSpecimen finds the serial of a plate that the maker shows in print.
var SerialSpecimen = &Rule{
	ID: "serial-specimen", Family: FamilyIdentity, Weight: 14, Decisive: true,
	Doc: Doc{
		Title:    "Serial of the maker's specimen plate",
		Meaning:  "The serial is the one on a plate that the maker shows in a guide or catalogue. That plate is the easiest to copy and is sold with no unit.",
		Innocent: "A seller who took the picture of the guide to illustrate the listing.",
		Ask:      "Ask for a photo of the plate of the unit itself.",
		Since:    "1.0",
	},
	Needs: []Need{NeedSerial, NeedMakers},
	Run: func(p *Pass) Answer {
		serial, fields := p.serial()
		switch {
		case serial == "":
			return Lacks(NeedSerial)
		case p.Maker() == nil:
			return Lacks(NeedMakers)
		case !p.Maker().IsSpecimen(serial):
			return Silent()
		}
		return Found(fmt.Sprintf("The serial %s is that of a specimen plate of %s.", p.Listing.Value(fields[0]), p.Maker().Name), p.Quote(fields[0]))
	},
}
