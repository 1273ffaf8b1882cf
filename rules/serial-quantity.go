package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// SerialQuantity finds one serial on an offer of many units.
var SerialQuantity = &Rule{
	ID: "serial-quantity", Family: FamilyIdentity, Weight: 7,
	Doc: Doc{
		Title:    "One serial, several units on offer",
		Meaning:  "The listing names one serial and offers more than one unit. Each unit has a serial of its own, so the number belongs to at most one of them.",
		Formula:  "a serial and quantity available >= 2; from 10 units at full weight, from 5 at two thirds, below at three tenths",
		Innocent: "The plate of one unit photographed as a sample for all.",
		Ask:      "Ask for the serial and a plate photo of the unit that will be sent.",
		Since:    "1.0",
	},
	Needs: []Need{NeedSerial, NeedQuantity},
	Run: func(p *Pass) Answer {
		serial, fields := p.serial()
		if serial == "" {
			return Lacks(NeedSerial)
		}
		n, ok := p.Listing.Int(listing.QuantityAvailable)
		if !ok {
			return Lacks(NeedQuantity)
		}
		if n < 2 {
			return Silent()
		}
		strength := 0.3 // a sample of a small stock
		switch {
		case p.atLeast(n, "serial-units"):
			strength = 1
		case n >= 5:
			strength = 0.67
		}
		return Found(fmt.Sprintf("%d units are offered under the one serial %s.", n, p.Listing.Value(fields[0])),
			p.Quote(fields[0]), p.Quote(listing.QuantityAvailable)).At(strength)
	},
}
