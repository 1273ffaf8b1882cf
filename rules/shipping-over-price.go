package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// ShippingOverPrice finds a price that is partly asked as shipping.
var ShippingOverPrice = &Rule{
	ID: "shipping-over-price", Family: FamilyPrice, Weight: 2,
	Doc: Doc{
		Title:    "Shipping dear beside the price",
		Meaning:  "Shipping of a new unit costs half its price or more. The listing then stands first when buyers sort by price, and a refund of the price leaves the shipping with the seller.",
		Formula:  "shipping >= 0.5 x item price, on a new unit presented as the maker's own; kits and components are left out (common practice, no source)",
		Innocent: "A remote address, air freight, or a shipping field with a flat rate for pallets.",
		Ask:      "Ask for the price with shipping to your address, and what of it is refunded on return.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPrice, NeedShipping},
	Run: func(p *Pass) Answer {
		if p.Landed().Excluded != "" {
			return Lacks(NeedPrice)
		}
		shipping, ok := p.Listing.Amount(listing.Shipping)
		if !ok {
			return Lacks(NeedShipping)
		}
		price, _ := p.Listing.Amount(listing.Price)
		if !p.IsNew() || !p.PresentsAsMaker() || p.isSmallPart() || float64(shipping.Minor) < p.limit("shipping-share")*float64(price.Minor) {
			return Silent()
		}
		return Found(fmt.Sprintf("Shipping costs %s on a price of %s.", Money(shipping), Money(price)),
			p.Quote(listing.Price), p.Quote(listing.Shipping))
	},
}
