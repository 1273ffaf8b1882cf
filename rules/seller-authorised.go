package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// SellerAuthorised speaks for a seller on the maker's list.
var SellerAuthorised = &Rule{
	ID: "seller-authorised", Family: FamilySeller, Weight: -12,
	Doc: Doc{
		Title:    "Seller is on the maker's list",
		Meaning:  "The seller's name or id stands on the user's list of the maker's authorised sellers. Whether the account is really that seller's is for the buyer to check.",
		Formula:  "name or id equal to an entry of the profile's list, letter case apart",
		Innocent: "This finding speaks for the listing.",
		Ask:      "Check with the maker that the account is the dealer's own.",
		Since:    "1.0",
	},
	Needs: []Need{NeedMakers, NeedAuthorised, NeedSeller},
	Run: func(p *Pass) Answer {
		switch {
		case p.Maker() == nil:
			return Lacks(NeedMakers)
		case len(p.Maker().Authorised) == 0:
			return Lacks(NeedAuthorised)
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		}
		for _, n := range []listing.Name{listing.Seller, listing.SellerID} {
			if p.Maker().IsAuthorised(p.Listing.Value(n)) {
				return Found(fmt.Sprintf("%s is on the profile's list of sellers authorised by %s.",
					p.Listing.Value(n), p.Maker().Name), p.Quote(n))
			}
		}
		return Silent()
	},
}
