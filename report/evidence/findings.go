package evidence

import (
	"fmt"
	"slices"

	"counterfoil/report"
	"counterfoil/rules"
)

// pieces bounds how many quotes of one finding are shown.
const pieces = 24

// findingView is one finding with its evidence.
type findingView struct {
	ID        string // of the element
	Statement string
	Rule      string // title
	RuleID    string
	Family    string
	Weight    string
	Counts    string // what it adds to the total, with the family's factor
	Share     string // of the rule's weight, "" when full
	Innocent  string
	Ask       string
	Formula   string
	Sources   []sourceView
	Photos    []photoView
	Pairs     [][]photoView // photos with the specimens that they are compared with
	More      int           // pieces that are not shown
}

// sourceView is one file with what was quoted from it.
type sourceView struct {
	File   fileView
	Own    bool
	Other  *refView // the listing quoted, when it is known and another one
	Quotes []quoteView
}

// findings gives the findings that point to suspicion, by what each adds, and
// those that speak for the listing.
func (s *Set) findings(j *rules.Judged) (against, speakFor []findingView) {
	adds := counted(j.Findings)
	for _, f := range report.Against(j) {
		against = append(against, s.finding(j, f, adds[f]))
	}
	for i := range j.Findings {
		if f := &j.Findings[i]; f.WeightDB <= 0 {
			speakFor = append(speakFor, s.finding(j, f, adds[f]))
		}
	}
	for i := range against {
		against[i].ID = fmt.Sprintf("finding-%d", i+1)
	}
	for i := range speakFor {
		speakFor[i].ID = fmt.Sprintf("finding-%d", len(against)+i+1)
	}
	return against, speakFor
}

// counted is what each finding adds to the total.
func counted(list []rules.Finding) map[*rules.Finding]float64 {
	adds := make(map[*rules.Finding]float64, len(list))
	for i, share := range rules.Shares(list) {
		adds[&list[i]] = share
	}
	return adds
}

func (s *Set) finding(j *rules.Judged, f *rules.Finding, adds float64) findingView {
	doc := &f.Rule.Doc
	v := findingView{Statement: see(report.Sentence(f.Statement), textLimit), Rule: see(doc.Title, textLimit), RuleID: see(f.Rule.ID, textLimit),
		Family: string(f.Rule.Family), Weight: report.Decibans(f.WeightDB), Counts: report.Decibans(adds),
		Innocent: see(report.Sentence(doc.Innocent), textLimit), Ask: see(report.Sentence(doc.Ask), textLimit),
		Formula: see(report.Sentence(doc.Formula), textLimit), More: max(0, len(f.Evidence)-pieces)}
	if f.Strength < 1 {
		v.Share = rules.Percent(f.Strength)
	}
	var shown []rules.PhotoRef
	compared := false
	for _, e := range first(f.Evidence, pieces) {
		if ref, ok := s.look.photo(j.N, e); ok {
			shown = append(shown, ref)
			continue
		}
		if s.specimens.quoted(e) != nil {
			compared = true
			continue
		}
		quote, of, _ := s.look.field(j.N, e)
		quote.Crop, quote.CropW, quote.CropH = s.crop(j.N, of, e)
		from := s.quoted(j, of)
		from.File = s.cited(e)
		v.addQuote(quote, from)
	}
	slices.SortStableFunc(v.Sources, func(a, b sourceView) int { return ownFirst(a.Own, b.Own) })
	if compared {
		v.Pairs = s.pairs(j, first(f.Evidence, pieces))
	} else {
		v.Photos = s.photos(j, shown)
	}
	return v
}

// quoted says which listing a quote is from: nil for the page's own or an
// unknown one.
func (s *Set) quoted(j *rules.Judged, of int) sourceView {
	if of < 0 || of == j.N {
		return sourceView{Own: of == j.N}
	}
	ref := s.ref(of)
	return sourceView{Other: &ref}
}

// cited names the file of a piece of evidence.
func (s *Set) cited(e rules.Evidence) fileView {
	if at, ok := s.files.named[e.File]; ok {
		return s.file(at.file, at.entry, e.SHA256)
	}
	return s.file(e.File, "", e.SHA256)
}

// addQuote puts a quote beside those of the same file and listing.
func (v *findingView) addQuote(q quoteView, from sourceView) {
	for i := range v.Sources {
		if s := &v.Sources[i]; s.File == from.File && s.Own == from.Own && sameRef(s.Other, from.Other) {
			if !slices.Contains(s.Quotes, q) {
				s.Quotes = append(s.Quotes, q)
			}
			return
		}
	}
	from.Quotes = []quoteView{q}
	v.Sources = append(v.Sources, from)
}

func sameRef(a, b *refView) bool { return a == b || a != nil && b != nil && a.Rank == b.Rank }
