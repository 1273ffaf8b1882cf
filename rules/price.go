package rules

import (
	"cmp"

	"counterfoil/parse/listing"
	"counterfoil/rules/market"
)

// What the price rules share.

// priceGap says what a price comparison lacks; ok is true when nothing.
func (p *Pass) priceGap() (lack Need, ok bool) {
	switch {
	case p.Landed().Excluded != "":
		return NeedPrice, false
	case p.Part().ID == "" || len(p.Part().Other) > 0:
		return NeedPart, false
	case p.Market.Excluded != "":
		return NeedRate, false
	}
	return noNeed, true
}

// priceQuotes is the evidence of the listing's price and of what was reckoned
// in.
func (p *Pass) priceQuotes() []Evidence {
	list := []Evidence{p.Quote(listing.Price)}
	for _, n := range []listing.Name{listing.Shipping, listing.LotQuantity} {
		if p.Listing.Has(n) {
			list = append(list, p.Quote(n))
		}
	}
	return list
}

// lowerBound is the remark for a price to which something is still to be added.
func (p *Pass) lowerBound() string {
	if open := p.Landed().Open; open != "" {
		return " (a lower bound: " + open + ")"
	}
	return ""
}

// class finds a rung of the part's price ladder that has prices enough to be
// compared with.
func (p *Pass) class(r market.Rung) (market.Class, bool) {
	for _, c := range p.Markets.Ladder(p.N, p.Part().ID) {
		if c.Rung == r {
			return c, c.N >= cmp.Or(p.thresholds().Market.RatioFrom, market.Defaults().RatioFrom)
		}
	}
	return market.Class{}, false
}
