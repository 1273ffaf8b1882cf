package compare

import (
	"fmt"
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// MaskContacts masks every contact in what is written of a result, after all was
// compared: a contact that changed is still a change, and accounts are joined by
// what they share. Two different contacts may look alike when masked.
func (r *Result) MaskContacts() {
	m := masker{masked: map[*listing.Listing]*listing.Listing{}, by: map[*listing.Listing]*report.ContactMask{}}
	all := &rules.Result{Facts: r.Facts}
	for n, l := range r.Facts.Listings {
		m.by[l] = report.NewContactMask(all, &rules.Judged{N: n, Listing: l}, nil)
		m.masked[l] = m.by[l].Listing(l)
	}
	for i := range r.Changes {
		m.change(&r.Changes[i])
	}
	for _, list := range []*[]*listing.Listing{&r.Facts.Listings, &r.Before.Listings, &r.After.Listings} {
		*list = slices.Clone(*list)
		for i, l := range *list {
			(*list)[i] = m.masked[l]
		}
	}
}

// masker holds the listings without contacts and what hides them, by listing.
type masker struct {
	masked map[*listing.Listing]*listing.Listing
	by     map[*listing.Listing]*report.ContactMask
}

func (m *masker) change(c *Change) {
	old, new := c.Old, c.New
	hide := func(s string) string {
		for _, l := range []*listing.Listing{old, new} {
			if l != nil {
				s = m.by[l].Brief(s)
			}
		}
		return s
	}
	c.Old, c.New = m.masked[old], m.masked[new]
	c.Statement = hide(c.Statement)
	c.Evidence = slices.Clone(c.Evidence)
	for i := range c.Evidence {
		c.Evidence[i].Quote = hide(c.Evidence[i].Quote)
	}
	k := slices.IndexFunc(worded, func(w wording) bool { return w.field == c.Field && w.kind == c.Kind })
	if k < 0 || old == nil || new == nil {
		c.OldValue, c.NewValue, c.OldPart, c.NewPart = hide(c.OldValue), hide(c.NewValue), hide(c.OldPart), hide(c.NewPart)
		return
	}
	// What differs may be a piece of a number that shows in the whole text only.
	a, _ := c.Old.Get(c.Field)
	b, _ := c.New.Get(c.Field)
	c.OldValue, c.NewValue = a.Value, b.Value
	c.OldPart, c.NewPart = difference(a.Raw, b.Raw)
	if c.Kind == TitleEdited || c.Kind == DescriptionEdited {
		c.Evidence = []Evidence{{"before", rules.Quote(c.Old, c.Field, c.OldPart)}, {"after", rules.Quote(c.New, c.Field, c.NewPart)}}
	}
	c.Statement = worded[k].statement(c)
	if a.Raw == b.Raw {
		c.Statement = fmt.Sprintf("A contact in the %s changed; masked, both look alike.", worded[k].noun)
		if c.Field == listing.Contact {
			c.Statement = "The contact changed; masked, both look alike."
		}
	}
}
