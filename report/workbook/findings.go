package workbook

import (
	"fmt"
	"slices"
	"strings"

	"counterfoil/report"
	"counterfoil/rules"
)

var findingColumns = []column{
	{"Rank", 6, whole},
	{"Listing", 30, wrapped},
	{"Rule", 24, strong},
	{"Family", 13, plain},
	{"Weight (dB)", 9, decimal1},
	{"What was found", 48, wrapped},
	{"Evidence: place and exact text", 56, wrapped},
	{"Picture of the listing", thumbWidth, plain},
	{"Compared with", thumbWidth, plain},
	{"How an honest listing comes to it", 42, wrapped},
	{"What to ask", 36, wrapped},
	{"Pieces", 8, whole},
	{"Files", 34, wrapped},
	{"SHA-256 of the files", 34, ident},
	{"Rule id", 24, ident},
	{report.HeadKey, 24, ident},
}

func (b *book) findings() task {
	total := 0
	for _, j := range b.res.Ranked {
		total += len(j.Findings)
	}
	shown := b.ranked()
	here := 0
	for _, j := range shown {
		here += len(j.Findings)
	}
	s := b.open(sheetFindings, layout{frozen: 3, printed: 11}, findingColumns, notes(
		"One row for each finding. Weights stand before the family's factor: within a family the second finding counts half, the third a quarter. A weight below zero speaks for the listing.",
		b.laidNote(),
		findingsCut(min(here, maxFindings), total))...)
	var pictures []picture
	return task{s, func() {
		laid := b.laid(shown)
		for _, j := range shown {
			for i := range j.Findings {
				if s.row-s.first+1 >= maxFindings || s.err != nil {
					return
				}
				pairs := laid[&j.Findings[i]]
				b.addFinding(s, j, &j.Findings[i], pairs)
				pictures = append(pictures, b.besides(s.row, pairs)...)
			}
		}
	}, func() {
		for _, p := range pictures {
			s.do(func() error { return b.addPicture(s.name, p) })
		}
	}}
}

func findingsCut(shown, all int) string {
	if shown == all {
		return ""
	}
	return fmt.Sprintf("Only %d of %d findings are shown, from the listings on sheets %s and %s; suspects.ndjson holds all.", shown, all, sheetSuspects, sheetIncomplete)
}

// ranked lists the listings that stand on Suspects or Incomplete, by rank.
func (b *book) ranked() []*rules.Judged {
	list := slices.Concat(b.listed.shown, b.unclear.shown)
	slices.SortFunc(list, func(x, y *rules.Judged) int { return x.Rank - y.Rank })
	return list
}

func (b *book) addFinding(s *sheet, j *rules.Judged, f *rules.Finding, pairs []pair) {
	var files, hashes []string
	for _, e := range f.Evidence {
		if !slices.Contains(files, e.File) {
			files, hashes = append(files, e.File), append(hashes, e.SHA256)
		}
	}
	quotes := make([]string, len(f.Evidence))
	for i, e := range f.Evidence {
		quotes[i] = quoteText(e, len(files) > 1)
	}
	if alike := b.likenesses(pairs); alike != "" {
		quotes = append(quotes, alike)
	}
	values := []any{j.Rank, heading(j.Listing), f.Rule.Doc.Title, string(f.Rule.Family), f.WeightDB, f.Statement,
		strings.Join(quotes, "\n"), "", "", f.Rule.Doc.Innocent, report.Sentence(f.Rule.Doc.Ask), len(f.Evidence),
		strings.Join(files, "\n"), strings.Join(hashes, "\n"), f.Rule.ID, j.Listing.Key}
	height := s.heightOf(values)
	if b.opt.Thumb != nil {
		height = max(height, float64(len(pairs)*pairHeight))
	}
	s.put(height, values)
}

// quoteText prints one piece of evidence: its place, with the file where there
// are several, and the exact text.
func quoteText(e rules.Evidence, named bool) string {
	place := e.Place
	if named {
		place = strings.TrimSuffix(e.File+", "+place, ", ")
	}
	if e.Quote == "" {
		return place
	}
	return fmt.Sprintf("%s: “%s”", place, e.Quote)
}
