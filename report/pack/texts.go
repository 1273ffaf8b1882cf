package pack

import (
	"bytes"
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"text/template"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

//go:embed method.txt.tmpl
var methodText string

//go:embed notice-form.txt.tmpl
var noticeText string

var (
	methodTemplate = template.Must(template.New("method.txt").Parse(methodText))
	noticeTemplate = template.Must(template.New("notice-form.txt").Parse(noticeText))
)

// fill fills a template in. The texts of the input become one line each.
func (d *draft) fill(t *template.Template, data any) ([]byte, error) {
	var b bytes.Buffer
	if err := t.Execute(&b, data); err != nil {
		return nil, err
	}
	return []byte(d.text(b.String())), nil
}

func line(s string) string { return strings.Join(strings.Fields(report.Visible(s)), " ") }

// orBlank marks what a person has to fill in.
func orBlank(s string) string {
	if s = line(s); s == "" {
		return "(not observed) ______________________"
	}
	return s
}

// methodView is what method.txt prints.
type methodView struct {
	Version, RuleSet, RunTime, Listing string
	Captured, Modified                 string
	Outcome, Support, Evidence         string
	Coverage, Price                    string
	Assessed, Rules                    int
	Lacking, LackingSettings, Settings []string
	Masked                             bool
	Original                           string
	Cautions                           []report.Caution
	Notes                              []string
}

func (d *draft) method() ([]byte, error) {
	j, run := d.j, d.opt.Run
	v := methodView{Version: run.Version, RuleSet: run.RuleSetHash, RunTime: stamp(run.AsOf), Listing: line(j.Listing.Key),
		Captured: orNone(j.Listing.Value(listing.CapturedAt)), Modified: orNone(d.exhibits[0].modified),
		Outcome: report.OutcomeText(j.Outcome), Support: report.SupportText(j), Evidence: report.Decibans(j.EvidenceDB),
		Coverage: rules.Percent(j.Coverage), Price: line(report.PriceText(j.Market())), Rules: len(d.res.Rules), Assessed: len(d.res.Rules) - len(j.Gaps),
		Lacking: report.Lacking(j), Masked: d.masked, Original: d.original, Cautions: report.Cautions}
	for _, g := range j.Gaps {
		if s := g.Need.String(); g.Need.IsSetting() && !slices.Contains(v.LackingSettings, s) {
			v.LackingSettings = append(v.LackingSettings, s)
		}
	}
	for _, s := range run.Settings {
		v.Settings = append(v.Settings, fmt.Sprintf("%s: %s, SHA-256 %s", s.Role, line(s.File), s.SHA256))
	}
	for _, n := range d.notes {
		v.Notes = append(v.Notes, line(n))
	}
	return d.fill(methodTemplate, &v)
}

func orNone(s string) string {
	if s = line(s); s == "" {
		return "not stated"
	}
	return s
}

// noticeView is what notice-form.txt prints.
type noticeView struct {
	ID, URL, Title, SellerID, Seller, Captured, Price, Goods string
	RunTime                                                  string
	Facts                                                    []noticeFact
	PriceOnly                                                bool
	Index                                                    []indexLine
	Masked                                                   bool
	Original                                                 string
}

type indexLine struct{ No, Shows, Path, SHA256 string }

// noticeFact is what one finding saw.
type noticeFact struct {
	Statement, Innocent string
	Quotes              []string
}

func (d *draft) notice() ([]byte, error) {
	j, l := d.j, d.j.Listing
	v := noticeView{ID: orBlank(l.Value(listing.ListingID)), URL: orBlank(l.Value(listing.URL)), Title: orBlank(l.Value(listing.Title)),
		SellerID: orBlank(l.Value(listing.SellerID)), Seller: orBlank(l.Value(listing.Seller)), Captured: orBlank(inUTC(l.Value(listing.CapturedAt))),
		Price: orBlank(strings.TrimSpace(l.Value(listing.Price) + " " + l.Value(listing.Currency))), Goods: goods(d, l),
		RunTime: stamp(d.opt.Run.AsOf), Masked: d.masked, Original: d.original}
	for _, f := range report.Against(j) {
		// A price alone is no ground, so the form does not offer it.
		if f.Rule.Family == rules.FamilyPrice {
			v.PriceOnly = true
			continue
		}
		v.Facts = append(v.Facts, d.factOf(f))
	}
	v.PriceOnly = v.PriceOnly && v.Facts == nil
	for _, e := range d.exhibits {
		if e.path == "" && !d.masked {
			continue
		}
		v.Index = append(v.Index, indexLine{e.no, line(e.shows[0]), e.path, e.sha256})
	}
	return d.fill(noticeTemplate, &v)
}

func (d *draft) factOf(f *rules.Finding) noticeFact {
	fact := noticeFact{Statement: line(report.Sentence(f.Statement)), Innocent: line(f.Rule.Doc.Innocent)}
	for _, q := range f.Evidence {
		file, entry := d.splitName(q.File, q.SHA256)
		at := slices.IndexFunc(d.exhibits, func(e *exhibit) bool { return e.file == file && e.entry == entry && e.sha256 == q.SHA256 })
		seen := fmt.Sprintf("“%s”, %s, %s", line(q.Quote), d.exhibits[at].no, line(q.Place))
		if !slices.Contains(fact.Quotes, seen) {
			fact.Quotes = append(fact.Quotes, seen)
		}
	}
	return fact
}

// inUTC brings a stated time with a zone to UTC; a date stays as it is.
func inUTC(s string) string {
	if t, err := time.Parse(time.RFC3339, s); err == nil {
		return stamp(t)
	}
	return s
}

// goods names the goods by what the listing says of them.
func goods(d *draft, l *listing.Listing) string {
	var parts []string
	for _, s := range []string{l.Value(listing.Brand), report.PartText(d.res, d.j), l.Value(listing.UnitType), l.Value(listing.Condition)} {
		if s = line(s); s != "" && s != listing.Unknown && !slices.Contains(parts, s) {
			parts = append(parts, s)
		}
	}
	return orBlank(strings.Join(parts, ", "))
}
