package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
	"counterfoil/rules/origin"
)

// DomesticMadeContradicted finds an unqualified claim of origin that the same
// text contradicts.
var DomesticMadeContradicted = &Rule{
	ID: "domestic-made-contradicted", Family: FamilyClaim, Weight: 6,
	Doc: Doc{
		Title:    "'Made in' claimed, contradicted in the same text",
		Meaning:  "The text claims without qualification that the item was made in one country, and elsewhere that it was made in another or that it was imported into that country. For the United States, 16 CFR 323 treats an unqualified claim of domestic origin as deceptive unless all or virtually all of the item is made there; check with counsel.",
		Formula:  "two statements with different countries in title and description; or one that names the country the item ships from, beside 'imported' (common practice, no source)",
		Innocent: "Two variants in one listing, or a template.",
		Ask:      "Ask where the unit itself was made and for the origin printed on the box.",
		Since:    "1.0",
	},
	Needs: []Need{NeedDescription},
	Run: func(p *Pass) Answer {
		domestic := p.Says().Find(claims.Domestic)
		var made []madeIn
		if len(domestic) > 0 {
			made = p.madeIn()
		}
		for i, a := range made {
			for _, b := range made[i+1:] {
				if a.Country != b.Country {
					return Found(fmt.Sprintf("The text says %q and %q.", a.quote, b.quote),
						Quote(p.Listing, a.field, a.quote), Quote(p.Listing, b.field, b.quote))
				}
			}
		}
		for _, d := range domestic {
			s := origin.MadeIn(d.Quote)
			imported := p.Says().Find(claims.Origin, "imported")
			if len(s) == 0 || len(imported) == 0 || s[0].Country != p.Listing.Value(listing.ShipsFrom) {
				continue
			}
			return Found(fmt.Sprintf("The text says %q and %q of an item that ships from the same country.", d.Quote, imported[0].Quote),
				Quote(p.Listing, d.Field, d.Quote), Quote(p.Listing, imported[0].Field, imported[0].Quote))
		}
		if !p.Listing.Has(listing.Description) {
			return Lacks(NeedDescription)
		}
		return Silent()
	},
}
