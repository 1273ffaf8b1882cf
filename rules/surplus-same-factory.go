package rules

import "counterfoil/rules/claims"

// SurplusSameFactory finds goods said to have left the maker's factory by the
// back door.
var SurplusSameFactory = &Rule{
	ID: "surplus-same-factory", Family: FamilyClaim, Weight: 10,
	Doc: Doc{
		Title:    "'Surplus', 'same factory, no logo'",
		Meaning:  "The text explains the missing mark or the low price by overrun or surplus of the maker's own factory. The story can hardly be checked and is the usual one told with copies.",
		Formula:  "words of the same factory or production line at full weight, at half on an offer that says 'compatible', of plain surplus at half; a clearance is no surplus",
		Innocent: "Real surplus, sold with papers.",
		Ask:      "Ask for the maker's release papers or the invoice of the lot.",
		Since:    "1.0",
	},
	Needs: []Need{NeedDescription},
	Run: func(p *Pass) Answer {
		if len(p.Says().Find(claims.Surplus, "same-factory")) > 0 {
			a := p.phraseAnswer("The text says that the part comes from the maker's own factory.", claims.Surplus, "same-factory")
			if p.Says().Claim == claims.ClaimCompatible {
				return a.At(0.5)
			}
			return a
		}
		return p.phraseAnswer("The text explains the offer by factory surplus.", claims.Surplus).At(0.5)
	},
}
