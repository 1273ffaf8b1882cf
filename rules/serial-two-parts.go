package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/parts"
)

// SerialTwoParts finds one serial on listings of different parts.
var SerialTwoParts = &Rule{
	ID: "serial-two-parts", Family: FamilyIdentity, Weight: 9,
	Doc: Doc{
		Title:    "One serial, several part numbers",
		Meaning:  "The serial also stands on a listing of another part. A unit has one serial and one part number.",
		Formula:  "equal serials, resolved parts that differ after the table of equivalents, same unit type; a listing that gives OE numbers alone is left out, since one part has several",
		Innocent: "A superseded number that the table of equivalents does not have, or a seller who lists one unit for several vehicles.",
		Ask:      "Ask which part number is stamped on the plate beside the serial.",
		Since:    "1.0",
	},
	Needs: []Need{NeedSerial, NeedPart},
	Run: func(p *Pass) Answer {
		serial, fields := p.serial()
		part := p.Part()
		switch {
		case serial == "":
			return Lacks(NeedSerial)
		case part.ID == "" || part.Field == listing.OENumbers:
			return Lacks(NeedPart)
		}
		for _, s := range p.Serials.Of(serial) {
			other := p.Parts[s.Listing]
			if other.ID == "" || other.ID == part.ID || sameNumber(other, part) || other.Field == listing.OENumbers ||
				p.Listings[s.Listing].Value(listing.UnitType) != p.Listing.Value(listing.UnitType) {
				continue
			}
			return Found(fmt.Sprintf("The serial %s also stands on a listing of %s.", p.Listing.Value(fields[0]), other.ID),
				p.Quote(fields[0]), p.Quote(part.Field), Quote(p.Listings[s.Listing], s.Field, ""), Quote(p.Listings[s.Listing], other.Field, ""))
		}
		return Silent()
	},
}

// sameNumber reports whether two parts bear one number, the maker of one of
// them not being known.
func sameNumber(a, b *parts.Part) bool {
	return (a.Maker == nil || b.Maker == nil) && listing.CanonicalNumber(a.Number) == listing.CanonicalNumber(b.Number)
}
