package rules

import "fmt"

// SerialFits speaks for a serial that fits the maker's table.
var SerialFits = &Rule{
	ID: "serial-fits", Family: FamilyIdentity, Weight: -3,
	Doc: Doc{
		Title:    "Serial fits the maker's format",
		Meaning:  "The serial has a form of the maker's profile, with a plant and a date that exist, and no other seller of the batch shows it. It speaks a little for the listing: a cloned serial fits as well.",
		Formula:  "a pattern of the profile matches without remark",
		Innocent: "This finding speaks for the listing.",
		Ask:      "Check the serial with the maker before ordering.",
		Since:    "1.0",
	},
	Needs: []Need{NeedSerial, NeedMakers, NeedSerialRules},
	Run: func(p *Pass) Answer {
		serial, fields := p.serial()
		switch {
		case serial == "":
			return Lacks(NeedSerial)
		case p.Maker() == nil:
			return Lacks(NeedMakers)
		case len(p.Maker().Serials) == 0:
			return Lacks(NeedSerialRules)
		}
		parts, ok := p.Maker().Serial(serial)
		if !ok || parts.Note != "" || p.serialElsewhere() || p.Maker().HasBadSerial(serial) || p.Maker().IsSpecimen(serial) {
			return Silent()
		}
		return Found(fmt.Sprintf("The serial %s fits the profile of %s.", p.Listing.Value(fields[0]), p.Maker().Name), p.Quote(fields[0]))
	},
}
