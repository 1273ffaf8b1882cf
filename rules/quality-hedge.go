package rules

import "counterfoil/rules/claims"

// QualityHedge finds wording that leans on the original.
var QualityHedge = &Rule{
	ID: "quality-hedge", Family: FamilyClaim, Weight: 4,
	Doc: Doc{
		Title:    "'OEM quality' and the like",
		Meaning:  "The text leans on the original ('OEM quality', 'same as original') without saying who made the part.",
		Formula:  "hedging words on a listing that does not say 'compatible'; half weight where it does, since honest aftermarket uses the words too",
		Innocent: "The ordinary wording of honest aftermarket sellers.",
		Ask:      "Ask who made the part and where it comes from.",
		Since:    "1.0",
	},
	Needs: []Need{NeedDescription},
	Run: func(p *Pass) Answer {
		a := p.phraseAnswer("The text leans on the original without naming who made the part.", claims.Hedge,
			"oem-quality", "like-original", "top-quality")
		if p.Says().Claim == claims.ClaimCompatible {
			return a.At(0.5)
		}
		return a
	},
}
