package rules

import "counterfoil/rules/claims"

// VagueOrigin finds an origin that says nothing.
var VagueOrigin = &Rule{
	ID: "vague-origin", Family: FamilyClaim, Weight: 3,
	Doc: Doc{
		Title:    "Origin told in words that say nothing",
		Meaning:  "The text speaks of 'imported' goods or of some country's 'technology' in place of who made the part. The country itself weighs nothing: makers run plants in many countries.",
		Innocent: "A translation, or wording taken over from a supplier.",
		Ask:      "Ask who made the part and in which plant.",
		Since:    "1.0",
	},
	Needs: []Need{NeedDescription},
	Run: func(p *Pass) Answer {
		return p.phraseAnswer("The origin is told in words that name no maker.", claims.Origin)
	},
}
