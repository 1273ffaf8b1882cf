package workbook

import (
	"counterfoil/report"
	"counterfoil/rules"
)

var findingColumns = []column{
	{"Rank", 6, whole},
	{"Listing", 32, wrapped},
	{"Rule", 24, strong},
	{"Family", 13, plain},
	{"Weight (dB)", 9, decimal1},
	{"What was found", 48, wrapped},
	{"Evidence, as it stands", 44, wrapped},
	{"Place", 26, wrapped},
	{"File", 28, wrapped},
	{"How an honest listing comes to it", 44, wrapped},
	{"What to ask", 36, wrapped},
	{"Evidence no.", 9, whole},
	{"of", 6, whole},
	{"SHA-256 of the file", 34, ident},
	{"Rule id", 24, ident},
	{"Listing key", 24, ident},
}

func (b *book) findings() task {
	total := 0
	for _, j := range b.res.Ranked {
		for i := range j.Findings {
			total += max(1, len(j.Findings[i].Evidence))
		}
	}
	s := b.open(sheetFindings, layout{frozen: 3, printed: 11}, findingColumns, notes(
		"One row for each piece of evidence. Weights stand before the family's factor: within a family the second finding counts half, the third a quarter. A weight below zero speaks for the listing.",
		cutNote(min(total, maxFindings), total, "pieces of evidence"))...)
	return task{s, func() {
		for _, j := range b.res.Ranked {
			for i := range j.Findings {
				if s.row-s.first+1 >= maxFindings || s.err != nil {
					return
				}
				b.addFinding(s, j, &j.Findings[i])
			}
		}
	}, nil}
}

func (b *book) addFinding(s *sheet, j *rules.Judged, f *rules.Finding) {
	row := func(n, of any, e rules.Evidence) {
		s.add(j.Rank, heading(j.Listing), f.Rule.Doc.Title, string(f.Rule.Family), f.WeightDB, f.Statement,
			e.Quote, e.Place, e.File, f.Rule.Doc.Innocent, report.Sentence(f.Rule.Doc.Ask), n, of, e.SHA256, f.Rule.ID, j.Listing.Key)
	}
	for i, e := range f.Evidence {
		row(i+1, len(f.Evidence), e)
	}
	if len(f.Evidence) == 0 {
		row(nil, nil, rules.Evidence{})
	}
}
