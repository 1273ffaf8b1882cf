package report

import (
	"fmt"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/sellers"
)

// Own holds the listings of the user, for which no suspicion is reckoned.
type Own struct {
	Seller   string          // as named
	Listings []*rules.Judged // in the order of the input
}

// SetApart takes the listings of a seller, named by displayed name or id, out
// of the ranking and ranks the rest anew; res is not changed. What others show
// beside them, such as a copy of one of their photos, still counts for the
// others. It fails when no listing names the seller.
func SetApart(res *rules.Result, seller string) (*rules.Result, *Own, error) {
	name, id := sellers.NormalName(seller), strings.TrimSpace(seller)
	isOwn := func(l *listing.Listing) bool {
		return name != "" && sellers.NormalName(l.Value(listing.Seller)) == name ||
			id != "" && strings.EqualFold(l.Value(listing.SellerID), id)
	}
	own := &Own{Seller: seller}
	byNumber := make([]*rules.Judged, len(res.Facts.Listings))
	rest := &rules.Result{Facts: res.Facts, Rules: res.Rules}
	for _, j := range res.Ranked {
		if isOwn(j.Listing) {
			byNumber[j.N] = j
			continue
		}
		again := *j
		again.Rank = len(rest.Ranked) + 1
		rest.Ranked = append(rest.Ranked, &again)
	}
	for _, j := range byNumber {
		if j != nil {
			own.Listings = append(own.Listings, j)
		}
	}
	if len(own.Listings) == 0 {
		return nil, nil, fmt.Errorf("no listing names %q as its seller", seller)
	}
	return rest, own, nil
}
