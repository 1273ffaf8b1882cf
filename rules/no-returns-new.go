package rules

import (
	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
)

// NoReturnsNew finds a new unit sold without returns.
var NoReturnsNew = &Rule{
	ID: "no-returns-new", Family: FamilyTerms, Weight: 3,
	Doc: Doc{
		Title:    "No returns on a new unit",
		Meaning:  "A unit offered as new is sold without returns or as it stands. Whoever stands behind new goods takes them back unused.",
		Innocent: "A private sale, or a clearance.",
		Ask:      "Ask whether an unused unit can be returned.",
		Since:    "1.0",
	},
	Needs: []Need{NeedCondition, NeedReturns},
	Run: func(p *Pass) Answer {
		if !p.Listing.Has(listing.Condition) {
			return Lacks(NeedCondition)
		}
		if !p.IsNew() {
			return Silent()
		}
		if found := p.Says().Find(claims.NoReturns, "no-returns", "as-is"); len(found) > 0 {
			return Found("Offered as new and sold without returns.", p.QuotePhrases(found, 2)...)
		}
		if !p.Listing.Has(listing.Returns) {
			return Lacks(NeedReturns)
		}
		return Silent()
	},
}
