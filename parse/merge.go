package parse

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"counterfoil/parse/listing"
)

// merge joins captures of the same listing: the same address, the same id on
// the same marketplace, or the same bytes read twice. A listing's own page
// counts more than a result page, then the newest capture by the time that the
// input states, then the one that tells more; what the others say differently
// is kept as disagreements, what they alone say as fields with a place that
// names their capture. Different sellers or marketplaces are never joined.
//
// read has the listings of each source. They come back by file, then as they
// stand in it; which source they were read through plays no part.
func merge(read [][]*listing.Listing) (kept []*listing.Listing, problems []listing.Problem) {
	offers, problems := join(read)
	slices.SortStableFunc(offers, func(a, b settled) int { return byPlace(a.best.Listing, b.best.Listing) })
	best := make([]*capture, len(offers))
	kept = make([]*listing.Listing, len(offers))
	for i, o := range offers {
		best[i], kept[i] = o.best, o.best.Listing
	}
	name(best)
	return kept, problems
}

// settled is an offer: the capture that counts, and the one that was the first in
// the order of joining.
type settled struct{ best, first *capture }

// join joins captures and gives the offers by their first captures.
func join(read [][]*listing.Listing) (list []settled, problems []listing.Problem) {
	j := joiner{byID: map[identity][]*offer{}, exact: map[signature]*offer{}}
	for _, c := range order(read) {
		j.take(c)
	}
	list = make([]settled, 0, len(j.offers))
	for _, o := range j.offers {
		first := o.captures[0]
		c, notes := o.settle()
		list = append(list, settled{c, first})
		problems = append(problems, notes...)
	}
	return list, problems
}

// byPlace orders listings by where they stand. Listings of one page or sheet
// stay in their order.
func byPlace(a, b *listing.Listing) int {
	return cmp.Or(strings.Compare(a.File, b.File), strings.Compare(a.Entry, b.Entry), cmp.Compare(a.Row, b.Row))
}

// capture is one listing as read, with the keys under which others may be
// captures of the same.
type capture struct {
	*listing.Listing
	host, address    string
	seller, sellerID string
	ids              []identity
}

type identity struct {
	kind int
	key  string
}

// signature is an identity with what tells sellers and marketplaces apart.
type signature struct {
	identity
	host, seller string
}

// Kinds of identity, the strongest first.
const (
	sameBytes = iota
	sameID
	sameAddress
)

// offer is a set of captures of one listing, with what is known of it from any
// of them.
type offer struct {
	captures               []*capture
	host, seller, sellerID string
	id                     string
}

type joiner struct {
	offers []*offer
	byID   map[identity][]*offer
	exact  map[signature]*offer
}

// order makes the captures, those that say most about whose they are first, so
// that the result does not depend on the order of the input. An identity that
// one capture alone has is left out.
func order(read [][]*listing.Listing) []*capture {
	n := 0
	for _, source := range read {
		n += len(source)
	}
	list := make([]*capture, 0, n)
	uses := make(map[identity]int, n)
	several := inSeveral(read)
	for _, source := range read {
		times := map[string]int{}
		for _, l := range source {
			c := captureOf(l)
			if several[l.SHA256] {
				text := strings.Join([]string{l.SHA256, l.Entry, strconv.Itoa(l.Row), l.Value(listing.URL), l.Value(listing.Title), l.Value(listing.Price)}, "\x00")
				times[text]++
				c.ids = append(c.ids, identity{sameBytes, text + "\x00" + strconv.Itoa(times[text])})
			}
			if id := l.Value(listing.ListingID); id != "" {
				c.ids = append(c.ids, identity{sameID, id})
			}
			if c.address != "" {
				c.ids = append(c.ids, identity{sameAddress, c.address})
			}
			for _, id := range c.ids {
				uses[id]++
			}
			list = append(list, c)
		}
	}
	for _, c := range list {
		c.ids = slices.DeleteFunc(c.ids, func(id identity) bool { return uses[id] == 1 })
	}
	slices.SortStableFunc(list, func(a, b *capture) int {
		return cmp.Or(cmp.Compare(b.known(), a.known()), byPlace(a.Listing, b.Listing))
	})
	return list
}

func captureOf(l *listing.Listing) *capture {
	c := &capture{Listing: l, seller: fold(l.Value(listing.Seller)), sellerID: fold(l.Value(listing.SellerID))}
	c.host, c.address = listing.Address(l.Value(listing.URL))
	return c
}

// inSeveral gives the hashes of captures that came through more than one
// source.
func inSeveral(read [][]*listing.Listing) map[string]bool {
	first := map[string]int{}
	several := map[string]bool{}
	for i, source := range read {
		for _, l := range source {
			if at, ok := first[l.SHA256]; ok && at != i {
				several[l.SHA256] = true
			} else if !ok {
				first[l.SHA256] = i
			}
		}
	}
	delete(several, "")
	return several
}

func fold(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

// known counts what a capture says about whose and which listing it is.
func (c *capture) known() int { return len(c.ids) + c.told() }

// told counts what it says about whose it is.
func (c *capture) told() (n int) {
	for _, s := range [...]string{c.host, c.seller, c.sellerID} {
		if s != "" {
			n++
		}
	}
	return n
}

// maxTwins bounds the offers of one id or address that a capture which names
// no seller is compared with; so many are no captures of one listing.
const maxTwins = 100

func (j *joiner) take(c *capture) {
	o := j.find(c)
	if o == nil {
		o = &offer{}
		j.offers = append(j.offers, o)
	}
	o.captures = append(o.captures, c)
	o.host, o.seller, o.sellerID = cmp.Or(o.host, c.host), cmp.Or(o.seller, c.seller), cmp.Or(o.sellerID, c.sellerID)
	o.id = cmp.Or(o.id, c.Value(listing.ListingID))
	for _, id := range c.ids {
		if list := j.byID[id]; !slices.Contains(list[max(0, len(list)-maxTwins):], o) {
			j.byID[id] = append(list, o)
		}
		if at := c.signature(id); j.exact[at] == nil {
			j.exact[at] = o
		}
	}
}

func (c *capture) signature(id identity) signature {
	return signature{id, c.host, cmp.Or(c.sellerID, c.seller)}
}

// find gives the offer that c is a capture of, nil if there is none or if
// nothing tells which of several it is.
func (j *joiner) find(c *capture) *offer {
	for _, id := range c.ids {
		if o := j.exact[c.signature(id)]; o != nil && o.fits(c, id.kind) {
			return o
		}
		list := j.byID[id]
		if len(list) > maxTwins {
			continue
		}
		var found *offer
		several := false
		for _, o := range list {
			if o.fits(c, id.kind) {
				several = found != nil
				found = o
			}
		}
		if found != nil && !several {
			return found
		}
	}
	return nil
}

// fits reports whether nothing speaks against c being a capture of the offer
// to which an identity leads, and enough for it.
func (o *offer) fits(c *capture, kind int) bool {
	id := c.Value(listing.ListingID)
	if differ(o.host, c.host) || differ(o.id, id) || o.otherSeller(c) {
		return false
	}
	first := o.captures[0]
	same := func(n listing.Name) bool {
		a, b := first.Value(n), c.Value(n)
		return a != "" && fold(a) == fold(b)
	}
	other := func(n listing.Name) bool { return differ(fold(first.Value(n)), fold(c.Value(n))) }
	switch {
	case kind == sameBytes:
		return true
	case kind == sameID && o.host != "" && o.host == c.host:
		return true
	case kind == sameID:
		// Exports of several shops may each number their rows from 1.
		return o.seller != "" && o.seller == c.seller || o.sellerID != "" && o.sellerID == c.sellerID ||
			same(listing.Title) || same(listing.PartNumber)
	case o.id != "" && o.id == id:
		return true
	case first.File == c.File && first.Entry == c.Entry && c.Row == 0:
		// Variants on one page share its address.
		return same(listing.Title) && !other(listing.Price) && !other(listing.SKU) && !other(listing.PartNumber) && !other(listing.Condition)
	case first.File == c.File && first.Entry == c.Entry:
		// Rows may all give the address of the shop or of a search.
		return same(listing.Title) && fold(first.Value(listing.PartNumber)) == fold(c.Value(listing.PartNumber)) &&
			(!other(listing.Price) || other(listing.CapturedAt))
	}
	return !other(listing.PartNumber)
}

func differ(a, b string) bool { return a != "" && b != "" && a != b }

func (o *offer) otherSeller(c *capture) bool {
	if o.sellerID != "" && c.sellerID != "" {
		return o.sellerID != c.sellerID
	}
	return differ(o.seller, c.seller)
}

// settle chooses the capture that counts and hangs the others on it.
func (o *offer) settle() (*capture, []listing.Problem) {
	if len(o.captures) == 1 {
		return o.captures[0], nil
	}
	slices.SortStableFunc(o.captures, func(a, b *capture) int { return byPlace(a.Listing, b.Listing) })
	won := o.captures[0]
	for _, c := range o.captures[1:] {
		if better(c.Listing, won.Listing) {
			won = c
		}
	}
	best := won.Listing
	var problems []listing.Problem
	taken := o.takeOver(won)
	for _, c := range o.captures {
		if c == won {
			continue
		}
		p := listing.Problem{Severity: listing.Notice, File: c.File, Entry: c.Entry, Place: listing.Place{Row: int32(c.Row)}}
		if c.Ref() == best.Ref() {
			p.Reason = "the same capture was read twice; it counts once"
		} else {
			n := keepDifferences(best, c.Listing)
			best.Also = append(best.Also, c.Ref())
			p.Reason = fmt.Sprintf("the same listing as in %s; that capture counts, differing values kept: %d", whence(best), n)
			if len(taken[c]) > 0 {
				p.Reason += "; taken from here, as that one does not show it: " + strings.Join(taken[c], ", ")
			}
		}
		// What an earlier run joined stays joined.
		best.Also = append(best.Also, c.Also...)
		problems = append(problems, p)
	}
	slices.SortFunc(best.Also, func(a, b listing.CaptureRef) int {
		return cmp.Or(strings.Compare(a.File, b.File), strings.Compare(a.Entry, b.Entry), cmp.Compare(a.Row, b.Row), strings.Compare(a.SHA256, b.SHA256))
	})
	best.Also = slices.DeleteFunc(slices.Compact(best.Also), func(r listing.CaptureRef) bool { return r == best.Ref() })
	return won, problems
}

// better reports whether capture a counts rather than b, which stands before
// it.
func better(a, b *listing.Listing) bool {
	return cmp.Or(
		compareBools(!a.Brief, !b.Brief),
		capturedAt(a).Compare(capturedAt(b)),
		cmp.Compare(len(a.Photos), len(b.Photos)),
		cmp.Compare(a.Len(), b.Len()),
	) > 0
}

func compareBools(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}

// capturedAt gives the stated time, of a bare date its beginning, the zero
// time when there is none.
func capturedAt(l *listing.Listing) time.Time {
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02T15:04", time.DateOnly} {
		if t, err := time.Parse(layout, l.Value(listing.CapturedAt)); err == nil {
			return t
		}
	}
	return time.Time{}
}

// maxDifferences bounds the differing values kept of one listing.
const maxDifferences = 1000

// keepDifferences adds to best what another capture says differently: its own
// fields and, of what an earlier run joined to it, those of further captures.
func keepDifferences(best, other *listing.Listing) int {
	n := 0
	add := func(f listing.Field, in listing.CaptureRef) {
		kept, ok := best.Get(f.Name)
		if !ok || fold(kept.Value) == fold(f.Value) || len(best.Disagreements) >= maxDifferences || expected(f.Name, other.Brief) {
			return
		}
		for _, d := range best.Disagreements {
			if d.Other.Name == f.Name && d.Other.Value == f.Value {
				return
			}
		}
		best.Disagreements = append(best.Disagreements, listing.Disagreement{Kept: kept, Other: f, In: in})
		n++
	}
	for _, f := range other.Fields() {
		add(f, other.Ref())
	}
	for _, d := range other.Disagreements {
		if d.In != (listing.CaptureRef{}) {
			add(d.Other, d.In)
		}
	}
	return n
}

// takeOver adds to the capture that counts what only others show, of several
// what the better one shows, and gives the names of the fields taken from each.
func (o *offer) takeOver(won *capture) map[*capture][]string {
	others := slices.DeleteFunc(slices.Clone(o.captures), func(c *capture) bool { return c == won || c.Ref() == won.Ref() })
	slices.SortStableFunc(others, func(a, b *capture) int {
		return compareBools(better(b.Listing, a.Listing), better(a.Listing, b.Listing))
	})
	taken := map[*capture][]string{}
	for _, c := range others {
		taken[c] = takeFrom(won.Listing, c.Listing)
	}
	return taken
}

// takeFrom adds to best what only another capture shows. What changes with time
// is no statement about the listing as it is now and goes to the disagreements,
// against nothing.
func takeFrom(best, other *listing.Listing) (taken []string) {
	for _, f := range other.Fields() {
		switch {
		case best.Has(f.Name) || f.Name == listing.Language || expected(f.Name, false):
		case passing(f.Name):
			if len(best.Disagreements) < maxDifferences && !against(best, f.Name) {
				best.Disagreements = append(best.Disagreements, listing.Disagreement{Kept: listing.Field{Name: f.Name}, Other: f, In: other.Ref()})
			}
		default:
			f.From = elsewhere(f.From, other)
			best.Set(f)
			taken = append(taken, f.Name.String())
		}
	}
	if !best.PhotosKnown && len(best.Photos) == 0 && len(other.Photos) > 0 {
		best.Photos, best.PhotosKnown = other.Photos, other.PhotosKnown
		taken = append(taken, "photos")
	}
	return taken
}

// otherCapture is the source of a field that the capture that counts does not
// show.
const otherCapture = "capture"

// elsewhere names a place in another capture.
func elsewhere(p listing.Place, in *listing.Listing) listing.Place {
	switch p.Source {
	case otherCapture: // of an earlier run
		return p
	case listing.SourceOCR: // rules trust a reading by machine less
		return listing.Place{Source: p.Source, Path: whence(in) + ": " + p.Path}
	}
	return listing.Place{Source: otherCapture, Path: whence(in) + ": " + p.String()}
}

func against(l *listing.Listing, n listing.Name) bool {
	return slices.ContainsFunc(l.Disagreements, func(d listing.Disagreement) bool { return d.Kept.Name == n })
}

// passing names fields that a newer capture may lack because they are over.
func passing(n listing.Name) bool {
	switch n {
	case listing.Price, listing.PriceWas, listing.PriceKind, listing.PriceTax, listing.Currency, listing.Shipping, listing.CoreDeposit,
		listing.Availability, listing.QuantityAvailable, listing.SellerFeedback, listing.SellerFeedbackCount:
		return true
	}
	return false
}

// expected names fields in which captures of one listing differ by nature: a
// result page shortens texts.
func expected(n listing.Name, brief bool) bool {
	switch n {
	case listing.CapturedAt, listing.URL, listing.PhotoFiles:
		return true
	case listing.Title, listing.Description:
		return brief
	}
	return false
}
