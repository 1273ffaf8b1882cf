package rules

import (
	"fmt"
	"math"

	"counterfoil/parse/listing"
)

// PriceCollapse finds a price that fell steeply.
var PriceCollapse = &Rule{
	ID: "price-collapse", Family: FamilyTime, Weight: 5,
	Doc: Doc{
		Title:    "The price has collapsed",
		Meaning:  "Under the same id, the unit costs a fraction of what it cost at an earlier sighting. A seller who knows his cost rarely lets a genuine unit go at half its price within weeks.",
		Formula:  "price for one unit, with shipping where both sightings state it, divided by the highest of earlier sightings in the same currency, condition and unit type; full weight to 0.5, half to 0.6 (the project's choice)",
		Innocent: "A clearance, a corrected typing error, a damaged box, or a listing that is now for another unit.",
		Ask:      "Ask for the reason of the new price and whether the unit is still the same.",
		Since:    "1.0",
	},
	Needs: []Need{NeedEarlierRun, NeedSeenEarlier, NeedPrice},
	Run: func(p *Pass) Answer {
		if !p.hasPast() {
			return Lacks(NeedEarlierRun)
		}
		t := p.trace()
		switch {
		case t.Price.Minor <= 0:
			return Lacks(NeedPrice)
		case p.latest() == nil:
			return Lacks(NeedSeenEarlier)
		}
		var highest *Earlier
		least := math.Inf(1)
		for _, e := range p.states() {
			if ratio, ok := priceRatio(t, &e.Trace); ok && ratio < least {
				highest, least = e, ratio
			}
		}
		if least > p.limit("collapse-ratio") {
			return Silent()
		}
		strength := 0.5
		if least <= 0.5 {
			strength = 1
		}
		return Found(fmt.Sprintf("The price is %s of that of %s: %s then, %s now.", Percent(least), onDay(highest.Last), priceText(&highest.Trace), priceText(t)),
			p.Quote(listing.Price), quoteEarlier(highest, priceText(&highest.Trace))).At(strength)
	},
}

// priceRatio divides the unit prices of two states of a listing, if they can be
// compared.
func priceRatio(now, then *Trace) (float64, bool) {
	if then.Price.Minor <= 0 || then.Price.Currency != now.Price.Currency || then.Condition != now.Condition || then.Unit != now.Unit {
		return 0, false
	}
	a, b := float64(now.Price.Minor), float64(then.Price.Minor)
	if now.Shipping >= 0 && then.Shipping >= 0 {
		a, b = a+float64(now.Shipping), b+float64(then.Shipping)
	}
	return a / float64(now.Lot) * float64(then.Lot) / b, true
}

func priceText(t *Trace) string {
	s := Money(t.Price)
	if t.Shipping > 0 {
		s += " + " + Money(listing.Amount{Minor: t.Shipping, Currency: t.Price.Currency})
	}
	if t.Lot > 1 {
		s += fmt.Sprintf(" for %d", t.Lot)
	}
	return s
}
