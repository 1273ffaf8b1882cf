package rules

import "counterfoil/rules/claims"

// NeutralBox finds a new unit of a maker in a box without a brand.
var NeutralBox = &Rule{
	ID: "neutral-box", Family: FamilyPackaging, Weight: 2,
	Doc: Doc{
		Title:    "New and the maker's own, in a neutral box",
		Meaning:  "The unit is offered as new and as the maker's own, and comes in a box without a brand. Makers sell new units in boxes of their own.",
		Formula:  "words for a neutral box in the text, or the mark neutral-box, on a new item, kits and components apart, presented as the maker's own (common practice, no source)",
		Innocent: "Units from a vehicle maker's line come in bulk, and boxes get damaged.",
		Ask:      "Ask where the maker's box is and for a photo of its label.",
		Since:    "1.0",
	},
	Needs: []Need{NeedCondition, NeedDescription},
	Run: func(p *Pass) Answer {
		if !p.hasCondition() {
			return Lacks(NeedCondition)
		}
		if !p.IsNew() || !p.PresentsAsMaker() || p.isSmallPart() {
			return Silent()
		}
		if found := p.marked(MarkNeutralBox); len(found) > 0 {
			return Found("A photo of a new unit presented as the maker's own is marked as showing a neutral box.", found...)
		}
		return p.phraseAnswer("A new unit presented as the maker's own comes in a neutral box.", claims.Branding, "neutral-box")
	},
}
