package rules

import "counterfoil/rules/market"

// NewAtCorePrice finds a new unit at the price of a used one or of a part of
// it.
var NewAtCorePrice = &Rule{
	ID: "new-at-core-price", Family: FamilyPrice, Weight: 9,
	Doc: Doc{
		Title:    "New at the price of used, core or CHRA",
		Meaning:  "The listing presents a complete unit as new and as the maker's own, at or under the median price of used units, of cores for rebuilding or of the bare centre housing of the same part. No seller gives up that much without a reason.",
		Formula:  "unit landed price <= median of used, core or CHRA offers of the part, each from at least 3 seller groups; not where the text tells of a unit that was worked on or used",
		Innocent: "A typing error in the price, or a listing that offers only the centre housing (CHRA) or a component and does not say so clearly.",
		Ask:      "Ask whether the price is for a complete new unit, and what exactly is in the box.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPrice, NeedPart, NeedRate, NeedCondition, NeedMarket},
	Run: func(p *Pass) Answer {
		return p.belowRungs("used units, cores or centre housings", market.RungCore, market.RungUsed, market.RungCHRA)
	},
}
