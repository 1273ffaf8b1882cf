package rules

import (
	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
	"counterfoil/rules/wording"
)

// DisclaimerYetGenuine finds a genuine title above a disclaimer of the name.
var DisclaimerYetGenuine = &Rule{
	ID: "disclaimer-yet-genuine", Family: FamilyClaim, Weight: 7,
	Doc: Doc{
		Title:    "'Names for reference only' under a genuine title",
		Meaning:  "The title claims the item to be the maker's own, and the text says that makers' names are given for reference only. The disclaimer alone is honest; it belongs to a part made to fit.",
		Formula:  "words for 'names for reference only' beside a claim in the title to be genuine; 30 % of the weight for 'not affiliated' and the like alone, which an independent seller of genuine parts may write (common practice, no source)",
		Innocent: "A disclaimer that a shop puts under all its listings.",
		Ask:      "Ask whether the unit was made by the maker that the title names.",
		Since:    "1.0",
	},
	Needs: []Need{NeedTitle, NeedDescription},
	Run: func(p *Pass) Answer {
		if !p.Listing.Has(listing.Title) {
			return Lacks(NeedTitle)
		}
		disclaimers := p.Says().Find(claims.Reference)
		if len(disclaimers) == 0 {
			if !p.Listing.Has(listing.Description) {
				return Lacks(NeedDescription)
			}
			return Silent()
		}
		for _, ph := range p.Says().Find(claims.Genuine) {
			if ph.Field != listing.Title || !ph.OfItem() {
				continue
			}
			a := Found("The title claims the item to be genuine, the text calls the names a reference only.",
				append([]Evidence{Quote(p.Listing, ph.Field, ph.Quote)}, p.QuotePhrases(disclaimers, 2)...)...)
			for _, d := range disclaimers {
				if _, _, independent := independence.Find(d.Quote); !independent {
					return a
				}
			}
			return Found("The title claims the item to be genuine, the text denies any tie to the maker.",
				append([]Evidence{Quote(p.Listing, ph.Field, ph.Quote)}, p.QuotePhrases(disclaimers, 2)...)...).At(0.3)
		}
		return Silent()
	},
}

// independence are words that deny a tie to the maker and say nothing of the
// part.
var independence = wording.New("affiliat*", "associat*", "connect*", "endors*", "sponsor*", "verbindung", "verbunden",
	"affili*", "vinculad*", "afiliad*", "asociad*", "collegat*", "affiliat*", "powiązan*", "связан*", "аффилирован*", "关联", "附属")
