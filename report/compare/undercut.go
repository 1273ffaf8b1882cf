package compare

import (
	"cmp"
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/market"
	"counterfoil/rules/parts"
	"counterfoil/rules/settings"
)

// oldRate is the age in days from which an exchange rate is called old.
const oldRate = 60

type ownKey struct{ part, unit, condition string }

// undercuts reports later offers under the user's own list price that were not
// under it before, or have come down since.
func (c *comparison) undercuts() {
	if len(c.opt.OwnPrices) == 0 {
		return
	}
	resolver := parts.New(c.facts.Makers, c.facts.Equivalents)
	own := map[ownKey]settings.OwnPrice{}
	for _, p := range c.opt.OwnPrices {
		own[ownKey{cmp.Or(resolver.Number(p.Part), p.Part), p.Unit, p.Condition}] = p
	}
	rates := c.rates()
	for _, i := range c.after {
		p, ok := own[ownKey{i.part, cmp.Or(i.unit, listing.Complete), cmp.Or(i.condition, listing.Unknown)}]
		if !ok || isOwn(i.l, c.opt.Own) || i.ended != "" {
			continue
		}
		c.undercut(i, p, func(n int) (listing.Amount, bool) { return inCurrency(rates, c.facts, n, p.List.Currency) })
	}
}

// inCurrency is the landed price of one unit in a currency.
func inCurrency(rates *market.Rates, f *rules.Facts, n int, currency string) (listing.Amount, bool) {
	if f.Landed[n].Excluded != "" {
		return listing.Amount{}, false
	}
	a, _, err := rates.Convert(f.Landed[n].Price, currency, f.AsOf)
	return a, err == nil && a.Minor > 0
}

func (c *comparison) undercut(i *item, p settings.OwnPrice, landed func(int) (listing.Amount, bool)) {
	now, ok := landed(i.n)
	if !ok || now.Minor >= p.List.Minor {
		return
	}
	ch := Change{Kind: Undercut, Attention: usual[Undercut], New: i.l, Part: i.part, Field: listing.Price, NewPrice: now}
	since := "in a new listing"
	if m := c.matchOf[i]; m != nil && !m.elsewhere() {
		ch = c.about(Undercut, m)
		ch.Field, ch.NewPrice = listing.Price, now
		was, ok := landed(m.old.n)
		switch {
		case !ok:
			since = "with no price to compare before"
		case was.Minor >= p.List.Minor:
			since = "and was not before"
		case now.Minor < was.Minor:
			since = "and has come down further"
		default:
			return
		}
		ch.OldPrice = was
		ch.Evidence = quotes("before", m.old.l, listing.Price, listing.Shipping)
	}
	atLeast := ""
	if c.facts.Landed[i.n].LowerBound {
		atLeast = "at least "
	}
	ch.Statement = fmt.Sprintf("One unit costs %s%s %s landed, %s of your list price of %s (own prices, line %d), %s.",
		atLeast, now, now.Currency, rules.Percent(now.Float()/p.List.Float()), p.List, p.Line, since)
	if cost := p.Cost; cost.Minor > 0 && now.Minor < cost.Minor {
		ch.Statement = fmt.Sprintf("%s It is under your own cost of %s.", ch.Statement, cost)
		ch.Attention = StandsOut
	}
	ch.NewValue = now.String() + " " + now.Currency
	ch.Evidence = append(ch.Evidence, quotes("after", i.l, listing.Price, listing.Shipping)...)
	c.add(ch)
}

func (c *comparison) rates() *market.Rates {
	list := make([]market.Rate, len(c.facts.Rates))
	for i, r := range c.facts.Rates {
		list[i] = market.Rate{From: r.Base, To: r.Quote, Value: r.Rate, Date: r.Date, Source: r.Source, Place: fmt.Sprintf("row %d", r.Line)}
	}
	return market.NewRates(list, oldRate)
}
