package rules

import (
	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
	"counterfoil/rules/wording"
)

// UpgradeYetOriginal finds an upgraded unit that is claimed to be original.
var UpgradeYetOriginal = &Rule{
	ID: "upgrade-yet-original", Family: FamilyClaim, Weight: 6,
	Doc: Doc{
		Title:    "'Upgraded' beside 'original'",
		Meaning:  "A new unit is claimed to be the maker's original and to have another wheel or an upgrade. Either somebody changed the maker's unit, or it is not the maker's.",
		Formula:  "words of a billet wheel (full weight) or of an upgrade (half) bound to the unit, beside a claim to be genuine; condition new; words such as 'hybrid' and 'tuned', which name vehicles too, are left out (common practice, no source)",
		Innocent: "The maker's own upgrade line, or a list of accessories.",
		Ask:      "Ask who fitted the wheel, and for the maker's number of this version.",
		Since:    "1.0",
	},
	Needs: []Need{NeedCondition, NeedDescription},
	Run: func(p *Pass) Answer {
		switch {
		case !p.hasCondition():
			return Lacks(NeedCondition)
		case !p.IsNew() || p.isSmallPart():
			return Silent()
		}
		if says := p.Says(); says.Claim == claims.ClaimGenuine || says.Claim == claims.ClaimContradictory {
			a := Silent()
			for _, ph := range says.Find(claims.Upgrade) {
				if _, _, vehicle := vehicleWords.Find(ph.Quote); vehicle || !ph.OfItem() && ph.Code != "billet" {
					continue
				}
				found := Found("The text claims the unit to be original and to be upgraded.",
					append(p.QuotePhrases(p.decided(claims.Genuine), 2), Quote(p.Listing, ph.Field, ph.Quote))...)
				if ph.Code == "billet" {
					return found
				}
				a = found.At(0.5)
			}
			if a.finding != nil {
				return a
			}
		}
		if !p.Listing.Has(listing.Description) {
			return Lacks(NeedDescription)
		}
		return Silent()
	},
}

var vehicleWords = wording.New("hybrid*", "tuned", "гибрид*", "混动")
