package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
)

// BrandYetFits finds the maker in the brand field of a part made to fit.
var BrandYetFits = &Rule{
	ID: "brand-yet-fits", Family: FamilyIdentity, Weight: 6,
	Doc: Doc{
		Title:    "Brand field names the maker, title says 'fits'",
		Meaning:  "The brand field says that the maker made the part, the title that it is made to fit. A buyer who filters by brand gets a part of another origin.",
		Formula:  "brand field is a maker's name, and the title names the same maker after 'for', 'fits', 'compatible with' or their like; half weight where the description says so too; not on kits and components, which are named for the unit they belong to",
		Innocent: "The selling form forces a brand to be chosen, and the seller chose the one the part fits.",
		Ask:      "Ask who made the unit itself.",
		Since:    "1.0",
	},
	Needs: []Need{NeedBrand, NeedTitle},
	Run: func(p *Pass) Answer {
		says := p.Says()
		switch {
		case !p.Listing.Has(listing.Brand):
			return Lacks(NeedBrand)
		case !p.Listing.Has(listing.Title):
			return Lacks(NeedTitle)
		case says.BrandState != claims.BrandMaker, p.isSmallPart():
			return Silent()
		}
		for _, ph := range says.Find(claims.Compatible) {
			if ph.Field == listing.Title && ph.Maker == says.Brand {
				a := Found(fmt.Sprintf("The brand field says %s, the title says %q.", p.Listing.Value(listing.Brand), ph.Quote),
					p.Quote(listing.Brand), p.Quote(listing.Title))
				if p.saysFitsInText() {
					return a.At(0.5)
				}
				return a
			}
		}
		return Silent()
	},
}

// saysFitsInText reports whether the description, too, calls the item made to
// fit and nothing calls it the maker's own.
func (p *Pass) saysFitsInText() bool {
	says := p.Says()
	if says.Claim != claims.ClaimCompatible {
		return false
	}
	for _, ph := range says.Find(claims.Compatible) {
		if ph.Field == listing.Description {
			return true
		}
	}
	return false
}
