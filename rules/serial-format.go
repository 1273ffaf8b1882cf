package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// SerialFormat holds a serial against the maker's table.
var SerialFormat = &Rule{
	ID: "serial-format", Family: FamilyIdentity, Weight: 10, Decisive: true,
	Doc: Doc{
		Title:    "Serial against the maker's format",
		Meaning:  "The serial has none of the forms that the user's maker profile knows, or its plant letter, month or week does not exist. No public standard exists for serials of vehicle parts: the table is the user's.",
		Formula:  "no pattern of the profile matches, or a matching one has an impossible plant, month or week; half weight on remanufactured and rebuilt units, which carry plates of their own",
		Innocent: "A misread or mistyped character, a remanufacturer's plate, or an older numbering that the profile does not have.",
		Ask:      "Ask for a sharp photo of the plate and check the serial with the maker.",
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
		case !p.PresentsAsMaker():
			return Silent()
		}
		parts, ok := p.Maker().Serial(serial)
		reason := parts.Note
		if !ok {
			reason = "it has none of the forms in the profile"
		}
		if reason == "" {
			return Silent()
		}
		strength := 1.0
		if c := p.Listing.Value(listing.Condition); c == listing.Remanufactured || c == listing.Rebuilt {
			strength = 0.5
		}
		return Found(fmt.Sprintf("The serial %s does not fit the profile of %s: %s.",
			p.Listing.Value(fields[0]), p.Maker().Name, reason), p.Quote(fields[0])).At(strength)
	},
}
