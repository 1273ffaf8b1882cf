package workbook

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/market"
)

var suspectColumns = []column{
	{"Rank", 6, whole},
	{"Evidence (dB)", 10, decimal1},
	{"Support in words", 11, wrapped},
	{report.HeadTitle, 30, wrapped},
	{"Outcome", 13, wrapped},
	{"Seller", 16, wrapped},
	{"Price beside its market", 24, wrapped},
	{"Strongest reasons", 52, wrapped},
	{"What to ask the seller first", 42, wrapped},
	{report.HeadDecision, 12, entry},
	{report.HeadNote, 18, entry},
	{report.HeadSince, 11, wrapped},
	{"Evidence page", 10, plain},
	{"Landed price", 11, money},
	{"Currency", 9, plain},
	{"Market median", 11, money},
	{"Price / median", 9, share},
	{"Other sellers", 8, whole},
	{"Reference price", 11, money},
	{"Price / reference", 10, share},
	{"Part", 22, ident},
	{"Condition", 14, plain},
	{"Claim", 13, plain},
	{"Coverage", 10, share},
	{"Capture", 30, wrapped},
	{"Row", 7, whole},
	{report.HeadKey, 24, ident},
	{"Address as stated", 36, ident},
	{report.HeadThen, 5, plain},
}

const (
	colEvidence = 2
	colDecision = 10
	colPage     = 13
	colCapture  = 25
	// onPaper is the number of columns that are printed.
	onPaper = 12
)

func (b *book) suspects() task {
	apart := ""
	if n := b.unclear.all; n > 0 {
		apart = fmt.Sprintf(" %s too incomplete to judge: see sheet %s.", report.Plural(n, "listing"), sheetIncomplete)
	}
	s := b.open(sheetSuspects, layout{frozen: 4, printed: onPaper}, suspectColumns, notes(
		fmt.Sprintf("One row a listing, strongest evidence first.%s The first %d columns are printed.", apart, onPaper),
		b.listed.cut())...)
	return task{s, func() {
		for _, j := range b.listed.shown {
			if s.err != nil {
				return
			}
			b.addSuspect(s, j)
		}
	}, func() { b.finishSuspects(s) }}
}

func (b *book) addSuspect(s *sheet, j *rules.Judged) {
	l, m := j.Listing, j.Market()
	o := outcomeLooks[j.Outcome]
	var median, ratio, sellers, reference, toReference, row any
	if m.Excluded == "" && m.Band != market.BandNone {
		median, sellers = amount(m.Median), m.N
		if m.Ratio > 0 {
			ratio = m.Ratio
		}
	}
	if m.Excluded == "" && m.Reference != nil {
		reference, toReference = amount(m.Reference.InCurrency), m.RatioToReference
	}
	if l.Row > 0 {
		row = l.Row
	}
	decision, note, since := b.decided(j)
	s.add(j.Rank, j.EvidenceDB, report.SupportText(j), heading(l), as{o.look, o.sign + " " + report.OutcomeText(j.Outcome)},
		seller(l), report.PriceText(m), numbered(report.Reasons(j)), b.firstAsks(j), decision, note, since, b.page(s, j),
		amount(m.Price), m.Price.Currency, median, ratio, sellers, reference, toReference,
		report.PartText(b.res, j), conditionOf(l), report.ClaimText(b.res, j), j.Coverage,
		b.capture(s, l), row, l.Key, l.Value(listing.URL), b.run.Decided.ThenText(j))
	b.linkPage(s, colPage, j)
	b.linkCapture(s, colCapture, l)
}

// page is the cell that leads to a listing's evidence page.
func (b *book) page(s *sheet, j *rules.Judged) any {
	if len(s.links)+1 >= maxLinks || b.pageOf(j) == "" {
		return nil
	}
	return as{link, "open"}
}

func (b *book) pageOf(j *rules.Judged) string {
	if b.opt.Page == nil {
		return ""
	}
	return b.opt.Page(j)
}

func (b *book) linkPage(s *sheet, col int, j *rules.Judged) {
	if target := b.pageOf(j); target != "" && len(s.links)+1 < maxLinks {
		s.linkTo(col, target, "External")
	}
}

// firstAsks are the questions of the three strongest findings, and what the
// listing does not show, each on a line of its own.
func (b *book) firstAsks(j *rules.Judged) string {
	lines := report.Questions(j, 3)
	if also := b.alsoAsk(j); also != "" {
		lines = append(lines, also)
	}
	return strings.Join(lines, "\n")
}

// alsoAsk is [report.AlsoAsk], made once for many listings that lack the same. It
// serves one sheet.
func (b *book) alsoAsk(j *rules.Judged) string {
	if len(j.Gaps) == 0 {
		return ""
	}
	text, ok := b.also[&j.Gaps[0]]
	if !ok {
		text = report.AlsoAsk(j)
		if len(b.also) < mostAlso {
			b.also[&j.Gaps[0]] = text
		}
	}
	return text
}

// mostAlso bounds what is kept, some 500 bytes each.
const mostAlso = 10_000

// capture is the cell that names a listing's file, in the look of a link when
// it is one.
func (b *book) capture(s *sheet, l *listing.Listing) any {
	name := report.FileText(l.File, l.Entry)
	if len(s.links) < maxLinks && report.Link(b.opt.Dir, l.File) != "" {
		return as{link, name}
	}
	return name
}

func (b *book) linkCapture(s *sheet, col int, l *listing.Listing) {
	if len(s.links) >= maxLinks {
		return
	}
	if target := report.Link(b.opt.Dir, l.File); target != "" {
		s.linkTo(col, target, "External")
	}
}

func conditionOf(l *listing.Listing) string {
	if c := l.Value(listing.Condition); c != "" {
		return c
	}
	return listing.Unknown
}

// numbered puts sentences on lines of their own, with numbers when there are
// several.
func numbered(list []string) string {
	if len(list) == 1 {
		return list[0]
	}
	var out strings.Builder
	for i, s := range list {
		if i > 0 {
			out.WriteByte('\n')
		}
		fmt.Fprintf(&out, "%d. %s", i+1, s)
	}
	return out.String()
}

func (b *book) finishSuspects(s *sheet) {
	b.addBar(s, colEvidence)
	b.addDecisions(s, colDecision)
}

// decided gives the cells of a decision that was carried over.
func (b *book) decided(j *rules.Judged) (word, note, since any) {
	d, stale, ok := b.run.Decided.Of(j)
	if !ok {
		return nil, nil, nil
	}
	if stale {
		return d.Word, d.Note, as{suspected, d.SinceText(stale)}
	}
	return d.Word, d.Note, nil
}

// addDecisions offers the words for a decision; other words are let through
// after a warning.
func (b *book) addDecisions(s *sheet, col int) {
	s.do(func() error {
		v := excelize.NewDataValidation(true)
		v.SetSqref(s.column(col))
		v.SetError(excelize.DataValidationErrorStyleWarning, "Decision", "This word is not in the list.")
		v.SetInput("Decision", "Yours. "+strings.Join(report.DecisionWords, ", "))
		if err := v.SetDropList(report.DecisionWords); err != nil {
			return err
		}
		return b.f.AddDataValidation(s.name, v)
	})
}
