package compare

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/sellers"
	"counterfoil/rules/settings"
)

// Options are the user's settings for one comparison.
type Options struct {
	Rules     rules.Options
	OwnPrices []settings.OwnPrice
	// Own is the user's own seller name or id, whose listings are not held
	// against the own prices; "" for none.
	Own string
}

// Evidence is a quote of one side.
type Evidence struct {
	Side string // "before" or "after"
	rules.Evidence
}

// Change is one statement about a listing.
type Change struct {
	Kind      Kind
	Attention Attention
	Statement string
	// Old and New are the listings it is about; one of them may be nil.
	Old, New *listing.Listing
	Part     string
	Basis    []string // how Old and New were joined
	Strength string   // how firm that is

	Field              listing.Name // that changed, or listing.NoField
	OldValue, NewValue string
	OldPart, NewPart   string // what differs of a long text
	OldPrice, NewPrice listing.Amount
	Moved              float64 // share by which the price moved, -0.1 for a tenth less
	Others             []string
	Evidence           []Evidence
}

// Listing is the later listing, else the earlier one.
func (c *Change) Listing() *listing.Listing { return cmp.Or(c.New, c.Old) }

// Side is one of the two looks.
type Side struct {
	Listings    []*listing.Listing
	First, Last time.Time // capture times that its listings state; zero without any
}

// Result is what a comparison found.
type Result struct {
	Facts         *rules.Facts // of both sides together, the earlier first
	Before, After Side
	Joined        map[string]int // joined listings by the words of how, for instance "id"
	Kinds         map[Kind]int   // changes by kind
	Changes       []Change       // what stands out first, then by kind and listing
	Warnings      []string
}

// comparison is a run of Compare.
type comparison struct {
	*look
	opt      Options
	res      *Result
	matchOf  map[*item]*match // of later listings
	laterOf  map[*item]*item  // of earlier listings, by id or address
	replaced map[*item]bool   // earlier listings that were put up anew
	unclear  map[*item]bool
}

// Compare joins the listings of two looks and says what changed. It fails only
// when a setting cannot be used.
func Compare(before, after []*listing.Listing, opt Options) (*Result, error) {
	return compare(before, after, nil, opt)
}

// compare is Compare. states are those of both sides' listings in a casebook, nil
// without one.
func compare(before, after []*listing.Listing, states []rules.Earlier, opt Options) (*Result, error) {
	facts, err := rules.Build(slices.Concat(before, after), opt.Rules)
	if err != nil {
		return nil, err
	}
	takeStates(facts, states)
	c := &comparison{look: newLook(facts, len(before), states), opt: opt, matchOf: map[*item]*match{}, laterOf: map[*item]*item{},
		replaced: map[*item]bool{}, unclear: map[*item]bool{},
		res: &Result{Facts: facts, Before: sideOf(before), After: sideOf(after), Joined: map[string]int{}, Kinds: map[Kind]int{}}}
	ties := c.join()
	c.edits()
	c.comings(ties)
	c.accounts()
	c.undercuts()
	c.sort()
	c.warn()
	return c.res, nil
}

// join fills matchOf, laterOf and replaced, and gives what stays unclear.
func (c *comparison) join() []tie {
	for _, m := range c.byIdentity() {
		c.matchOf[m.new] = &m
		c.laterOf[m.old] = m.new
	}
	var old, new []*item
	for _, i := range c.before {
		if later := c.laterOf[i]; later == nil || later.ended != "" {
			old = append(old, i)
		}
	}
	for _, i := range c.after {
		if c.matchOf[i] == nil {
			new = append(new, i)
		}
	}
	matches, ties := c.byEvidence(old, new)
	for _, m := range matches {
		c.matchOf[m.new] = &m
		m.relisted = m.relisted || c.laterOf[m.old] != nil
		if m.relisted {
			c.replaced[m.old] = true
		} else {
			c.laterOf[m.old] = m.new
		}
	}
	for _, m := range c.matchOf {
		how := m.basis[0]
		if m.relisted {
			how = putUpAgain
		}
		c.res.Joined[how]++
	}
	return ties
}

// add puts a change among the results.
func (c *comparison) add(ch Change) {
	if l := ch.Listing(); ch.Part == "" && l != nil {
		ch.Part = l.Value(listing.PartNumber)
	}
	c.res.Kinds[ch.Kind]++
	c.res.Changes = append(c.res.Changes, ch)
}

// about begins a change of a joined listing.
func (c *comparison) about(kind Kind, m *match) Change {
	ch := Change{Kind: kind, Attention: usual[kind], Basis: m.basis, Strength: m.strength, Old: m.old.l, New: m.new.l}
	ch.Part = cmp.Or(m.new.part, m.old.part)
	return ch
}

// quotes is the evidence of fields of a listing.
func quotes(side string, l *listing.Listing, names ...listing.Name) []Evidence {
	var list []Evidence
	for _, n := range names {
		if l.Has(n) {
			list = append(list, Evidence{side, rules.Quote(l, n, "")})
		}
	}
	return list
}

// both is the evidence of a field of both sides.
func both(m *match, names ...listing.Name) []Evidence {
	return append(quotes("before", m.old.l, names...), quotes("after", m.new.l, names...)...)
}

func (c *comparison) sort() {
	key := func(ch *Change) string { return ch.Listing().Key }
	slices.SortStableFunc(c.res.Changes, func(a, b Change) int {
		return cmp.Or(cmp.Compare(a.Attention, b.Attention), cmp.Compare(place[a.Kind], place[b.Kind]), cmp.Compare(key(&a), key(&b)),
			cmp.Compare(a.Field, b.Field), cmp.Compare(a.Statement, b.Statement))
	})
}

func sideOf(list []*listing.Listing) Side {
	s := Side{Listings: list}
	for _, l := range list {
		t, ok := captured(l)
		if !ok {
			continue
		}
		if s.First.IsZero() || t.Before(s.First) {
			s.First = t
		}
		if t.After(s.Last) {
			s.Last = t
		}
	}
	return s
}

func captured(l *listing.Listing) (time.Time, bool) {
	for _, layout := range []string{time.RFC3339, time.DateOnly, "2006-01-02T15:04:05", "2006-01-02T15:04"} {
		if t, err := time.Parse(layout, l.Value(listing.CapturedAt)); err == nil {
			return t, true
		}
	}
	return time.Time{}, false
}

func (c *comparison) warn() {
	warn := func(format string, args ...any) {
		c.res.Warnings = append(c.res.Warnings, fmt.Sprintf(format, args...))
	}
	b, a := &c.res.Before, &c.res.After
	if len(b.Listings) == 0 {
		warn("the earlier inputs hold no listing: nothing tells what is new")
	}
	if len(a.Listings) == 0 {
		warn("the later inputs hold no listing: nothing tells what is gone")
	}
	if !a.Last.IsZero() && a.Last.Before(b.First) {
		warn("the later inputs state earlier capture times (%s) than the earlier ones (%s): are the sides exchanged?",
			a.Last.Format(time.DateOnly), b.First.Format(time.DateOnly))
	}
	bytes := map[string]bool{}
	for _, l := range b.Listings {
		bytes[l.SHA256] = l.SHA256 != ""
	}
	twice := map[string]bool{}
	for _, l := range a.Listings {
		if bytes[l.SHA256] {
			twice[l.SHA256] = true
		}
	}
	if len(twice) > 0 {
		warn("%d of the inputs are the same bytes on both sides; what they show cannot have changed", len(twice))
	}
	if c.crowded > 0 {
		warn("%d pairs of listings were not weighed, since over %d pairs have the same serial, photo, text or offer of one seller in common; such listings stand as new and gone", c.crowded, most)
	}
	if place := c.opt.Own; place != "" && !slices.ContainsFunc(c.facts.Listings, func(l *listing.Listing) bool { return isOwn(l, place) }) {
		warn("no listing is of the own seller %q", place)
	}
}

// isOwn reports whether a listing is of the user's own seller.
func isOwn(l *listing.Listing, own string) bool {
	return own != "" && (same(fold(own), fold(l.Value(listing.SellerID))) || same(sellers.NormalName(own), sellers.NormalName(l.Value(listing.Seller))))
}
