package report

import (
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/sellers"
)

// MaskListing hides the contacts in all fields of a listing, in place. Two equal
// contacts stay equal.
func MaskListing(l *listing.Listing) {
	maskFields(l, &ContactMask{hide: Hidden, country: l.Value(listing.ShipsFrom)})
}

// MaskProblem hides the contacts in what a problem quotes, in place.
func MaskProblem(p *listing.Problem) {
	m := &ContactMask{hide: Hidden}
	p.Raw, p.Reason = m.Brief(p.Raw), m.Brief(p.Reason)
}

// Listing is a copy of a listing in which this mask hides the contacts.
func (m *ContactMask) Listing(l *listing.Listing) *listing.Listing {
	l = l.Clone()
	maskFields(l, m)
	return l
}

func maskFields(l *listing.Listing, m *ContactMask) {
	hide := func(f listing.Field) listing.Field {
		if f.Name == listing.Contact { // a number stands here without a label
			f.Value, f.Raw = m.contact(f.Value), m.contact(f.Raw)
		}
		f.Value, f.Raw = m.Brief(f.Value), m.Brief(f.Raw)
		return f
	}
	for _, f := range append([]listing.Field(nil), l.Fields()...) {
		if masked := hide(f); masked != f {
			l.Set(masked)
		}
	}
	for i := range l.Disagreements {
		d := &l.Disagreements[i]
		d.Kept, d.Other = hide(d.Kept), hide(d.Other)
	}
	for i := range l.Photos {
		p := &l.Photos[i]
		p.Caption, p.Lettering = m.Brief(p.Caption), m.Brief(p.Lettering)
	}
	l.DropPositions()
}

// contact hides what the field of contacts shows.
func (m *ContactMask) contact(s string) string {
	found := sellers.Find(s, listing.Contact, m.country, sellers.Options{})
	for i := len(found) - 1; i >= 0; i-- {
		s = s[:found[i].Start] + m.hide(found[i].Kind, found[i].Canonical) + s[found[i].End:]
	}
	return s
}

// Brief is Text, without a search where there is nothing to find.
func (m *ContactMask) Brief(s string) string {
	digits := 0
	for i := range len(s) {
		if c := s[i]; '0' <= c && c <= '9' {
			digits++
		}
	}
	if digits >= 5 || strings.ContainsAny(s, "@:=([") || strings.Contains(s, "：") {
		return m.Text(s)
	}
	for _, r := range m.known {
		if len(r.from) <= len(s) {
			return m.Text(s)
		}
	}
	return s
}

// MaskAll is a copy of a result in which every contact is masked: in the fields
// of listings and in what findings state and quote. What was reckoned from the
// contacts stays. Captures that the reports link to are not changed.
func MaskAll(res *rules.Result) *rules.Result {
	facts := *res.Facts
	facts.Listings = append([]*listing.Listing(nil), facts.Listings...)
	out := &rules.Result{Facts: &facts, Rules: res.Rules, Ranked: make([]*rules.Judged, len(res.Ranked))}
	for i, j := range res.Ranked {
		m := NewContactMask(res, j, nil)
		l := m.Listing(j.Listing)
		masked := *j
		masked.Listing = l
		masked.Findings = append([]rules.Finding(nil), j.Findings...)
		for k := range masked.Findings {
			f := &masked.Findings[k]
			f.Statement = m.Brief(f.Statement)
			f.Evidence = append([]rules.Evidence(nil), f.Evidence...)
			for e := range f.Evidence {
				f.Evidence[e].Quote = m.Brief(f.Evidence[e].Quote)
			}
		}
		facts.Listings[j.N], out.Ranked[i] = l, &masked
	}
	return out
}
