package rules

import (
	"fmt"
	"slices"

	"counterfoil/parse/listing"
)

// UniformDiscount finds a seller who offers all makers at one discount.
var UniformDiscount = &Rule{
	ID: "uniform-discount", Family: FamilyPrice, Weight: 5,
	Doc: Doc{
		Title:    "Every maker at one discount",
		Meaning:  "The seller offers the parts of several makers at one and the same share of their authorised prices, well under them. Who buys from makers gets different terms from each; one discount for all fits a single source, or a rule that reprices.",
		Formula:  "item price / authorised price; at least 5 parts of at least 2 makers, at least 80 % of those compared, within 1 % of one ratio of at most 0.7; 60 % of the weight where only the accounts of one group together meet that (engineering proposals; common practice, no source)",
		Innocent: "A shop that sets its prices by one rule, or a clearance of a whole stock.",
		Ask:      "Ask which distributors the seller buys from.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPrice, NeedPart, NeedRate, NeedReference, NeedSeller},
	Run: func(p *Pass) Answer {
		if lack, ok := p.priceGap(); !ok {
			return Lacks(lack)
		}
		switch {
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		case !p.PresentsAsMaker():
			return Silent()
		case p.Market.Reference == nil:
			return Lacks(NeedReference)
		}
		d, ok := p.Compared.Uniform.Of(p.SellerGroup())
		who, strength := "The seller offers", 1.0
		if !ok || !slices.Contains(d.Listings, p.N) {
			d, ok = p.together.Of(p.Operators[p.N])
			who, strength = "Accounts that other links join offer", 0.6
		}
		if !ok || !slices.Contains(d.Listings, p.N) {
			return Silent()
		}
		evidence := []Evidence{p.Quote(listing.Price)}
		for _, n := range d.Listings {
			if n != p.N && len(evidence) < 5 {
				evidence = append(evidence, Quote(p.Listings[n], listing.Price, ""))
			}
		}
		return Found(fmt.Sprintf("%s %d of %d parts, of %d makers, at %s of their authorised prices.",
			who, d.Parts, d.Of, d.Makers, Percent(d.Ratio)), evidence...).At(strength)
	},
}
