// Package parts finds out which part a listing offers: the maker's number in
// the maker's own form, after the user's table of equivalents. Suffixes are
// never taken as equal without that table.
package parts

import (
	"slices"
	"strings"
	"sync"

	"counterfoil/parse/listing"
	"counterfoil/rules/settings"
)

// Part is the resolved identity of a listing's item.
type Part struct {
	// ID names the part in all outputs: the maker's name, when a profile knows
	// the number, and the number. "" when no number was found.
	ID     string
	Number string          // as resolved
	Field  listing.Name    // the field it was read from
	Maker  *settings.Maker // nil without a profile
	// How says what was done beyond reading the number, for example
	// "oe-number 123 = 456 (dealer guide)"; "" for nothing.
	How string
	// Other holds further parts that numbers of the listing resolve to: the
	// identity is ambiguous then.
	Other []string
	// Styled reports whether the number has one of the maker's styles.
	Styled bool
}

// Resolver holds the maker profiles and the table of equivalents. It is safe
// for concurrent use after New.
type Resolver struct {
	makers *settings.Makers
	head   map[string]string // canonical number -> head of its equivalence set
	text   map[string]string // canonical number -> how it is written
	why    map[string]string // canonical number -> the row that joins it
	shared sync.Map          // *Part by identity
}

// New builds a resolver; both arguments may be nil. The head of a set of
// equivalents is the number that stands in the part_number column and is not
// itself equated to another.
func New(makers *settings.Makers, equivalents []settings.Equivalence) *Resolver {
	r := &Resolver{makers: makers, head: map[string]string{}, text: map[string]string{}, why: map[string]string{}}
	for _, e := range equivalents {
		a, b := r.canonical(e.Part, nil), r.canonical(e.Same, nil)
		r.text[key(a)], r.text[key(b)] = a, b
		ha, hb := r.headOf(key(a)), r.headOf(key(b))
		if ha != hb {
			r.head[hb] = ha
		}
		r.why[key(b)] = e.Kind + " " + b + " = " + a + " (" + e.Source + ")"
	}
	return r
}

func (r *Resolver) headOf(k string) string {
	for {
		up, ok := r.head[k]
		if !ok {
			return k
		}
		k = up
	}
}

// key is the form in which numbers are compared.
func key(number string) string { return listing.CanonicalNumber(number) }

// canonical gives the number in the form of the maker, of any maker when m is
// nil, or without separators when no style fits.
func (r *Resolver) canonical(number string, m *settings.Maker) string {
	if m != nil {
		if c, ok := m.Canonical(number); ok {
			return c
		}
	}
	if owner, c := r.owner(number); owner != nil {
		return c
	}
	return listing.HyphenatedNumber(number)
}

// owner finds the one maker whose style the number has; nil when none or
// several have it.
func (r *Resolver) owner(number string) (*settings.Maker, string) {
	if r.makers == nil {
		return nil, ""
	}
	var owner *settings.Maker
	var form string
	for i := range r.makers.List {
		if c, ok := r.makers.List[i].Canonical(number); ok {
			if owner != nil {
				return nil, ""
			}
			owner, form = &r.makers.List[i], c
		}
	}
	return owner, form
}

// Number resolves one number as the user writes it in a settings table.
func (r *Resolver) Number(number string) string { return r.resolve(number, nil, listing.NoField).ID }

// IDs resolves one number as the user writes it in a settings table, for each
// maker whose style it has: several makers may number alike, and the table does
// not say whose number it is.
func (r *Resolver) IDs(number string) []string {
	ids := []string{r.Number(number)}
	if r.makers == nil {
		return ids
	}
	for i := range r.makers.List {
		m := &r.makers.List[i]
		if p := r.resolve(number, m, listing.NoField); p.Maker == m && p.Styled && !slices.Contains(ids, p.ID) {
			ids = append(ids, p.ID)
		}
	}
	return ids
}

// minLength is the least length of a number that can name a part: shorter ones
// are quantities, sizes and years.
const minLength = 5

// Resolve finds the listing's part from its part number, else its OE numbers.
// Listings of which all is equal share one, which must not be changed.
func (r *Resolver) Resolve(l *listing.Listing) *Part {
	p := r.find(l)
	k := p.identity()
	if held, ok := r.shared.Load(k); ok {
		return held.(*Part)
	}
	held, _ := r.shared.LoadOrStore(k, &p)
	return held.(*Part)
}

// identity is a part as a value that can be compared.
type identity struct {
	id, number, how, other string
	maker                  *settings.Maker
	field                  listing.Name
	styled                 bool
}

func (p *Part) identity() identity {
	return identity{p.ID, p.Number, p.How, strings.Join(p.Other, "\x00"), p.Maker, p.Field, p.Styled}
}

func (r *Resolver) find(l *listing.Listing) Part {
	brand := r.makers.Named(l.Value(listing.Brand))
	var found []Part
	add := func(number string, n listing.Name) {
		if p := r.resolve(number, brand, n); p.ID != "" {
			found = append(found, p)
		}
	}
	for _, number := range r.numbers(l.Value(listing.PartNumber), brand) {
		add(number, listing.PartNumber)
	}
	own := len(found)
	for _, oe := range l.List(listing.OENumbers) {
		// An OE number names the part only through the table of equivalents, or
		// when there is nothing better.
		if _, known := r.text[key(oe)]; known || own == 0 {
			add(oe, listing.OENumbers)
		}
	}
	if len(found) == 0 {
		return Part{Maker: brand}
	}
	first := found[0]
	if first.Maker == nil {
		first.Maker = brand
	}
	for i, p := range found[1:] {
		_, known := r.text[key(p.Number)]
		known = known || i+1 < own // the field for the part number holds it
		if p.ID != first.ID && known && !slices.Contains(first.Other, p.ID) {
			first.Other = append(first.Other, p.ID)
		}
	}
	slices.Sort(first.Other)
	return first
}

// numbers splits a field for the part number that holds several. A number that
// has a known style or stands in the table is one, whatever signs are in it, and
// so is a field of which a piece is too short to be a number.
func (r *Resolver) numbers(field string, brand *settings.Maker) []string {
	one := []string{field}
	if _, known := r.text[key(field)]; known || r.resolve(field, brand, listing.NoField).Styled {
		return one
	}
	pieces := strings.FieldsFunc(field, func(c rune) bool { return strings.ContainsRune(",;|/\n", c) })
	for i, p := range pieces {
		pieces[i] = strings.TrimSpace(p)
		if k := key(p); len(k) < minLength || !strings.ContainsAny(k, "0123456789") {
			return one
		}
	}
	if len(pieces) == 0 {
		return one
	}
	return pieces
}

func (r *Resolver) resolve(number string, brand *settings.Maker, n listing.Name) Part {
	k := key(number)
	if len(k) < minLength || !strings.ContainsAny(k, "0123456789") {
		return Part{}
	}
	p := Part{Field: n}
	form := r.canonical(number, brand)
	k = key(form)
	if h := r.headOf(k); h != k {
		p.How = r.why[k]
		form, k = r.text[h], h
	} else if t, ok := r.text[k]; ok {
		form = t
	}
	p.Number = form
	if brand != nil {
		_, p.Styled = brand.Canonical(form)
	}
	p.Maker = brand
	// A brand whose styles are known numbers its parts in no other maker's style.
	if !p.Styled && (brand == nil || len(brand.PartNumbers) == 0) {
		if owner, c := r.owner(form); owner != nil {
			p.Maker, p.Number, p.Styled = owner, c, true
		}
	}
	p.ID = p.Number
	if !p.Styled {
		p.ID = k // separators mean nothing without a known style
	} else {
		p.ID = p.Maker.Name + " " + p.Number
	}
	return p
}
