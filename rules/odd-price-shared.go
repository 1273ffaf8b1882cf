package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/market"
)

// OddPriceShared finds one odd price at several sellers.
var OddPriceShared = &Rule{
	ID: "odd-price-shared", Family: FamilyPrice, Weight: 4,
	Doc: Doc{
		Title:   "The same odd price at several sellers",
		Meaning: "Sellers who share no contact ask the very same odd price for the part, well under the rest of the market. They may sell from one stock.",
		Formula: "equal item prices of the same part, unit type, condition and currency, with an ending other than 00, 49, 50, 79, 89, 90, 95, 98 or 99 hundredths, at k >= 3 seller groups, where k is so large that the expected number of chance meetings, C(n, k) / w^(k-1), is at most 0.05 (n seller groups; w a tenth of the hundredths between the quartiles of their prices; own formula). " +
			"Only for a landed price of at most 0.8 x the market's median, since a maker's list price is shared by honest dealers; half weight without a market, none when one of the sellers is on the maker's list.",
		Innocent: "A shared price list, a distributor's advised price, or a price tool that copies rivals.",
		Ask:      "Ask from whom the unit was bought.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPrice, NeedPart, NeedSeller},
	Run: func(p *Pass) Answer {
		switch {
		case p.Landed().Excluded != "":
			return Lacks(NeedPrice)
		case p.Part().ID == "" || len(p.Part().Other) > 0:
			return Lacks(NeedPart)
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		}
		s := p.Compared.Odd.Of(p.N)
		if s == nil {
			return Silent()
		}
		strength := 0.5
		if p.Market.Excluded == "" && p.Market.Band != market.BandNone {
			if p.Market.Ratio > p.limit("odd-price-ratio") {
				return Silent()
			}
			strength = 1
		}
		evidence := []Evidence{p.Quote(listing.Price)}
		for _, n := range s.Listings {
			if p.authorised(n) {
				return Silent()
			}
			if p.SellerGroups[n] != p.SellerGroup() && len(evidence) < 5 {
				evidence = append(evidence, Quote(p.Listings[n], listing.Price, ""))
			}
		}
		operators := map[string]bool{}
		for _, n := range s.Listings {
			operators[p.Operators[n]] = true
		}
		joined := ""
		if k := s.Sellers - len(operators); k > 0 {
			joined = fmt.Sprintf(" Other links join %d of them.", k+1)
		}
		price, _ := p.Listing.Amount(listing.Price)
		return Found(fmt.Sprintf("%d of %d seller groups ask exactly %s for the part.%s", s.Sellers, s.Of, Money(price), joined), evidence...).At(strength)
	},
}

// authorised reports whether a listing's seller is on the list of the maker of
// its part.
func (p *Pass) authorised(n int) bool {
	m, l := p.Facts.Parts[n].Maker, p.Listings[n]
	return m != nil && m.IsAuthorised(l.Value(listing.Seller), l.Value(listing.SellerID))
}
