package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/gtin"
)

// GTINRestricted finds a bar code number from a range that names no trade item.
var GTINRestricted = &Rule{
	ID: "gtin-restricted", Family: FamilyIdentity, Weight: 2,
	Doc: Doc{
		Title:    "GTIN from a range that names no trade item",
		Meaning:  "The bar code number is valid, but its range is kept for in-store numbers, demonstrations, books or coupons. No maker numbers units in it.",
		Formula:  "GS1 General Specifications: GS1 prefixes 020-029, 040-049, 200-299 (restricted circulation), 952 (demonstrations), 977-979 (serials and books), 980-984 and 990-999 (refund receipts, coupons); GTIN-8 beginning with 0 or 2",
		Innocent: "A shop that labels its stock itself and typed its own code into the field.",
		Ask:      "Ask for a photo of the bar code on the box.",
		Since:    "1.0",
	},
	Needs: []Need{NeedGTIN},
	Run: func(p *Pass) Answer {
		g := p.Listing.Value(listing.GTIN)
		if !listing.IsGTIN(g) {
			return Lacks(NeedGTIN)
		}
		what, ok := gtin.Restricted(g)
		if !ok {
			return Silent()
		}
		return Found(fmt.Sprintf("The range of the GTIN %s is kept for %s.", g, what), p.Quote(listing.GTIN))
	},
}
