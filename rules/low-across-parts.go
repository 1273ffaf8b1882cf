package rules

import (
	"fmt"
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/rules/pricing"
)

// LowAcrossParts finds a seller whose new units are cheap part after part.
var LowAcrossParts = &Rule{
	ID: "low-across-parts", Family: FamilyPrice, Weight: 9,
	Doc: Doc{
		Title:   "Cheap over the seller's parts",
		Meaning: "Most of the units that the seller offers as new and as the maker's own stand well under what is usual for their parts. One low price may be chance or a clearance; the same over many parts needs a source that other sellers do not have.",
		Formula: fmt.Sprintf("unit landed price / authorised price, or / median of the other sellers where there is none (3 sellers or more); at least %d parts compared, the median ratio at most %.1f, at least %.0f %% of the parts at %.2f or less, this listing among them (engineering proposals; common practice, no source)",
			pricing.LowParts, pricing.LowMedian, 100*pricing.LowShare, pricing.LowRatio),
		Innocent: "A clearance of a whole stock, or a seller whose prices are all net of tax.",
		Ask:      "Ask which distributors the seller buys from, and whether the prices include tax.",
		Since:    "1.1",
	},
	Needs: []Need{NeedPrice, NeedPart, NeedRate, NeedMarket, NeedSeller},
	Run: func(p *Pass) Answer {
		if lack, ok := p.priceGap(); !ok {
			return Lacks(lack)
		}
		switch _, ok := usualRatio(&p.Market); {
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		case !p.PresentsAsMaker():
			return Silent()
		case !ok:
			return Lacks(NeedMarket)
		}
		c, ok := p.Compared.Low.Of(p.SellerGroup())
		if !ok || !slices.Contains(c.Listings, p.N) {
			return Silent()
		}
		evidence := p.priceQuotes()
		for _, n := range c.Listings {
			if n != p.N && len(evidence) < 6 {
				evidence = append(evidence, Quote(p.Listings[n], listing.Price, ""))
			}
		}
		return Found(fmt.Sprintf("Of %d parts of the seller that can be compared, %d cost at most %s of the usual price (median %s).",
			c.Of, c.Parts, Percent(pricing.LowRatio), Percent(c.Ratio)), evidence...)
	},
}
