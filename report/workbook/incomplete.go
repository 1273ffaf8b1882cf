package workbook

import (
	"strings"

	"counterfoil/report"
	"counterfoil/rules"
)

var incompleteColumns = []column{
	{"Rank", 6, whole},
	{report.HeadTitle, 30, wrapped},
	{"Seller", 18, wrapped},
	{"Observed", 10, share},
	{"Not observed", 44, wrapped},
	{"Ask the seller for", 48, wrapped},
	{"Evidence (dB)", 10, decimal1},
	{"Reasons so far", 32, wrapped},
	{"Price", 22, wrapped},
	{report.HeadDecision, 12, entry},
	{report.HeadNote, 16, entry},
	{report.HeadSince, 11, wrapped},
	{"Part", 22, ident},
	{"Capture", 30, wrapped},
	{report.HeadKey, 24, ident},
	{report.HeadThen, 5, plain},
}

func (b *book) incomplete() task {
	intro := "These listings show too little to judge. That is no sign either way: ask for what is lacking. Observed: the share of rules that the listing itself let be assessed."
	if b.unclear.all == 0 {
		intro = "No listing was too incomplete to judge."
	}
	s := b.open(sheetIncomplete, layout{frozen: 2, printed: 12}, incompleteColumns,
		notes(intro, b.unclear.cut())...)
	return task{s, func() {
		for _, j := range b.unclear.shown {
			if s.err != nil {
				return
			}
			b.addIncomplete(s, j)
		}
	}, func() { b.addDecisions(s, 10) }}
}

func (b *book) addIncomplete(s *sheet, j *rules.Judged) {
	l := j.Listing
	decision, note, since := b.decided(j)
	s.add(j.Rank, heading(l), seller(l), j.Complete, strings.Join(report.Lacking(j), "; "), strings.Join(report.OpenAsks(j), "; "),
		j.EvidenceDB, numbered(report.Reasons(j)), report.PriceText(j.Market()), decision, note, since,
		report.PartText(b.res, j), b.capture(s, l), l.Key, b.run.Decided.ThenText(j))
	b.linkCapture(s, 14, l)
}
