package rules

import (
	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
)

// DealerNotListed holds a claim to be an authorised dealer against the list.
var DealerNotListed = &Rule{
	ID: "dealer-not-listed", Family: FamilySeller, Weight: 9,
	Doc: Doc{
		Title:    "'Authorised dealer' not on the list",
		Meaning:  "The seller claims to be an authorised dealer, and the user's list of the maker's authorised sellers does not have the name.",
		Innocent: "A sub-dealer, another trading name, or a list that is out of date.",
		Ask:      "Ask for the dealer number and check it with the maker.",
		Since:    "1.0",
	},
	Needs: []Need{NeedDescription, NeedMakers, NeedAuthorised, NeedSeller},
	Run: func(p *Pass) Answer {
		a := p.phraseAnswer("The seller claims to be an authorised dealer and is not on the list of the maker.", claims.Dealer)
		switch {
		case a.finding == nil:
			return a
		case p.Maker() == nil:
			return Lacks(NeedMakers)
		case len(p.Maker().Authorised) == 0:
			return Lacks(NeedAuthorised)
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		case p.Maker().IsAuthorised(p.Listing.Value(listing.Seller), p.Listing.Value(listing.SellerID)):
			return Silent()
		}
		return a
	},
}
