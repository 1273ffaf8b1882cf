package rules

import "counterfoil/rules/claims"

// OffPlatform finds payment or contact outside the marketplace.
var OffPlatform = &Rule{
	ID: "off-platform", Family: FamilyTerms, Weight: 8,
	Doc: Doc{
		Title:    "Payment or contact outside the marketplace",
		Meaning:  "The buyer is asked to pay by bank transfer only, to order more cheaply outside, or to write to a messenger first. Outside the marketplace nobody protects the payment. It points strongly to fraud and only weakly to a copy.",
		Formula:  "words of payment or of a cheaper direct sale at full weight, of contact alone at three tenths",
		Innocent: "A trade supplier who gives a phone number for fitment questions.",
		Ask:      "Ask whether the order can be placed and paid through the marketplace.",
		Since:    "1.0",
	},
	Needs: []Need{NeedDescription},
	Run: func(p *Pass) Answer {
		if len(p.Says().Find(claims.OffPlatform, "payment", "cheaper-direct")) > 0 {
			return p.phraseAnswer("Payment or purchase outside the marketplace is asked for.", claims.OffPlatform, "payment", "cheaper-direct")
		}
		return p.phraseAnswer("Contact outside the marketplace is asked for.", claims.OffPlatform).At(0.3)
	},
}
