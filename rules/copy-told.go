package rules

import "counterfoil/rules/claims"

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
		a := p.phraseAnswer("The text openly calls the item a copy.", claims.Copy)
		if a.finding == nil {
			return a
		}
		// A copy of the invoice is none of the item.
		var ofItem []claims.Phrase
		for _, ph := range p.Says().Find(claims.Copy) {
			if ph.Scope == claims.ScopeItem || ph.Scope == claims.ScopeUnit {
				ofItem = append(ofItem, ph)
			}
		}
		if len(ofItem) == 0 {
			return Silent()
		}
		return Found(a.finding.Statement, p.QuotePhrases(ofItem, 3)...)
	},
}
