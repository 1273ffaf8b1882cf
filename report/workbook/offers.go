package workbook

import (
	"fmt"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/market"
)

// maxMessages is the number of offers that get a sheet row with a message; a
// buyer writes to few.
const maxMessages = 1_000

var offerColumns = []column{
	{"No.", 5, whole},
	{report.HeadTitle, 28, wrapped},
	{"Seller", 16, wrapped},
	{"Unit", 10, wrapped},
	{"Condition", 13, wrapped},
	{"Claim", 11, wrapped},
	{"Landed price", 11, money},
	{"Currency", 10, plain},
	{"What to know of the price", 22, wrapped},
	{"Support in words", 10, wrapped},
	{"What speaks for it", 26, wrapped},
	{"What to weigh", 28, wrapped},
	{"Still to ask", 32, wrapped},
	{"Coverage", 9, share},
	{"Message to the seller", 62, wrapped},
	{"Language", 9, plain},
	{"Rank", 7, whole},
	{"Captured", 20, plain},
	{"Capture", 30, wrapped},
	{"Address as stated", 36, ident},
	{report.HeadKey, 24, ident},
}

func (b *book) offers() task {
	w := b.opt.Wanted
	shown := w.Offers[:min(len(w.Offers), maxMessages)]
	s := b.open(sheetOffers, layout{frozen: 2, printed: 15, lines: 28}, offerColumns, notes(
		"Offers of "+b.wantedText()+" against which least was found and that show enough to judge: by unit and condition, the maker's own part before one made to fit, then by the word for their evidence, then by landed price. Nothing found is no clearance: ask before ordering.",
		b.apartText(),
		"Compare like with like: condition, claim and unit. A part made to fit is honest when sold as that. Note your decision on sheet "+sheetSuspects+". Messages in other languages than yours should be read by someone who speaks them.",
		cutNote(len(shown), len(w.Offers), "offers"))...)
	return task{s, func() {
		for i, j := range shown {
			b.addOffer(s, i+1, j)
		}
		if len(shown) == 0 {
			s.add(nil, "No such offer in what was supplied.")
		}
	}, nil}
}

func (b *book) wantedText() string {
	w := b.opt.Wanted
	if listing.CanonicalNumber(w.Asked) == listing.CanonicalNumber(w.Part.Number) {
		return w.Part.ID
	}
	return fmt.Sprintf("%s (asked for: %s)", w.Part.ID, report.Visible(w.Asked))
}

// apartText says which offers of the part are not on the sheet.
func (b *book) apartText() string {
	w := b.opt.Wanted
	if len(w.Apart) == 0 {
		return ""
	}
	ranks := map[string][]int{}
	var order []string
	for _, j := range w.Apart {
		why := w.WhyApart(b.res, j)
		if ranks[why] == nil {
			order = append(order, why)
		}
		ranks[why] = append(ranks[why], j.Rank)
	}
	parts := make([]string, len(order))
	for i, why := range order {
		parts[i] = fmt.Sprintf("%d %s (rank %s)", len(ranks[why]), why, someRanks(ranks[why]))
	}
	return "Not on this sheet: " + strings.Join(parts, "; ") + "."
}

func (b *book) addOffer(s *sheet, number int, j *rules.Judged) {
	l, m := j.Listing, j.Market()
	message := report.MessageTo(b.res, j)
	s.add(number, heading(l), seller(l), unitOf(l), conditionOf(l), report.ClaimText(b.res, j), amount(m.Price), m.Price.Currency,
		priceNote(j, m), report.SupportText(j), strings.Join(report.SpeaksFor(b.res, j), "\n"), orNone(numbered(report.Reasons(j))),
		strings.Join(report.AskList(j), "\n"), j.Coverage, message.Text, message.Language, j.Rank,
		l.Value(listing.CapturedAt), b.capture(s, l), l.Value(listing.URL), l.Key)
	b.linkCapture(s, 19, l)
}

// priceNote says what is not in the price, and how it stands in its market.
func priceNote(j *rules.Judged, m market.Assessment) string {
	var list []string
	if m.LowerBound {
		list = append(list, "Shipping not observed: the price is at least this.")
	}
	if core, ok := j.Listing.Amount(listing.CoreDeposit); ok && core.Minor > 0 {
		list = append(list, "Core deposit of "+rules.Money(core)+" on top.")
	}
	return strings.Join(append(list, report.Sentence(report.PriceText(m))), "\n")
}

func orNone(s string) string {
	if s == "" {
		return "Nothing found in what was supplied."
	}
	return s
}

func unitOf(l *listing.Listing) string {
	if u := l.Value(listing.UnitType); u != "" {
		return u
	}
	return listing.Unknown
}
