package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/market"
	"counterfoil/rules/parts"
	"counterfoil/rules/settings"
)

const maxRivals = 100_000

var rivalColumns = []column{
	{"Part", 22, ident},
	{"Unit", 10, plain},
	{"Condition", 14, wrapped},
	{"Own cost", 11, money},
	{"Own list price", 11, money},
	{"Rival", 20, wrapped},
	{"Landed price", 11, money},
	{"Currency", 10, plain},
	{"Price / own cost", 9, share},
	{"Price / own list", 9, share},
	{"Stock claimed", 9, whole},
	{"Claim", 12, plain},
	{"Support in words", 12, wrapped},
	{"Outcome", 14, wrapped},
	{"Rank", 7, whole},
	{"Remarks", 34, wrapped},
	{"Seller group", 24, wrapped},
	{report.HeadTitle, 30, wrapped},
	{"Captured", 20, plain},
	{"Capture", 30, wrapped},
	{"Address as stated", 36, ident},
	{report.HeadKey, 24, ident},
}

const colRivalCapture = 20

// rivalsOf are the user's prices of one part with the offers beside them.
type rivalsOf struct {
	own  settings.OwnPrice
	part string
	list []*rules.Judged
}

func (b *book) rivals() task {
	all := b.rivalsByPart()
	total := 0
	for i := range all {
		total += max(1, len(all[i].list))
	}
	s := b.open(sheetRivals, layout{frozen: 3, printed: 16}, rivalColumns, notes(
		"Offers of your parts, unit and condition, the cheapest first, beside your own cost and list price. Landed unit prices; yours are converted at the dated rates of the run.",
		"Comparing public prices is normally fine. Pressing the maker, or agreeing with others, to discipline sellers for low prices is not: resale prices are the seller's own. A price alone is never a ground for a notice, a grey import is no counterfeit, and a rival may buy from your own supplier.",
		cutNote(min(total, maxRivals), total, "rows"))...)
	return task{s, func() {
		for i := range all {
			b.addRivals(s, &all[i])
		}
	}, nil}
}

func (b *book) rivalsByPart() []rivalsOf {
	type key struct{ part, unit, condition string }
	resolver := parts.New(b.res.Facts.Makers, b.res.Facts.Equivalents)
	at := map[key]int{}
	var all []rivalsOf
	for _, p := range b.opt.OwnPrices {
		id := cmp.Or(resolver.Number(p.Part), p.Part)
		if _, ok := at[key{id, p.Unit, p.Condition}]; !ok {
			at[key{id, p.Unit, p.Condition}] = len(all)
		}
		all = append(all, rivalsOf{own: p, part: id})
	}
	for _, j := range b.res.Ranked {
		unit := cmp.Or(j.Listing.Value(listing.UnitType), listing.Complete)
		if i, ok := at[key{b.res.Facts.Parts[j.N].ID, unit, conditionOf(j.Listing)}]; ok {
			all[i].list = append(all[i].list, j)
		}
	}
	for i := range all {
		slices.SortStableFunc(all[i].list, func(x, y *rules.Judged) int {
			return cmp.Or(-cmp.Compare(min(x.Price.Minor, 1), min(y.Price.Minor, 1)),
				cmp.Compare(x.Price.Currency, y.Price.Currency), cmp.Compare(x.Price.Minor, y.Price.Minor))
		})
	}
	slices.SortStableFunc(all, func(x, y rivalsOf) int {
		return cmp.Or(cmp.Compare(x.part, y.part), cmp.Compare(x.own.Unit, y.own.Unit), cmp.Compare(x.own.Condition, y.own.Condition))
	})
	return all
}

func (b *book) addRivals(s *sheet, r *rivalsOf) {
	if len(r.list) == 0 {
		s.add(r.part, r.own.Unit, r.own.Condition, amount(r.own.Cost), amount(r.own.List), "no offer in this batch", nil, r.own.Cost.Currency)
	}
	for _, j := range r.list {
		if s.row-s.first+1 >= maxRivals || s.err != nil {
			return
		}
		b.addRival(s, r, j)
	}
}

func (b *book) addRival(s *sheet, r *rivalsOf, j *rules.Judged) {
	l, m := j.Listing, j.Market()
	price := m.Price
	currency := cmp.Or(price.Currency, b.res.Facts.Currency)
	cost, toCost, note := b.beside(price, r.own.Cost, currency)
	list, toList, _ := b.beside(price, r.own.List, currency)
	remarks := notes(note, m.Excluded)
	if m.LowerBound && price.Minor > 0 {
		remarks = append(remarks, "shipping not observed: at least this")
	}
	if price.Minor > 0 && toCost != nil && toCost.(float64) < 1 {
		remarks = append(remarks, "under your own cost")
	}
	var stock any
	if n, ok := l.Int(listing.QuantityAvailable); ok {
		stock = n
	}
	o := outcomeLooks[j.Outcome]
	s.add(r.part, r.own.Unit, r.own.Condition, cost, list, seller(l), amount(price), price.Currency, toCost, toList, stock,
		report.ClaimText(b.res, j), report.SupportText(j), as{o.look, o.sign + " " + report.OutcomeText(j.Outcome)}, j.Rank, sentences(remarks),
		b.groupName(j.N), heading(l), l.Value(listing.CapturedAt), b.capture(s, l), l.Value(listing.URL), l.Key)
	b.linkCapture(s, colRivalCapture, l)
}

// beside gives the user's own amount in the currency of a rival's price, and
// the ratio of the two; note says why there is none.
func (b *book) beside(price, own listing.Amount, currency string) (converted, ratio any, note string) {
	own, _, err := b.rates().Convert(own, currency, b.res.Facts.AsOf)
	if err != nil {
		return nil, nil, err.Error() + " (--rates)"
	}
	if price.Minor <= 0 {
		return amount(own), nil, ""
	}
	return amount(own), price.Float() / own.Float(), ""
}

// rates is the table of the run's exchange rates.
func (b *book) rates() *market.Rates {
	b.rateOnce.Do(func() {
		var list []market.Rate
		for _, r := range b.res.Facts.Rates {
			list = append(list, market.Rate{From: r.Base, To: r.Quote, Value: r.Rate, Date: r.Date, Source: r.Source, Place: "row " + strconv.Itoa(r.Line)})
		}
		b.rateTable = market.NewRates(list, 0)
	})
	return b.rateTable
}

// groupName says with which other accounts a seller counts as one.
func (b *book) groupName(n int) string {
	g := b.groupOf(n)
	if g == nil || len(g.Accounts) < 2 {
		return ""
	}
	return fmt.Sprintf("one of %d accounts: sheet %s, group %d", len(g.Accounts), sheetSellers, g.Number)
}
