package rules

import (
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
)

// NewYetWorkedOn finds 'new' beside words of used or rebuilt units.
var NewYetWorkedOn = &Rule{
	ID: "new-yet-worked-on", Family: FamilyClaim, Weight: 7,
	Doc: Doc{
		Title:    "'New' beside cleaned, rebuilt or used",
		Meaning:  "The condition is given as new while the text says that the unit was cleaned, rebuilt, reconditioned or used. For the United States, 16 CFR 20.1 treats unqualified 'new' on such parts as deceptive; check with counsel.",
		Formula:  "condition new, and words of rebuilding, cleaning or use bound to the unit; 'bench tested' is no such word",
		Innocent: "A new unit tested on the bench, or a note on the seller's other work.",
		Ask:      "Ask whether any part of the unit was used or worked on before.",
		Since:    "1.0",
	},
	Needs: []Need{NeedCondition, NeedDescription},
	Run: func(p *Pass) Answer {
		if !p.Listing.Has(listing.Condition) {
			return Lacks(NeedCondition)
		}
		if !p.IsNew() {
			return Silent()
		}
		worked := p.toldWorkedOn()
		if len(worked) > 0 {
			return Found("The condition is given as new, the text speaks of a unit that was worked on or used.",
				append([]Evidence{p.Quote(listing.Condition)}, p.QuotePhrases(worked, 3)...)...)
		}
		if !p.Listing.Has(listing.Description) {
			return Lacks(NeedDescription)
		}
		return Silent()
	},
}

// workedOn lists the words that tell of a unit that was cleaned, rebuilt or
// used.
func (p *Pass) toldWorkedOn() []claims.Phrase {
	return slices.DeleteFunc(p.Says().Find(claims.Condition, "cleaned", "rebuilt", "remanufactured", "used"),
		func(ph claims.Phrase) bool { return !ph.OfItem() })
}
