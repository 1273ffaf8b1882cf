package savedpage

import (
	"slices"
	"sort"
	"strconv"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"counterfoil/parse/listing"
	"counterfoil/parse/values"
)

// evaluate reads one candidate by itself. The second field is the currency that
// a price names, if it does.
func (r *reader) evaluate(c candidate) (f, currency listing.Field, ok bool) {
	var l listing.Listing
	r.set(&l, c)
	f, ok = l.Get(c.name)
	if c.name == listing.Price && sameNumber(f.Value, "0") {
		return f, currency, false // markup of items that are not for sale now states 0
	}
	currency, _ = l.Get(listing.Currency)
	return f, currency, ok
}

// number gives the value of a money candidate.
func (r *reader) number(c candidate) (float64, bool) {
	f, _, ok := r.evaluate(c)
	v, err := strconv.ParseFloat(f.Value, 64)
	return v, ok && err == nil
}

// set stores a candidate in l.
func (r *reader) set(l *listing.Listing, c candidate) []listing.Problem {
	if c.value != "" {
		l.Set(listing.Field{Name: c.name, Value: c.value, Raw: c.raw, From: r.place(c)})
		return nil
	}
	h := r.hints
	if _, ok := listing.MinorUnits(strings.ToUpper(c.currency)); ok {
		h.Currency = strings.ToUpper(c.currency)
	}
	if c.machine {
		h.DecimalMark = '.'
	}
	if c.name != listing.Description || !strings.Contains(c.raw, "<") {
		return values.Set(l, c.name, c.raw, r.place(c), &h)
	}
	problems := values.Set(l, c.name, withoutTags(c.raw), r.place(c), &h)
	if f, ok := l.Get(c.name); ok {
		f.Raw = c.raw
		l.Set(f)
	}
	return problems
}

// withoutTags gives the text of a description that markup holds as HTML, with
// line breaks between blocks.
func withoutTags(s string) string {
	var lines []string
	var q squeezer
	end := func() {
		if len(q.buf) > 0 {
			lines = append(lines, string(q.buf))
		}
		q = squeezer{}
	}
	z := html.NewTokenizer(strings.NewReader(s))
	for {
		switch z.Next() {
		case html.ErrorToken:
			end()
			return strings.Join(lines, "\n")
		case html.TextToken:
			q.add(string(z.Text()))
		default:
			if name, _ := z.TagName(); isBlock(atom.Lookup(name)) {
				end()
			} else {
				q.space()
			}
		}
	}
}

// build makes a listing: for each field the best candidate that can be read,
// the others as disagreements.
func (r *reader) build(cands []candidate) *listing.Listing {
	l := &listing.Listing{File: r.file, SHA256: r.sha256}
	byName := map[listing.Name][]candidate{}
	for _, c := range cands {
		byName[c.name] = append(byName[c.name], c)
	}
	demoteGTIN(byName)
	r.refineCondition(byName[listing.Condition])
	hints := r.hints
	defer func() { r.hints = hints }() // what one listing says is no hint for the next
	r.adoptCurrency(byName)
	for _, n := range listing.Names() {
		if list := byName[n]; len(list) > 0 {
			sort.SliceStable(list, func(a, b int) bool { return list[a].trust > list[b].trust })
			won := r.settle(l, list[:min(len(list), maxPerField)])
			if n == listing.Price && won.raw != "" {
				byName[listing.Currency] = append(byName[listing.Currency], won)
			}
		}
	}
	if now, ok := l.Amount(listing.Price); ok {
		if was, ok := l.Amount(listing.PriceWas); ok && was.Minor <= now.Minor {
			l.Remove(listing.PriceWas)
		}
	}
	r.out.Problems = append(r.out.Problems, r.stamp(values.Derive(l, &r.hints))...)
	return l
}

// finer tells for a condition which coarser words of markup say the same:
// schema.org knows NewCondition, RefurbishedCondition, UsedCondition and
// DamagedCondition only (schema.org/OfferItemCondition), the product tags of
// Open Graph new, refurbished and used.
var finer = map[string][]string{
	listing.NewOldStock:    {"newcondition", "new"},
	listing.Remanufactured: {"refurbishedcondition", "refurbished"},
}

// coarser reports whether a condition as read says only the coarse part of a
// finer one.
func coarser(raw, fine string) bool {
	return slices.Contains(finer[fine], strings.ToLower(local(raw)))
}

// refineCondition ranks a labelled word of the page above the markup's when it
// only refines that, so that a capture which lacks the markup says the same.
func (r *reader) refineCondition(list []candidate) {
	best := candidate{}
	for _, c := range list {
		if c.trust > best.trust {
			best = c
		}
	}
	if best.source == srcPage {
		return
	}
	for i := range list {
		c := &list[i]
		if c.source != srcPage || c.trust < trustLabel-60 {
			continue
		}
		if f, _, _ := r.evaluate(*c); coarser(best.raw, f.Value) {
			c.trust, c.why = best.trust+1, "it refines the markup's word"
		}
	}
}

// demoteGTIN ranks an item number that repeats the GTIN behind every other: the
// seller's own number says more.
func demoteGTIN(byName map[listing.Name][]candidate) {
	gtin := map[string]bool{}
	for _, c := range byName[listing.GTIN] {
		gtin[strings.TrimSpace(c.raw)] = true
	}
	for i, c := range byName[listing.SKU] {
		if gtin[strings.TrimSpace(c.raw)] {
			byName[listing.SKU][i].trust -= trustJSON
		}
	}
}

// adoptCurrency makes the best statement of a currency the hint for prices
// whose sign several currencies share.
func (r *reader) adoptCurrency(byName map[listing.Name][]candidate) {
	if list := byName[listing.Currency]; len(list) > 0 {
		best := 0
		for i := range list {
			if list[i].trust > list[best].trust {
				best = i
			}
		}
		if f, _, ok := r.evaluate(list[best]); ok {
			r.hints.Currency = f.Value
		}
	}
}

// maxPerField bounds the candidates of one field.
const maxPerField = 100

// settle stores the winner of one field. For a price it gives the currency that
// came with it, which then wins as well: both are from one place.
func (r *reader) settle(l *listing.Listing, list []candidate) (currency candidate) {
	won := -1
	var first []listing.Problem
	seen := map[string]bool{}
	for i, c := range list {
		if won >= 0 && !r.opt.Explain {
			if neverDisagrees(c.name) {
				break
			}
			if seen[c.raw+"\x00"+c.value] {
				continue
			}
		}
		seen[c.raw+"\x00"+c.value] = true
		f, named, ok := r.evaluate(c)
		why := c.why
		if !ok {
			why = strings.TrimSpace(why + " cannot be read")
		}
		switch {
		case ok && won < 0:
			won = i
			r.set(l, c)
			currency = c
			currency.name, currency.raw, currency.value, currency.trust = listing.Currency, named.Raw, named.Value, c.trust+1
		case ok:
			r.disagree(l, f)
		case won < 0 && len(first) == 0 && c.trust >= trustLabel:
			var scratch listing.Listing
			first = r.set(&scratch, c)
		}
		if r.opt.Explain {
			r.out.Candidates = append(r.out.Candidates, Candidate{Listing: len(r.out.Listings), Field: c.name, Raw: c.raw,
				Value: f.Value, From: r.place(c), Score: c.trust, Why: why, Won: won == i})
		}
	}
	if won < 0 {
		r.out.Problems = append(r.out.Problems, r.stamp(first)...)
	}
	return currency
}

// maxDisagreements bounds the values kept against one field.
const maxDisagreements = 5

// neverDisagrees tells the fields of which a second value says nothing.
func neverDisagrees(n listing.Name) bool {
	return n == listing.Description || n == listing.Language || n == listing.URL || n == listing.PriceKind
}

// disagree keeps another value of a field that is set. Two wordings of one
// title or description are no disagreement.
func (r *reader) disagree(l *listing.Listing, f listing.Field) {
	if neverDisagrees(f.Name) {
		return
	}
	kept, _ := l.Get(f.Name)
	switch f.Name {
	case listing.Condition:
		if coarser(f.Raw, kept.Value) {
			return
		}
	case listing.Title:
		if likeness(kept.Value, f.Value) > 0.6 {
			return
		}
	}
	if alike(f.Name, kept.Value, f.Value) {
		return
	}
	n := 0
	for _, d := range l.Disagreements {
		if d.Kept.Name != f.Name {
			continue
		}
		if alike(f.Name, d.Other.Value, f.Value) {
			return
		}
		n++
	}
	if n < maxDisagreements {
		l.Disagreements = append(l.Disagreements, listing.Disagreement{Kept: kept, Other: f})
	}
}

func alike(n listing.Name, a, b string) bool {
	switch n {
	case listing.Price, listing.PriceWas, listing.Shipping:
		return sameNumber(a, b)
	case listing.ListingID:
		return sameID(a, b)
	}
	return strings.EqualFold(squeeze(a), squeeze(b))
}

// stamp names the file in problems that come from package values.
func (r *reader) stamp(list []listing.Problem) []listing.Problem {
	for i := range list {
		list[i].File = r.file
	}
	return list
}
