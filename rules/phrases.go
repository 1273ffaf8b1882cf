package rules

import (
	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
)

// phraseAnswer is the answer of a rule that looks for phrases of one stance:
// found with up to three quotes, or silent; not assessed when the listing has
// no text but a title.
func (p *Pass) phraseAnswer(statement string, s claims.Stance, codes ...string) Answer {
	if found := p.Says().Find(s, codes...); len(found) > 0 {
		return Found(statement, p.QuotePhrases(found, 3)...)
	}
	if !p.Listing.Has(listing.Description) {
		return Lacks(NeedDescription)
	}
	return Silent()
}

// decided gives the phrases that decided the listing's claim, of one stance or,
// for "", of any.
func (p *Pass) decided(s claims.Stance) []claims.Phrase {
	var list []claims.Phrase
	for _, ph := range p.Says().Phrases {
		if ph.Decided && (s == "" || ph.Stance == s) {
			list = append(list, ph)
		}
	}
	return list
}
