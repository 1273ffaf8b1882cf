package rules

import "fmt"

// SerialKnownBad finds a serial on the user's list of confirmed clones.
var SerialKnownBad = &Rule{
	ID: "serial-known-bad", Family: FamilyIdentity, Weight: 20, Decisive: true,
	Doc: Doc{
		Title:    "Serial on the list of confirmed clones",
		Meaning:  "The user's maker profile lists the serial as confirmed to be cloned or invented.",
		Innocent: "A serial is often cloned from a real unit: this may be that unit.",
		Ask:      "Ask for the purchase invoice of the unit and check with the maker before anything else.",
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
		case !p.Maker().HasBadSerial(serial):
			return Silent()
		}
		return Found(fmt.Sprintf("The serial %s stands on the profile's list of confirmed clones.",
			p.Listing.Value(fields[0])), p.Quote(fields[0]))
	},
}
