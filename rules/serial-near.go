package rules

import (
	"fmt"

	"counterfoil/rules/serials"
)

// SerialNear finds serials at other sellers that read alike.
var SerialNear = &Rule{
	ID: "serial-near", Family: FamilyIdentity, Weight: 4,
	Doc: Doc{
		Title:    "Serial reads like one at another seller",
		Meaning:  "Another seller shows a serial that differs from this one only in characters that look alike on a plate. It may be the same plate, read or typed differently; the two are never taken as equal.",
		Formula:  "equal after 0 and O, 1, I and L, 8 and B, 5 and S, 2 and Z are read as one, but not equal as written; at another seller group",
		Innocent: "Two units whose serials differ in just such a character.",
		Ask:      "Ask for a sharp photo of the plate, and read the serial character by character.",
		Since:    "1.0",
	},
	Needs: []Need{NeedSerial, NeedSeller},
	Run: func(p *Pass) Answer {
		serial, fields := p.serial()
		switch {
		case serial == "":
			return Lacks(NeedSerial)
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		}
		for _, s := range p.Serials.Near(serial) {
			if s.Seller != "" && s.Seller != p.SellerGroup() {
				return Found(fmt.Sprintf("The serial %s reads like %s at another seller.",
					p.Listing.Value(fields[0]), serials.Canonical(s.Serial)),
					p.Quote(fields[0]), Quote(p.Listings[s.Listing], s.Field, ""))
			}
		}
		return Silent()
	},
}
