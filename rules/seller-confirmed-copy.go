package rules

import "fmt"

// SellerConfirmedCopy finds a seller with an earlier confirmed copy.
var SellerConfirmedCopy = &Rule{
	ID: "seller-confirmed-copy", Family: FamilySeller, Weight: 10,
	Doc: Doc{
		Title:    "Earlier confirmed copy at the seller",
		Meaning:  "The examination of a listing of this account, perhaps of this very listing, ended as a confirmed copy. Whoever sold one may sell more of the batch.",
		Formula:  "full weight for the same account; half for an account that shares a rare contact or a name with it in this batch",
		Innocent: "A trader who was deceived by his supplier and has changed him since.",
		Ask:      "Ask where this unit was bought, and for the invoice.",
		Since:    "1.0",
	},
	Needs: []Need{NeedEarlierRun, NeedSeller},
	Run: func(p *Pass) Answer {
		return p.sellerCase(func() map[string]int { return p.Past.copies }, 0.5)
	},
}

// sellerCase finds the case of a listing of the same account, or, at the given
// strength, of one in the account's group.
func (p *Pass) sellerCase(cases func() map[string]int, inGroup float64) Answer {
	switch {
	case !p.hasPast():
		return Lacks(NeedEarlierRun)
	case p.SellerGroup() == "":
		return Lacks(NeedSeller)
	}
	found := func(n int, strength float64) Answer {
		c := &p.Past.Cases[n]
		e := &p.Past.Earlier[p.Past.byKey[c.Listing][0]]
		return Found(fmt.Sprintf("The case of a listing of %s ended on %s as '%s'.", sellerText(e), onDay(c.Date), c.Word),
			p.quoteSeller(), quoteEarlier(e, e.Title), quoteCase(c)).At(strength)
	}
	if n, ok := cases()["account "+p.trace().Seller]; ok {
		return found(n, 1)
	}
	if n, ok := p.Past.groupCase(cases(), p.SellerGroup()); ok && inGroup > 0 {
		return found(n, inGroup)
	}
	return Silent()
}
