package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// WasPriceLarge finds a struck-out price far above the asked one.
var WasPriceLarge = &Rule{
	ID: "was-price-large", Family: FamilyTerms, Weight: 2,
	Doc: Doc{
		Title:    "Struck-out price far above the asked one",
		Meaning:  "The listing strikes out an earlier price of at least twice the asked one. Such a discount presses the buyer and makes a low price look explained.",
		Formula:  "earlier price >= 2 x asked price, both in the listing's currency (common practice, no source)",
		Innocent: "A clearance, or a shop that prints the list price beside its own.",
		Ask:      "Ask why the price was lowered.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPrice, NeedWas},
	Run: func(p *Pass) Answer {
		price, ok := p.Listing.Amount(listing.Price)
		if !ok || price.Minor <= 0 {
			return Lacks(NeedPrice)
		}
		was, ok := p.Listing.Amount(listing.PriceWas)
		if !ok {
			return Lacks(NeedWas)
		}
		if float64(was.Minor) < p.limit("was-ratio")*float64(price.Minor) {
			return Silent()
		}
		return Found(fmt.Sprintf("The price was lowered from %s to %s, by %s.", Money(was), Money(price),
			Percent(1-price.Float()/was.Float())), p.Quote(listing.PriceWas), p.Quote(listing.Price))
	},
}
