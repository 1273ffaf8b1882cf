package rules

import (
	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
)

// CopyTold finds words that openly call the item a copy.
var CopyTold = &Rule{
	ID: "copy-told", Family: FamilyClaim, Weight: 16,
	Doc: Doc{
		Title:    "Openly called a copy",
		Meaning:  "The text itself calls the item a replica, a copy, '1:1' or 'AAA'. It deceives no reader; whether it may be sold with the maker's marks is another question.",
		Innocent: "A word used of something else, for example a copy of a document: see the quote.",
		Ask:      "Nothing needs asking: the listing says it.",
		Since:    "1.0",
	},
	Needs: []Need{NeedDescription},
	Run: func(p *Pass) Answer {
		if p.Says().Claim != claims.ClaimCopy {
			if !p.Listing.Has(listing.Description) {
				return Lacks(NeedDescription)
			}
			return Silent()
		}
		return Found("The text openly calls the item a copy.", p.QuotePhrases(p.decided(claims.Copy), 3)...)
	},
}
