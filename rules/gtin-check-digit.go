package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// GTINCheckDigit recomputes the check digit of a GTIN.
var GTINCheckDigit = &Rule{
	ID: "gtin-check-digit", Family: FamilyIdentity, Weight: 3,
	Doc: Doc{
		Title:    "GTIN with a wrong check digit",
		Meaning:  "The bar code number is not a possible one: its check digit does not follow from the other digits, or it has a length that no GTIN has.",
		Formula:  "GS1 General Specifications, modulo 10: from the right, digits before the check digit times 3, 1, 3, 1, ...; lengths 8, 12, 13, 14",
		Innocent: "A typing error, or a shop's own article number in the field.",
		Ask:      "Ask for a photo of the bar code on the box.",
		Since:    "1.0",
	},
	Needs: []Need{NeedGTIN},
	Run: func(p *Pass) Answer {
		gtin := p.Listing.Value(listing.GTIN)
		if gtin == "" {
			return Lacks(NeedGTIN)
		}
		if listing.IsGTIN(gtin) {
			return Silent()
		}
		return Found(fmt.Sprintf("The GTIN %s does not have a valid check digit.", gtin), p.Quote(listing.GTIN))
	},
}
