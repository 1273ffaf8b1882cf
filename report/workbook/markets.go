package workbook

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/market"
)

var marketColumns = slices.Concat([]column{
	{"Part", 22, ident},
	{"Unit", 10, plain},
	{"Condition", 14, plain},
	{"Claim", 13, plain},
	{"Sellers", 8, whole},
	{"Offers", 8, whole},
	{"Currency", 10, plain},
	{"Median", 11, money},
	{"Median from", 11, money},
	{"Median to", 11, money},
	{"Reference", 11, money},
	{"Median / reference", 10, share},
	{"Median reliable", 9, plain},
	{"Prices, 25 % to 200 % of the median", 38, plain},
	{"Two price groups", 26, wrapped},
	{"Warnings", 38, wrapped},
	{"MAD of ln(price)", 9, decimal3},
	{"Chance that from and to enclose it", 12, share},
	{"Reference date", 12, plain},
	{"Reference source", 28, wrapped},
	{"Not compared, and why", 50, wrapped},
	{"Prices compared (rank: price)", 50, wrapped},
}, tallyColumns())

const (
	colPrices   = 14 // the plot
	marketPaper = 16 // columns that are printed
)

func (b *book) markets() task {
	all := b.res.Facts.Markets.Len()
	shown := min(all, maxMarkets)
	s := b.open(sheetMarkets, layout{frozen: 1, printed: marketPaper}, marketColumns, notes(
		"One row for each part, unit, condition and claim; they are never mixed. Landed unit prices in "+b.currencies()+
			", one for each seller group. A listing is compared with the others of its market, so its own figures differ a little from these.",
		"The median lies between 'from' and 'to' with the chance named, which is exact. A price with + does not include shipping, which was not observed. A low price is a reason to look, and a normal price clears nothing.",
		"Prices are drawn from a quarter of the median on the left to twice the median on the right, in equal steps of 12 %. Bars up count sellers; bars down count sellers whose offer is called suspect or a copy. The last columns hold the counts.",
		cutNote(shown, all, "markets"))...)
	return task{s, func() {
		n := 0
		for m := range b.res.Facts.Markets.Markets() {
			if n++; n > shown {
				break
			}
			b.addMarket(s, &m)
		}
		b.addUnplaced(s)
	}, func() { b.addPlots(s, colPrices, len(marketColumns)-2*plotSteps+1, s.first+shown-1) }}
}

func (b *book) addMarket(s *sheet, m *market.Market) {
	var mad, covers, reference, date, source, ratio any
	if m.N > 1 {
		mad, covers = m.MAD, m.Coverage
	}
	if m.Reference != nil {
		reference, date, source = amount(m.Reference.InCurrency), m.Reference.Date, m.Reference.Source
		if m.MedianToReference > 0 {
			ratio = m.MedianToReference
		}
	}
	reliable := "no"
	if m.MedianReliable {
		reliable = "yes"
	}
	values := []any{m.Key.Part, m.Key.Unit, m.Key.Condition, m.Key.Claim, m.N, m.Offers, m.Median.Currency, amount(m.Median), amount(m.Low), amount(m.High),
		reference, ratio, reliable, nil, groupsText(m.Groups), sentences(m.Warnings), mad, covers, date, source,
		b.reasons(m.Excluded), b.prices(m.Included)}
	height := s.heightOf(values)
	if counts := b.tallied(m); counts != nil {
		values, height = append(values, counts...), max(height, plotHeight)
	}
	s.put(height, values)
}

// addUnplaced adds one row for the offers without a part.
func (b *book) addUnplaced(s *sheet) {
	if open := b.res.Facts.Markets.Unplaced(); len(open) > 0 {
		row := make([]any, len(marketColumns))
		row[0], row[5], row[20] = "no part known", len(open), b.reasons(open)
		s.add(row...)
	}
}

// currencies says in which currency the prices are.
func (b *book) currencies() string {
	if apart := b.res.Facts.Markets.Apart(); apart != "" {
		return b.res.Facts.Currency + ", and without a rate among themselves in " + apart
	}
	return b.res.Facts.Currency
}

func groupsText(g *market.TwoGroups) string {
	if g == nil {
		return ""
	}
	return fmt.Sprintf("%s about %s (to %s) and %s about %s (from %s)",
		report.Plural(g.LowerN, "seller"), rules.Money(g.LowerMedian), rules.Money(g.LowerTop),
		report.Plural(g.UpperN, "seller"), rules.Money(g.UpperMedian), rules.Money(g.UpperBottom))
}

// reasons groups offers that are not compared by the reason, the most frequent
// first, and names their ranks.
func (b *book) reasons(list []market.Entry) string {
	ranks := map[string][]int{}
	var order []string
	for _, e := range list {
		if _, ok := ranks[e.Reason]; !ok {
			order = append(order, e.Reason)
		}
		ranks[e.Reason] = append(ranks[e.Reason], b.rankOf(e.Listing))
	}
	slices.SortStableFunc(order, func(x, y string) int { return len(ranks[y]) - len(ranks[x]) })
	lines := make([]string, len(order))
	for i, why := range order {
		lines[i] = why + ": rank " + someRanks(ranks[why])
	}
	return strings.Join(lines, "\n")
}

// manyRanks is the number of ranks or prices named in one cell.
const manyRanks = 40

func someRanks(ranks []int) string {
	slices.Sort(ranks)
	var out []string
	for _, r := range ranks[:min(len(ranks), manyRanks)] {
		if r == 0 {
			out = append(out, "own")
			continue
		}
		out = append(out, strconv.Itoa(r))
	}
	s := strings.Join(out, ", ")
	if more := len(ranks) - manyRanks; more > 0 {
		s += fmt.Sprintf(" and %d more", more)
	}
	return s
}

func (b *book) prices(list []market.Entry) string {
	var out []string
	for _, e := range list[:min(len(list), manyRanks)] {
		p := someRanks([]int{b.rankOf(e.Listing)}) + ": " + e.Price.String()
		if e.LowerBound {
			p += "+"
		}
		out = append(out, p)
	}
	s := strings.Join(out, "; ")
	if more := len(list) - manyRanks; more > 0 {
		s += fmt.Sprintf("; and %d more", more)
	}
	return s
}

// rankText names a listing by its rank.
func (b *book) rankText(n int) string {
	if r := b.rankOf(n); r > 0 {
		return fmt.Sprintf("rank %d", r)
	}
	return "own listing"
}

// rankOf is 0 for a listing that was set apart.
func (b *book) rankOf(n int) int {
	if n < 0 || n >= len(b.rank) {
		return 0
	}
	return b.rank[n]
}

// sentences joins notes, each as a sentence.
func sentences(list []string) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = report.Sentence(s)
	}
	return strings.Join(out, " ")
}
