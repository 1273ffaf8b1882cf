package evidence

import (
	"counterfoil/report"
)

// indexView is what the template of the index prints.
type indexView struct {
	Rows     []indexRow
	Listings int // of the batch
	AsOf     string
	Given    bool
	Version  string
	RuleSet  string
	Outcomes []report.Count
}

type indexRow struct {
	head
	Ref     refView
	Reasons []string
}

// Cautions are printed on the index too.
func (*indexView) Cautions() []report.Caution { return report.Cautions }

func (s *Set) index() *indexView {
	v := &indexView{Listings: len(s.res.Ranked), AsOf: instant(s.run.AsOf), Given: s.run.AsOfGiven,
		Version: see(s.run.Version, textLimit), RuleSet: s.run.RuleSetHash, Outcomes: report.CountsOf(s.run, s.res).Outcomes}
	for i := range v.Outcomes {
		v.Outcomes[i].Of = report.OutcomeText(v.Outcomes[i].Of)
	}
	for _, j := range s.paged {
		row := indexRow{head: s.head(j), Ref: s.ref(j.N)}
		for _, r := range report.Reasons(j) {
			row.Reasons = append(row.Reasons, see(r, textLimit))
		}
		v.Rows = append(v.Rows, row)
	}
	return v
}
