package compare

import (
	"fmt"
	"strings"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/claims"
)

// CompareSeen compares what two runs of a casebook saw, one state for each
// listing, of which First is the listing's first sighting in any run and Last
// that in the run. It tells what [Compare] tells, as far as a casebook keeps it:
// of descriptions whether they are the same and how alike they are, of claims
// the words that decided them.
func CompareSeen(before, after []rules.Earlier, opt Options) (*Result, error) {
	states := append(before[:len(before):len(before)], after...)
	list := make([]*listing.Listing, len(states))
	for i := range states {
		list[i] = restored(&states[i])
	}
	return compare(list[:len(before)], list[len(before):], states, opt)
}

// restored is the listing that a state was made of, as far as it is kept.
func restored(e *rules.Earlier) *listing.Listing {
	l := &listing.Listing{Key: e.Key, File: e.Capture.File, Entry: e.Capture.Entry, SHA256: e.Capture.SHA256, Row: e.Capture.Row, PhotosKnown: len(e.Photos) > 0}
	set := func(n listing.Name, value string) {
		if value != "" {
			l.Set(listing.Field{Name: n, Value: value, Raw: value, From: placeSeen(l, n.String())})
		}
	}
	id, _ := identity(e)
	set(listing.ListingID, id)
	set(listing.CapturedAt, e.Last.UTC().Format(time.RFC3339))
	set(listing.Title, e.Title)
	set(listing.PartNumber, e.Part)
	set(listing.UnitType, e.Unit)
	set(listing.Condition, e.Condition)
	set(listing.Availability, e.State)
	set(listing.Seller, e.Shown)
	if account := strings.TrimPrefix(e.Seller, e.Market+"/"); !strings.HasPrefix(account, "~") {
		set(listing.SellerID, account)
	}
	if e.Price.Minor > 0 {
		set(listing.Price, e.Price.String())
		set(listing.Currency, e.Price.Currency)
		if e.Shipping != rules.NotStated {
			set(listing.Shipping, listing.Amount{Minor: e.Shipping, Currency: e.Price.Currency}.String())
		}
	}
	if e.Lot > 1 {
		set(listing.LotQuantity, fmt.Sprint(e.Lot))
	}
	if e.Quantity != rules.NotStated {
		set(listing.QuantityAvailable, fmt.Sprint(e.Quantity))
	}
	for _, s := range e.Serials {
		set(s.Field, strings.TrimPrefix(l.Value(s.Field)+"; "+s.Serial, "; "))
	}
	for _, p := range e.Photos {
		ph := listing.Photo{File: "picture " + p.SHA256[:min(len(p.SHA256), 12)], SHA256: p.SHA256, Fingerprint: p.Fingerprint, Mirror: p.Mirror, Printed: p.Printed,
			From: placeSeen(l, "photos")}
		if p.OneUnit {
			ph.Views = []listing.View{{Name: listing.ViewSerialPlate, By: "casebook"}}
		}
		l.Photos = append(l.Photos, ph)
	}
	return l
}

// placeSeen says where a value stood that is read from the casebook.
func placeSeen(l *listing.Listing, field string) listing.Place {
	if l.Row > 0 {
		field = strings.TrimSuffix(fmt.Sprintf("row %d, %s", l.Row, field), ", ")
	}
	return listing.Place{Source: "casebook,", Path: field}
}

// soldOn reports a listing that has one unit left in both runs while its own
// count of units sold rose.
func (c *comparison) soldOn(m *match) {
	a, b := m.old.seen, m.new.seen
	if a == nil || a.Quantity != 1 || b.Quantity != 1 || a.Sold == rules.NotStated || b.Sold <= a.Sold || a.LastOne != "" && b.LastOne != "" {
		return
	}
	ch := c.about(StillLastOne, m)
	ch.Field, ch.OldValue, ch.NewValue = listing.QuantityAvailable, "1", "1"
	ch.Statement = fmt.Sprintf("One unit is left in both runs, while the count of units sold rose from %d to %d.", a.Sold, b.Sold)
	ch.Evidence = []Evidence{quoteSeen("before", m.old.l, fmt.Sprintf("%d sold", a.Sold)), quoteSeen("after", m.new.l, fmt.Sprintf("%d sold", b.Sold))}
	c.add(ch)
}

// identity is the id or the address by which a key names a listing; see
// [rules.Trace].
func identity(e *rules.Earlier) (id, address string) {
	key := e.Key
	switch {
	case strings.ContainsAny(key, "#") || strings.HasPrefix(key, "~"):
		return "", "" // told apart by what it shows alone
	case e.Market == rules.NoMarket:
		id, _, _ = strings.Cut(strings.TrimPrefix(key, rules.NoMarket+"/"), "@"+e.Seller)
		return id, ""
	}
	if tail, ok := strings.CutPrefix(key, e.Market+"/"); ok && !strings.ContainsAny(tail, "/.?=") {
		return tail, ""
	}
	return "", key
}

// takeStates puts into the facts what the states know better than the restored
// listings show.
func takeStates(f *rules.Facts, states []rules.Earlier) {
	for n := range states {
		part := *f.Parts[n]
		part.ID, part.Field = states[n].Part, listing.PartNumber
		f.Parts[n] = &part
		f.Claims.Put(n, &claims.Result{Summary: claims.Summary{Claim: states[n].Claim}})
	}
}

// identify sets an item's marketplace, id and address from its state.
func (i *item) identify(e *rules.Earlier) {
	i.seen = e
	if i.host = e.Market; i.host == rules.NoMarket {
		i.host = ""
	}
	i.id, i.address = identity(e)
}

// quoteSeen is the evidence of words that a state keeps.
func quoteSeen(side string, l *listing.Listing, words string) Evidence {
	return Evidence{side, rules.Evidence{File: l.File, SHA256: l.SHA256, Place: placeSeen(l, "").String(), Quote: words}}
}

// textEdited compares the marks of two descriptions that were not kept.
func (c *comparison) textEdited(m *match) {
	a, b := m.old.seen, m.new.seen
	if a == nil || m.elsewhere() || a.Text.IsZero() || b.Text.IsZero() || a.Text.Hash == b.Text.Hash {
		return
	}
	ch := c.about(DescriptionEdited, m)
	ch.Field = listing.Description
	ch.Statement = fmt.Sprintf("The description was rewritten; by its mark about %s of its word triples are the same. The casebook keeps no descriptions.", rules.Percent(a.Text.Likeness(b.Text)))
	ch.Evidence = []Evidence{quoteSeen("before", m.old.l, "(not kept)"), quoteSeen("after", m.new.l, "(not kept)")}
	c.add(ch)
}
