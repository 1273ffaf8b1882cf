package rules

import "counterfoil/rules/claims"

// LogoRemoved finds a mark said to be taken off.
var LogoRemoved = &Rule{
	ID: "logo-removed", Family: FamilyClaim, Weight: 15, Decisive: true,
	Doc: Doc{
		Title:    "Mark said to be removed",
		Meaning:  "The text says that the maker's logo was removed for legal or customs reasons. A maker's own part needs no such thing.",
		Innocent: "De-branding agreed with the maker, which the seller can show in writing.",
		Ask:      "Ask for the agreement under which the mark was removed.",
		Since:    "1.0",
	},
	Needs: []Need{NeedDescription},
	Run: func(p *Pass) Answer {
		return p.phraseAnswer("The text says that the maker's mark was removed.", claims.LogoRemoved)
	},
}
