package rules

import (
	"fmt"
	"strings"

	"counterfoil/rules/serials"
)

// SerialPlaceholder finds a filler in the serial's place.
var SerialPlaceholder = &Rule{
	ID: "serial-placeholder", Family: FamilyIdentity, Weight: 6,
	Doc: Doc{
		Title:    "A filler in place of the serial",
		Meaning:  "The serial is a row of zeros, a counting row or another pattern that no unit carries.",
		Formula:  "one repeated character, a counting or keyboard row, a repeated pattern (common practice, no source). Words such as 'see photo' count as no serial; a masked serial counts a quarter, since masking hinders cloning.",
		Innocent: "The selling form asked for a number and the seller typed something.",
		Ask:      "Ask for the serial and a photo of the plate.",
		Since:    "1.0",
	},
	Needs: []Need{NeedSerial},
	Run: func(p *Pass) Answer {
		for _, n := range serialFields {
			s := p.Listing.Value(n)
			if s == "" {
				continue
			}
			why, filler := serials.Placeholder(s)
			if !filler {
				return Silent()
			}
			strength := 1.0
			switch {
			case !strings.ContainsAny(s, "0123456789"):
				continue // words in the serial's place
			case strings.Contains(why, "mask"):
				strength = 0.25
			case len(serials.Canonical(s)) < serials.MinLength:
				strength = 0.5
			}
			return Found(fmt.Sprintf("The serial is given as %q: %s.", s, why), p.Quote(n)).At(strength)
		}
		return Lacks(NeedSerial)
	},
}
