package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/gtin"
)

// GTINOtherFirm holds a GTIN against the maker's company prefixes.
var GTINOtherFirm = &Rule{
	ID: "gtin-other-firm", Family: FamilyIdentity, Weight: 5,
	Doc: Doc{
		Title:    "GTIN of another firm",
		Meaning:  "The item is presented as the maker's own, but its bar code number begins with none of the company prefixes that the profile knows of the maker. The prefix names the firm that numbered the item, not the country where it was made.",
		Formula:  "valid GTIN-12, -13 or -14 outside the restricted ranges, in its 13-digit form; no prefix of the profile fits (GS1 General Specifications)",
		Innocent: "A reseller's or importer's own code, a vehicle maker's box, or a prefix that the profile does not have yet.",
		Ask:      "Ask for a photo of the bar code on the maker's box.",
		Since:    "1.0",
	},
	Needs: []Need{NeedGTIN, NeedMakers, NeedGTINPrefixes},
	Run: func(p *Pass) Answer {
		g := p.Listing.Value(listing.GTIN)
		switch {
		case !listing.IsGTIN(g):
			return Lacks(NeedGTIN)
		case p.Maker() == nil:
			return Lacks(NeedMakers)
		case len(p.Maker().GTINPrefixes) == 0:
			return Lacks(NeedGTINPrefixes)
		case !p.PresentsAsMaker() || len(g) == 8 || gtin.Has(g, p.Maker().GTINPrefixes):
			return Silent()
		}
		if _, ok := gtin.Restricted(g); ok {
			return Silent()
		}
		return Found(fmt.Sprintf("The GTIN %s begins with none of the prefixes that the profile gives for %s.", g, p.Maker().Name),
			p.Quote(listing.GTIN))
	},
}
