package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// NewAccountOldGoods finds a new account with the pictures or the text of one
// that is gone.
var NewAccountOldGoods = &Rule{
	ID: "new-account-old-goods", Family: FamilyTime, Weight: 10,
	Doc: Doc{
		Title:    "New account, known pictures or text",
		Meaning:  "No earlier run saw the seller, but his pictures or his description stood at another account, which is not in this batch. Accounts of sellers of copies are closed and opened again with the same material.",
		Formula:  "no account, name or contact of the seller in an earlier run that saw the marketplace, and no statement that the account is older than the earlier sighting; full weight with a picture known to show a plate or a box label, 0.8 with another picture, 0.4 with the same description, numbers apart. Pictures are compared by fingerprint alone, so crops of an earlier one are not found. Pictures of the type and descriptions that four or more sellers use are left out.",
		Innocent: "A trader who changed his firm or moved to another account, a distributor's feed, or stolen pictures.",
		Ask:      "Ask under which names the seller traded before, and for a fresh photo of the unit beside today's date.",
		Since:    "1.0",
	},
	Needs: []Need{NeedEarlierRun, NeedSeller, NeedSeenEarlier},
	Run: func(p *Pass) Answer {
		switch {
		case !p.hasPast() || p.Past.runsSince(p.trace().Market, p.Past.Runs[0].At) == 0:
			return Lacks(NeedEarlierRun)
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		case p.knownTrader():
			return Silent()
		case !p.canBeKnownAgain():
			return Lacks(NeedSeenEarlier)
		}
		best := Silent()
		consider := func(list []int, strength float64, what string, own Evidence) {
			for _, n := range list {
				e := &p.Past.Earlier[n]
				if p.stillHere(e) || p.openedBefore(e) || best.finding != nil && strength <= best.finding.Strength {
					continue
				}
				best = Found(fmt.Sprintf("The seller was not seen in earlier runs; %s stood at %s, seen until %s and not in this batch.",
					what, sellerText(e), onDay(e.Last)), own, quoteEarlier(e, e.Title)).At(strength)
			}
		}
		for _, s := range p.Past.shared[p.N] {
			switch {
			case s.oneUnit:
				consider(s.earlier, 1, "a picture of this unit", QuotePhoto(s.photo))
			case !s.common:
				consider(s.earlier, 0.8, "a picture of this listing", QuotePhoto(s.photo))
			}
		}
		if same := p.earlierText(); len(same) > 0 {
			consider(same, 0.4, "the description, numbers apart,", p.quoteDescription())
		}
		return best
	},
}

// knownTrader reports whether an earlier run saw the listing's seller.
func (p *Pass) knownTrader() bool { return p.Past.known[p.SellerGroup()] }

// stillHere reports whether the seller of an earlier listing is in the batch, or
// was not observed.
func (p *Pass) stillHere(e *Earlier) bool {
	for _, m := range e.Marks {
		if _, ok := p.Past.marks[m]; ok {
			return true
		}
	}
	return e.Seller == ""
}

// openedBefore reports whether the listing states that its account is older than
// an earlier sighting.
func (p *Pass) openedBefore(e *Earlier) bool {
	since, ok := startOf(p.Listing.Value(listing.SellerSince))
	return ok && since.Before(e.First)
}
