package rules

import "counterfoil/rules/claims"

// ClaimContradiction finds genuine and compatible claimed for one item.
var ClaimContradiction = &Rule{
	ID: "claim-contradiction", Family: FamilyClaim, Weight: 10,
	Doc: Doc{
		Title:    "Called genuine and compatible at once",
		Meaning:  "The same text claims the item to be the maker's own part and a part made to fit. One of the two is not so.",
		Formula:  "claim words of both kinds, neither negated, both bound to the unit by their nearest noun; not on kits and components, which are named for the unit they belong to",
		Innocent: "A genuine unit with a compatible gasket kit, or a sentence that the word list reads wrongly: see the quotes.",
		Ask:      "Ask which of the two holds: the maker's own part or one made to fit.",
		Since:    "1.0",
	},
	Needs: []Need{NeedClaim},
	Run: func(p *Pass) Answer {
		says := p.Says()
		switch says.Claim {
		case claims.ClaimSilent:
			return Lacks(NeedClaim)
		case claims.ClaimContradictory:
			if p.isSmallPart() {
				return Silent()
			}
			return Found("The text claims the item to be genuine and also to be made to fit.", p.QuotePhrases(p.decided(""), 4)...)
		}
		return Silent()
	},
}
