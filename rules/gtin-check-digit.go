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
		if validGTIN(gtin) {
			return Silent()
		}
		return Found(fmt.Sprintf("The GTIN %s does not have a valid check digit.", gtin), p.Quote(listing.GTIN))
	},
}

// validGTIN reports whether s is a GTIN-8, -12, -13 or -14 with the right
// check digit.
func validGTIN(s string) bool {
	switch len(s) {
	case 8, 12, 13, 14:
	default:
		return false
	}
	sum := 0
	for i := range len(s) {
		d := int(s[i] - '0')
		if d < 0 || d > 9 {
			return false
		}
		if (len(s)-i)%2 == 0 {
			d *= 3
		}
		sum += d
	}
	return sum%10 == 0
}
