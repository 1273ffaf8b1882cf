package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// BulkTerms finds wholesale terms on a unit that is sold one by one.
var BulkTerms = &Rule{
	ID: "bulk-terms", Family: FamilyPrice, Weight: 6,
	Doc: Doc{
		Title:    "Minimum order or tier prices",
		Meaning:  "A unit presented as the maker's own is offered with a minimum order or with prices that fall with the quantity. Makers sell scarce units through dealers one by one; tier prices are how factories of copies sell.",
		Formula:  "minimum order >= 2, or a price given as a range or 'from', on a listing that presents the item as the maker's own (common practice, no source)",
		Innocent: "A wholesaler of the maker, or a listing with several variants at different prices.",
		Ask:      "Ask for the price of a single unit and where the stock comes from.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPrice},
	Run: func(p *Pass) Answer {
		if !p.PresentsAsMaker() {
			return Silent()
		}
		if n, ok := p.Listing.Int(listing.MinimumOrder); ok && p.atLeast(n, "minimum-order") {
			return Found(fmt.Sprintf("Sold from %d units upward although it is presented as the maker's own part.", n),
				p.Quote(listing.MinimumOrder))
		}
		if !p.Listing.Has(listing.Price) {
			return Lacks(NeedPrice)
		}
		if p.Listing.Value(listing.PriceKind) == listing.PriceFrom {
			return Found("The price is a range or a 'from' price although the item is presented as the maker's own part.",
				p.Quote(listing.Price)).At(0.5)
		}
		return Silent()
	},
}
