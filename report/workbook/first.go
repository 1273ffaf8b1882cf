package workbook

import (
	"fmt"
	"strings"

	"counterfoil/report"
	"counterfoil/rules"
)

var firstColumns = []column{{"", 25, wrapped}, {"", 27, wrapped}, {"", 88, wrapped}}

var outcomeMeans = map[string]string{
	rules.DeceptionSuspected: "Indicators that the offer is not what it says. Check before ordering, selling or accusing.",
	rules.CopyOpenlySold:     "The listing itself says that it offers a copy. It deceives nobody; a right may still be touched.",
	rules.TooIncomplete:      "Shows too little to judge. Ask for what is lacking; sheet " + sheetIncomplete + ".",
	rules.NothingFound:       "Nothing found in what was supplied. That is no clearance.",
}

var nextSteps = []string{
	"Go through sheet Suspects from the top. Read the reasons, then the quotes on sheet Findings, each with its file and place.",
	"Weigh the innocent explanation beside each finding. Many indicators have one.",
	"Ask the seller what column 'What to ask the seller first' says, without accusation.",
	"Check serials and sellers with the maker or a distributor. Only they can confirm a part.",
	"Note your decision in its column. Keep the captures and this workbook together: their hashes are on sheet Run.",
}

var scale = [][3]string{
	{"under 3 dB", rules.SupportNone, "likelihood ratio under 2"},
	{"3 to 10 dB", rules.SupportWeak, "2 to 10: what was seen is that many times more to be expected of a copy or a deceptive offer than of an honest one"},
	{"10 to 20 dB", rules.SupportModerate, "10 to 100"},
	{"20 to 30 dB", rules.SupportModeratelyStrong, "100 to 1,000"},
	{"30 to 40 dB", rules.SupportStrong, "1,000 to 10,000; needs two independent families of findings, or one decisive finding"},
	{"over 40 dB", rules.SupportVeryStrong, "over 10,000; the same condition"},
}

const standOut = 5 // listings on the first sheet

func (b *book) first() task {
	s := b.open(sheetFirst, layout{portrait: true}, firstColumns)
	return task{s, func() {
		s.alone(as{title, "Suspect listings"}, 26)
		given := ""
		if b.run.AsOfGiven {
			given = " (given)"
		}
		s.alone(as{note, fmt.Sprintf("Counterfoil %s. As of %s UTC%s. Prices in %s.", b.run.Version, instant(b.run.AsOf), given, b.currencies())}, 15)
		b.addExamined(s)
		b.addStandOut(s)
		s.heading("What to do next")
		for i, step := range nextSteps {
			s.across(as{strong, fmt.Sprintf("Step %d", i+1)}, step)
		}
		s.heading("How to read the evidence")
		s.add(as{head, "Evidence"}, as{head, "Support, in words"}, as{head, "Likelihood ratio for 'copy or deceptive offer' (ENFSI guideline for evaluative reporting, 2015)"})
		for _, row := range scale {
			s.add(row[0], as{strong, row[1]}, row[2])
		}
		s.across("Coverage", "The share of rules that could be assessed. Low coverage is no clean bill.")
		b.addContents(s)
		s.heading("Cautions")
		for _, c := range report.Cautions {
			s.across(as{strong, c.Title}, c.Text)
		}
	}, nil}
}

// heading starts a block of the first sheet.
func (s *sheet) heading(text string) {
	s.put(8, nil)
	s.put(20, []any{as{section, text}, as{section, nil}, as{section, nil}})
}

// across writes a label and a text that takes the two columns beside it.
func (s *sheet) across(label any, text string) {
	wide := s.cols[1].width + s.cols[2].width
	s.put(float64(min(linesOf(text, wide), mostLines))*lineHeight+2, []any{label, text, as{wrapped, nil}})
	s.do(func() error { return s.shell.MergeCell(fmt.Sprintf("B%d", s.row), fmt.Sprintf("C%d", s.row)) })
}

func (b *book) addExamined(s *sheet) {
	s.heading("What was examined")
	var kinds []string
	for _, k := range b.counts.Read {
		kinds = append(kinds, report.Plural(k.N, k.Of))
	}
	s.add(as{strong, "Listings"}, count(b.counts.Listings), fmt.Sprintf("from %s (%s), with %s", report.Plural(len(b.run.Captures), "file"),
		strings.Join(kinds, ", "), report.Plural(b.counts.Photos, "photo")))
	if n := b.counts.Unread(); n > 0 {
		s.add(as{strong, "Not read, or in part"}, count(n), "Files, rows or values that could not be read. The result does not cover them; sheet "+sheetRun+" names each with its reason.")
	} else {
		s.add(as{strong, "Not read"}, count(0), "Everything that was supplied could be read.")
	}
	if own := b.opt.Own; own != nil {
		s.add(as{strong, "Your own listings"}, count(len(own.Listings)), "of "+report.Visible(own.Seller)+
			" are not among these: no suspicion is reckoned for them, and the sheets of suspects, findings and the incomplete leave them out. Sheet "+sheetOwn+".")
	}
	b.addDecided(s)
	for _, o := range b.counts.Outcomes {
		l := outcomeLooks[o.Of]
		s.add(as{l.look, l.sign + " " + report.OutcomeText(o.Of)}, count(o.N), outcomeMeans[o.Of])
	}
}

// addDecided says what was taken over from an earlier workbook.
func (b *book) addDecided(s *sheet) {
	if len(b.run.Decided) == 0 {
		return
	}
	carried, changed := b.run.Decided.Counts(b.res)
	text := "decisions and notes were taken over from an earlier workbook."
	if changed > 0 {
		text += fmt.Sprintf(" For %d of them the evidence is not the one they were taken on: column '%s'. Decide anew, or clear that cell to keep the decision.", changed, report.HeadSince)
	}
	if gone := len(b.run.Decided.Gone(b.res)); gone > 0 {
		text += fmt.Sprintf(" %d more concern listings that are gone: sheet %s.", gone, sheetRun)
	}
	s.add(as{strong, "Decisions"}, count(carried), text)
}

func count(n int) as { return as{counted, n} }

func (b *book) addStandOut(s *sheet) {
	s.heading("What stands out")
	top := report.Top(b.res, standOut)
	if len(top) == 0 {
		s.across(as{strong, "Nothing"}, "No listing reaches weak support in what was supplied. That clears none of them.")
		return
	}
	s.add(as{head, "Rank and evidence"}, as{head, "Outcome and price"}, as{head, "Listing, seller and strongest reason"})
	for _, j := range top {
		o := outcomeLooks[j.Outcome]
		reason := ""
		if r := report.Reasons(j); len(r) > 0 {
			reason = "\n" + r[0]
		}
		s.add(as{strong, fmt.Sprintf("%d.  %s, %s", j.Rank, report.Decibans(j.EvidenceDB), j.Support)},
			as{o.look, o.sign + " " + report.OutcomeText(j.Outcome) + "\n" + report.PriceShort(j.Market())},
			heading(j.Listing)+"  |  "+seller(j.Listing)+reason)
	}
}

var contents = map[string]string{
	sheetOwn:        "Your own listings, as a careful buyer reads them; no suspicion is reckoned",
	sheetOffers:     "Offers of the part you look for, least evidence against them first, with a ready message to each seller",
	sheetArrival:    "What to look at when the part arrives, to print or fill in",
	sheetRivals:     "Offers of your parts beside your own cost and list price",
	sheetSuspects:   "Every listing that could be judged, strongest evidence first, with a column for your decision",
	sheetFindings:   "Every finding with its quotes, places, innocent explanation and question",
	sheetMarkets:    "The prices each listing was compared with, and those left out",
	sheetSellers:    "Accounts one operator may stand behind, and what joins them",
	sheetSerials:    "Serials on more than one listing, and values that are no serial",
	sheetPhotos:     "Pictures on more than one listing",
	sheetIncomplete: "Listings that show too little, and what to ask for",
	sheetRules:      "Every rule: meaning, threshold, source, weight",
	sheetRun:        "Inputs with hashes, what could not be read, settings",
}

func (b *book) addContents(s *sheet) {
	s.heading("Sheets")
	for _, name := range b.sheets[1:] {
		s.across(as{link, name}, contents[name])
		s.linkTo(1, fmt.Sprintf("'%s'!A1", name), "Location")
	}
}
