package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/gtin"
)

// GTINManyParts finds a GTIN that stands on several parts, or beside the one
// that the sellers of the part agree on.
var GTINManyParts = &Rule{
	ID: "gtin-many-parts", Family: FamilyCross, Weight: 4,
	Doc: Doc{
		Title:    "One GTIN on many parts, or another than the others give",
		Meaning:  "A GTIN names one trade item. Here it stands on several part numbers, or the sellers of the part agree on one GTIN and this listing has another: the number was then copied or invented to fill a field.",
		Formula:  "among listings that present the item as the maker's own: the GTIN stands on at least 3 parts (full weight), or at least 3 other seller groups, all others that give one, give one other GTIN for the part (half weight) (common practice, no source)",
		Innocent: "A listing with variants, a new number after a change of packing, or a part renumbered without an entry in the table of equivalents.",
		Ask:      "Ask for a photo of the bar code on the box.",
		Since:    "1.0",
	},
	Needs: []Need{NeedGTIN, NeedPart, NeedSeller},
	Run: func(p *Pass) Answer {
		g := p.Listing.Value(listing.GTIN)
		switch {
		case !listing.IsGTIN(g):
			return Lacks(NeedGTIN)
		case p.Part().ID == "":
			return Lacks(NeedPart)
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		case !p.PresentsAsMaker():
			return Silent()
		}
		uses := p.Compared.GTINs.Parts(g)
		if _, shop := gtin.Restricted(g); p.atLeast(len(uses), "gtin-parts") && !shop {
			evidence := []Evidence{p.Quote(listing.GTIN)}
			for _, u := range uses {
				if u.Part != p.Part().ID && len(evidence) < 4 {
					evidence = append(evidence, Quote(p.Listings[u.Listing], listing.GTIN, ""))
				}
			}
			return Found(fmt.Sprintf("The GTIN %s stands on %d parts.", g, len(uses)), evidence...)
		}
		a := p.Compared.GTINs.Agreed(p.Part().ID)
		if a.GTIN == gtin.Twelve(g) || !p.atLeast(a.Sellers, "gtin-sellers") || a.Of > a.Sellers+1 || p.isSmallPart() {
			return Silent()
		}
		return Found(fmt.Sprintf("%s give one GTIN for the part, and this listing another.", count(a.Sellers, "seller group")),
			p.Quote(listing.GTIN), Quote(p.Listings[a.Use.Listing], listing.GTIN, "")).At(0.5)
	},
}
