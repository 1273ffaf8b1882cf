package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
)

// BrandDenied finds a claim to be genuine on an item without a brand.
var BrandDenied = &Rule{
	ID: "brand-denied", Family: FamilyIdentity, Weight: 7,
	Doc: Doc{
		Title:    "No brand in the field, claimed genuine in the text",
		Meaning:  "The brand field says 'unbranded', 'does not apply' or the like, while the text claims the item to be the maker's own. The field is what a marketplace searches for copies.",
		Formula:  "brand field denies a brand, and the claim read from the text is genuine or contradictory",
		Innocent: "A listing template that was not filled in.",
		Ask:      "Ask who made the unit and for a photo of the maker's mark in the casting.",
		Since:    "1.0",
	},
	Needs: []Need{NeedBrand},
	Run: func(p *Pass) Answer {
		says := p.Says()
		switch {
		case !p.Listing.Has(listing.Brand):
			return Lacks(NeedBrand)
		case says.BrandState != claims.BrandUnbranded:
			return Silent()
		case says.Claim != claims.ClaimGenuine && says.Claim != claims.ClaimContradictory:
			return Silent()
		}
		return Found(fmt.Sprintf("The brand field says %q, the text claims the item to be genuine.", p.Listing.Value(listing.Brand)),
			append([]Evidence{p.Quote(listing.Brand)}, p.QuotePhrases(says.Find(claims.Genuine), 3)...)...)
	},
}
