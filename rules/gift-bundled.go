package rules

import (
	"counterfoil/rules/claims"
	"counterfoil/rules/wording"
)

// GiftBundled finds a gift that goes with a new unit.
var GiftBundled = &Rule{
	ID: "gift-bundled", Family: FamilyTerms, Weight: 2,
	Doc: Doc{
		Title:    "Gift or tools thrown in",
		Meaning:  "A new unit presented as the maker's own comes with a gift. Extras make a copy at a middling price look generous.",
		Formula:  "words for a gift, free tools or a bonus; 40 % of the weight for gaskets, studs and fitting kits, which belong to an ordinary delivery (common practice, no source)",
		Innocent: "A shop that adds a gasket kit or a sticker to every order.",
		Ask:      "Ask whose the parts of the gift are.",
		Since:    "1.0",
	},
	Needs: []Need{NeedDescription},
	Run: func(p *Pass) Answer {
		found := p.Says().Find(claims.Gift)
		if len(found) > 0 && (!p.IsNew() || !p.PresentsAsMaker()) {
			return Silent()
		}
		a := p.phraseAnswer("A gift is thrown in with a new unit.", claims.Gift)
		for _, ph := range found {
			if _, _, kit := fittingWords.Find(ph.Quote); !kit {
				return a
			}
		}
		return a.At(0.4)
	},
}

var fittingWords = wording.New("gasket*", "fitting kit", "seal*", "stud*", "oil line", "dichtung*", "dichtsatz", "montagesatz", "joint*", "junta*",
	"uszczel*", "guarnizion*", "проклад*", "垫*")
