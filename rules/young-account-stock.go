package rules

import (
	"fmt"
	"time"

	"counterfoil/parse/listing"
)

// YoungAccountStock finds a large stock at an account opened lately.
var YoungAccountStock = &Rule{
	ID: "young-account-stock", Family: FamilySeller, Weight: 6,
	Doc: Doc{
		Title:    "Branded new units at a young account",
		Meaning:  "An account opened within half a year offers new units that it presents as the maker's own. Accounts of sellers of copies are closed and opened again.",
		Formula:  "account younger than 183 days at the capture (at the run time when no capture time is stated) and offered as new and as the maker's own; quantity available >= 10 at full weight, below at half, at three quarters when the young accounts of one group reach it together (common practice, no source)",
		Innocent: "A new shop of an established trader.",
		Ask:      "Ask for the registered name of the trader and since when the firm exists.",
		Since:    "1.0",
	},
	Needs: []Need{NeedSince, NeedQuantity},
	Run: func(p *Pass) Answer {
		since, ok := startOf(p.Listing.Value(listing.SellerSince))
		if !ok {
			return Lacks(NeedSince)
		}
		n, ok := p.Listing.Int(listing.QuantityAvailable)
		if !ok {
			return Lacks(NeedQuantity)
		}
		at, ok := startOf(p.Listing.Value(listing.CapturedAt))
		if !ok {
			at = p.AsOf
		}
		strength := 1.0
		if !p.atLeast(n, "account-units") {
			strength = 0.5
		}
		if !p.IsNew() || !p.PresentsAsMaker() || at.Sub(since).Hours() > 24*p.limit("account-days") {
			return Silent()
		}
		if o := p.operator(); strength < 1 && len(o.youngest) > 1 && p.atLeast(o.units, "account-units") {
			return Found(fmt.Sprintf("%d accounts opened lately that other links join offer %s together; this one exists since %s.",
				len(o.youngest), count(o.units, "new unit"), p.Listing.Value(listing.SellerSince)),
				p.Quote(listing.SellerSince), p.Quote(listing.QuantityAvailable)).At(0.75)
		}
		return Found(fmt.Sprintf("An account that exists since %s offers %s.", p.Listing.Value(listing.SellerSince), count(n, "new unit")),
			p.Quote(listing.SellerSince), p.Quote(listing.QuantityAvailable)).At(strength)
	},
}

// startOf reads a date of any precision: the first moment that it may mean.
func startOf(s string) (time.Time, bool) {
	layout := time.RFC3339
	switch len(s) { // the shorter layouts have a fixed one
	case 0:
		return time.Time{}, false
	case len(time.DateOnly):
		layout = time.DateOnly
	case len("2006-01"):
		layout = "2006-01"
	case len("2006"):
		layout = "2006"
	}
	t, err := time.Parse(layout, s)
	return t.UTC(), err == nil
}
