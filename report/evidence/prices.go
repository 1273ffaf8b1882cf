package evidence

import (
	"fmt"

	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/market"
)

// priceRows bounds the tables of prices.
const priceRows = 40

// priceView is the market of a listing.
type priceView struct {
	Text     string // how the price stands, in words
	Market   string // what was compared
	Plot     *plotView
	Figures  []fact
	Warnings []string
	Included []entryView
	InMore   int
	Excluded []entryView
	OutMore  int
}

// entryView is the price of one offer.
type entryView struct {
	Ref    refView
	Price  string
	Listed string // in the listing's currency when that is another
	Reason string
}

func (s *Set) price(j *rules.Judged) priceView {
	a := j.MarketNoted()
	in, out := s.res.Facts.Markets.Inputs(j.N)
	v := priceView{Text: see(report.Sentence(report.PriceText(a)), textLimit), Market: see(a.Key.String(), textLimit), Plot: plot(&a, in),
		Figures: figures(&a)}
	for _, w := range a.Warnings {
		v.Warnings = append(v.Warnings, see(report.Sentence(w), textLimit))
	}
	v.Included, v.InMore = s.entries(j, in)
	v.Excluded, v.OutMore = s.entries(j, out)
	return v
}

func (s *Set) entries(j *rules.Judged, list []market.Entry) (rows []entryView, more int) {
	for _, e := range list {
		if e.Listing == j.N {
			continue
		}
		if len(rows) == priceRows {
			more++
			continue
		}
		row := entryView{Ref: s.ref(e.Listing), Reason: see(e.Reason, textLimit)}
		if e.Price.Minor > 0 {
			row.Price = rules.Money(e.Price)
			if e.LowerBound {
				row.Price = "at least " + row.Price
			}
			if e.Listed.Currency != e.Price.Currency {
				row.Listed = see(rules.Money(e.Listed), textLimit)
			}
		} else if e.Listed.Minor > 0 {
			row.Listed = see(rules.Money(e.Listed), textLimit)
		}
		rows = append(rows, row)
	}
	return rows, more
}

// figures are the numbers of the comparison.
func figures(a *market.Assessment) []fact {
	var list []fact
	add := func(name, format string, args ...any) {
		list = append(list, fact{Name: name, Text: see(fmt.Sprintf(format, args...), textLimit)})
	}
	if a.Excluded == "" && a.Price.Minor > 0 {
		add("This offer, landed", "%s", rules.Money(a.Price))
		if a.Listed.Currency != a.Price.Currency {
			add("In its own currency", "%s (%s)", rules.Money(a.Listed), a.Rate)
		}
	}
	if a.N > 0 {
		add("Compared with", "%s, %s", report.Plural(a.N, "other seller group"), report.Plural(a.Offers, "offer"))
		add("Median", "%s", rules.Money(a.Median))
		add("Interval of the median", "%s to %s, covers it with probability %s", rules.Money(a.Low), rules.Money(a.High), rules.Percent(a.Coverage))
		add("MAD of log prices", "%.3f", a.MAD)
	}
	if a.Ratio > 0 {
		add("Price / median", "%s", rules.Percent(a.Ratio))
	}
	if a.Scored {
		add("Modified z-score", "%.1f (Iglewicz and Hoaglin 1993)", a.Score)
	}
	if a.Main != nil {
		add("Main price group", "%s around %s", report.Plural(a.Main.N, "seller group"), rules.Money(a.Main.Centre))
	}
	if g := a.Groups; g != nil {
		add("Two price groups", "%s around %s, %s around %s", report.Plural(g.LowerN, "seller group"), rules.Money(g.LowerMedian),
			report.Plural(g.UpperN, "seller group"), rules.Money(g.UpperMedian))
	}
	if r := a.Reference; r != nil {
		add("Reference price", "%s of %s, %s", rules.Money(r.InCurrency), r.Date, r.Source)
		if a.RatioToReference > 0 {
			add("Price / reference", "%s", rules.Percent(a.RatioToReference))
		}
	}
	return list
}

// priceTable is what the template of a table of prices takes.
type priceTable struct {
	Caption string
	Reasons bool
	Rows    []entryView
	More    int
}

// In is the table of the prices compared.
func (v priceView) In() priceTable {
	return priceTable{"Prices compared, one for each seller group, cheapest first", false, v.Included, v.InMore}
}

// Out is the table of the offers left out.
func (v priceView) Out() priceTable {
	return priceTable{"Offers left out", true, v.Excluded, v.OutMore}
}
