package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/market"
)

// NewBelowReman finds the price ladder inverted between new and
// remanufactured.
var NewBelowReman = &Rule{
	ID: "new-below-reman", Family: FamilyPrice, Weight: 7,
	Doc: Doc{
		Title:    "New at or under the price of remanufactured",
		Meaning:  "The listing presents a complete unit as new and as the maker's own, at or under the median price that other sellers ask for a remanufactured unit of the same part. Remanufactured units usually cost 50 to 80 % of new ones (79 FR 40623, savings of 20 to 50 %, all parts), so the order of prices is turned round.",
		Formula:  "unit landed price <= median of remanufactured and rebuilt offers of the part, from at least 3 seller groups; not where the text tells of a unit that was worked on or used",
		Innocent: "Old stock being cleared, or remanufactured offers that include fitting parts or a core deposit.",
		Ask:      "Ask for the year of manufacture and for photos of plate and box label of the unit that will be sent.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPrice, NeedPart, NeedRate, NeedCondition, NeedMarket},
	Run: func(p *Pass) Answer {
		return p.belowRungs("remanufactured units", market.RungReman)
	},
}

// belowRungs is the answer of both rules on the price ladder.
func (p *Pass) belowRungs(what string, rungs ...market.Rung) Answer {
	if lack, ok := p.priceGap(); !ok {
		return Lacks(lack)
	}
	if !p.Listing.Has(listing.Condition) {
		return Lacks(NeedCondition)
	}
	unit := p.Listing.Value(listing.UnitType)
	if !p.IsNew() || !p.PresentsAsMaker() || unit != "" && unit != listing.Complete && unit != listing.Unknown {
		return Silent()
	}
	if len(p.toldWorkedOn()) > 0 {
		return Silent() // the condition is doubtful, and new-yet-worked-on says so
	}
	known := false
	for _, rung := range rungs {
		class, ok := p.class(rung)
		if !ok {
			continue
		}
		known = true
		if p.Market.Price.Minor <= class.Median.Minor {
			return Found(fmt.Sprintf("Offered as new at %s landed%s, at or under the median of %s for %s of the part (%s).",
				Money(p.Market.Price), p.lowerBound(), Money(class.Median), what, count(class.N, "seller")),
				append(p.priceQuotes(), p.Quote(listing.Condition))...)
		}
	}
	if !known {
		return Lacks(NeedMarket)
	}
	return Silent()
}
