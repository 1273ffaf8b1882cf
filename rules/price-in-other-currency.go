package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// PriceInOtherCurrency finds a low price that is usual when read in the run's
// currency.
var PriceInOtherCurrency = &Rule{
	ID: "price-in-other-currency", Family: FamilyPrice, Weight: -6,
	Doc: Doc{
		Title:    "The number is usual in another currency",
		Meaning:  "In the currency that the listing names, the price is far below what is usual; the same number in the currency of the run is the usual price. The currency was probably mistaken, by the seller or by whoever wrote the table. It weighs only against findings on the price: an offer against which nothing but its price speaks is then not called suspect.",
		Formula:  fmt.Sprintf("currency other than that of the run; price / usual price at most %.1f, the number itself between %.1f and %.2f of the usual price. The usual price is the authorised one, else the median of the other sellers (engineering proposals; common practice, no source)", mistakenMost, mistakenFrom, mistakenTo),
		Innocent: "This finding speaks for the seller.",
		Ask:      "Ask in which currency the price is meant.",
		Since:    "1.1",
	},
	Needs: []Need{NeedPrice, NeedPart, NeedRate, NeedMarket},
	Run: func(p *Pass) Answer {
		if lack, ok := p.priceGap(); !ok {
			return Lacks(lack)
		}
		m := &p.Market
		ratio, ok := usualRatio(m)
		switch {
		case !ok:
			return Lacks(NeedMarket)
		case m.Listed.Currency == m.Price.Currency || m.Price.Minor <= 0 || ratio > mistakenMost:
			return Silent()
		}
		usual := m.Price.Float() / ratio
		if number := m.Listed.Float(); number < mistakenFrom*usual || number > mistakenTo*usual {
			return Silent()
		}
		return Found(fmt.Sprintf("At %s landed the price is %s of the usual one; the same number in %s would be the usual price.",
			Money(m.Listed), Percent(ratio), m.Price.Currency), p.Quote(listing.Price), p.Quote(listing.Currency))
	},
}

const (
	mistakenMost             = 0.5
	mistakenFrom, mistakenTo = 0.8, 1.25
)
