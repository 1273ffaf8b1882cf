package rules

import (
	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
	"counterfoil/rules/wording"
)

// RemanNoCore finds a remanufactured unit without a word on the old one.
var RemanNoCore = &Rule{
	ID: "reman-no-core", Family: FamilyTerms, Weight: 2,
	Doc: Doc{
		Title:    "Remanufactured, without core terms",
		Meaning:  "A complete unit is offered as remanufactured, and neither the fields nor the text say anything of a core deposit or of the old unit. Remanufacture lives on cores, so its sellers usually want the old unit back.",
		Formula:  "condition remanufactured or rebuilt, no core deposit, and a description without words for core, old unit, exchange or deposit; half weight when the maker is not presented as the maker of the unit (common practice, no source)",
		Innocent: "The core was waived, the terms stand elsewhere on the page, or the seller rebuilds to the buyer's order.",
		Ask:      "Ask who remanufactured the unit and whether the old one must be returned.",
		Since:    "1.0",
	},
	Needs: []Need{NeedCondition, NeedDescription},
	Run: func(p *Pass) Answer {
		condition := p.Listing.Value(listing.Condition)
		switch {
		case condition == "":
			return Lacks(NeedCondition)
		case condition != listing.Remanufactured && condition != listing.Rebuilt, p.isSmallPart(),
			p.Listing.Has(listing.CoreDeposit):
			return Silent()
		case !p.Listing.Has(listing.Description):
			return Lacks(NeedDescription)
		}
		for _, ph := range p.Says().Phrases {
			if ph.Stance == claims.Condition && (ph.Code == "core" || ph.Code == "core-charge" || ph.Code == "exchange") {
				return Silent()
			}
		}
		for _, n := range []listing.Name{listing.Title, listing.Description, listing.Returns, listing.Warranty} {
			if _, _, ok := coreWords.FindFolded(p.folded(n)); ok {
				return Silent()
			}
		}
		a := Found("Offered as remanufactured or rebuilt; neither a core deposit nor the return of the old unit is mentioned.", p.Quote(listing.Condition))
		if !p.PresentsAsMaker() {
			return a.At(0.5)
		}
		return a
	},
}

// coreWords are words for the old unit and its deposit. Common practice, no
// source.
var coreWords = wording.New("core*", "old unit*", "old turbo*", "your unit", "your turbo*", "surcharge", "deposit*",
	"altteil*", "pfand", "austausch*", "im tausch", "consigne*", "échange standard", "vieille pièce", "ancien turbo",
	"casco*", "intercambio", "pieza vieja", "kaucj*", "starej części", "zwrot starego", "reso", "usato da rendere",
	"залог*", "обмен*", "旧件")
