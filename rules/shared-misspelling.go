package rules

import (
	"fmt"
	"unicode/utf8"

	"counterfoil/parse/listing"
)

// SharedMisspelling finds a rare misspelling at several sellers.
var SharedMisspelling = &Rule{
	ID: "shared-misspelling", Family: FamilyCross, Weight: 6,
	Doc: Doc{
		Title:    "The same rare misspelling at several sellers",
		Meaning:  "A word that nobody else in the batch misspells is misspelt in the same way by sellers who seem unrelated. One hand probably wrote both texts.",
		Formula:  "a token of 6 letters or more at 2 to 4 sellers that is one or two edits away from a frequent token of the batch; half weight for the seller at whom it was captured a month before all others",
		Innocent: "A common slip, a rare word that only looks like a misspelling, or one seller copying from the other.",
		Ask:      "Ask for the registered name and address of the trader.",
		Since:    "1.0",
	},
	Needs: []Need{NeedDescription, NeedSeller},
	Run: func(p *Pass) Answer {
		switch {
		case !p.Listing.Has(listing.Description):
			return Lacks(NeedDescription)
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		}
		for _, s := range p.Texts.RareShared(p.N) {
			if utf8.RuneCountInString(s.Token) < 6 {
				continue // short words are one edit from many others
			}
			if len(p.Engine.Disguised(s.Token)) > 0 {
				continue // a maker's name in disguise, which has a rule of its own
			}
			others := map[string]bool{}
			for _, n := range s.Listings {
				if g := p.SellerGroups[n]; g != "" && g != p.SellerGroup() {
					others[g] = true
				}
			}
			for _, n := range s.Listings {
				if others[p.SellerGroups[n]] {
					strength, first := 1.0, ""
					if k := p.earliest(s.Listings); k != "" && k == p.SellerKeys[p.N] {
						strength, first = 0.5, " It was captured here a month before: was the text copied from this seller?"
					}
					return Found(fmt.Sprintf("The description writes %q (for %q), as do %s only.%s", s.Token, s.Like, count(len(others), "other seller"), first),
						p.quoteWord(p.N, s.Token), p.quoteWord(n, s.Token)).At(strength)
				}
			}
		}
		return Silent()
	},
}

// quoteWord quotes a description around a word.
func (p *Pass) quoteWord(n int, word string) Evidence {
	l := p.Listings[n]
	f, _ := l.Get(listing.Description)
	return Quote(l, listing.Description, around(f.Raw, word, 60))
}
