package rules

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules/near"
	"counterfoil/rules/photogroup"
)

// Past is what earlier runs saw of a batch, made ready for the time rules.
type Past struct {
	*Memory
	Traces []Trace // by listing

	f        *Facts
	bound    int
	byKey    map[string][]int // into Memory.Earlier, in its order
	bySerial map[string][]int
	byText   map[[16]byte][]int
	shared   [][]sharedPrint       // by listing
	here     map[string]int        // listing of the batch, by key
	ids      map[[2]string][]int64 // of the batch, by marketplace and part, ascending
	users    map[[16]byte]int      // traders of the batch that use a description
	marks    map[string]string     // group of traders of the batch, by mark
	gone     []time.Time           // by Memory.Earlier: the run that missed it, zero when none did
	back     []time.Time           // by listing: the run between its sightings that missed it
	copies   map[string]int        // case of a confirmed copy, by mark of its trader
	known    map[string]bool       // groups of traders that an earlier run saw
	genuine  map[string]int        // the same of a confirmed genuine
}

func newPast(f *Facts, q *Question, m *Memory) (*Past, error) {
	p := &Past{Memory: m, Traces: q.Traces, f: f, bound: q.Bound, byKey: map[string][]int{}, bySerial: map[string][]int{},
		byText: map[[16]byte][]int{}, here: map[string]int{}, ids: map[[2]string][]int64{}, marks: map[string]string{},
		copies: map[string]int{}, genuine: map[string]int{}, known: map[string]bool{}}
	for i := range p.Traces {
		t := &p.Traces[i]
		p.here[t.Key] = i
		place := [2]string{t.Market, t.Part}
		p.ids[place] = append(p.ids[place], p.id(i))
		for _, mark := range t.Marks {
			p.marks[mark] = f.SellerGroups[i]
			if _, ok := slices.BinarySearch(m.Known, mark); ok {
				p.known[f.SellerGroups[i]] = true
			}
		}
	}
	for _, ids := range p.ids {
		slices.Sort(ids)
	}
	p.index()
	p.countTexts()
	p.indexCases()
	p.findShared()
	return p, p.findGone(f.History, q)
}

func (p *Past) index() {
	for n := range p.Earlier {
		e := &p.Earlier[n]
		p.byKey[e.Key] = append(p.byKey[e.Key], n)
		for i, s := range e.Serials {
			if i == 0 || s.Serial != e.Serials[i-1].Serial {
				p.bySerial[s.Serial] = append(p.bySerial[s.Serial], n)
			}
		}
		if !e.Text.IsZero() {
			p.byText[e.Text.Hash] = append(p.byText[e.Text.Hash], n)
		}
	}
}

// id numbers a listing of the batch. Those that no earlier run saw have numbers
// below zero.
func (p *Past) id(n int) int64 {
	if id, ok := p.IDs[p.Traces[n].Key]; ok {
		return id
	}
	return -1 - int64(n)
}

// trader is the group of traders of the batch that an earlier listing's seller is
// in, else his account.
func (p *Past) trader(e *Earlier) string {
	for _, m := range e.Marks {
		if g := p.marks[m]; g != "" {
			return g
		}
	}
	return "account " + e.Seller
}

// countTexts counts the traders of the batch that use a description.
func (p *Past) countTexts() {
	type use struct {
		text [16]byte
		by   string
	}
	seen := map[use]bool{}
	p.users = map[[16]byte]int{}
	for i := range p.Traces {
		if u := (use{p.Traces[i].Text.Hash, p.f.SellerGroups[i]}); !p.Traces[i].Text.IsZero() && !seen[u] {
			seen[u] = true
			p.users[u.text]++
		}
	}
}

// findShared looks for the batch's pictures on listings that are not in the
// batch any more, and on those that have a case. What listings of the batch
// share now is for the photo rules.
func (p *Past) findShared() {
	hasCase := map[string]bool{}
	for _, c := range p.Cases {
		hasCase[c.Listing] = true
	}
	var pictures []Print
	var in [][]int // into Earlier, by picture
	bySum := map[string]int{}
	var printed []uint64
	var of []int // into pictures
	for n := range p.Earlier {
		e := &p.Earlier[n]
		if _, here := p.here[e.Key]; here && !hasCase[e.Key] {
			continue
		}
		for _, ph := range e.Photos {
			k, ok := bySum[ph.SHA256]
			if !ok {
				k = len(pictures)
				bySum[ph.SHA256] = k
				pictures, in = append(pictures, ph), append(in, nil)
				if ph.Printed {
					printed, of = append(printed, ph.Fingerprint), append(of, k)
				}
			}
			in[k] = append(in[k], n)
		}
	}
	p.shared = make([][]sharedPrint, len(p.Traces))
	if len(pictures) == 0 {
		return
	}
	set := near.New(printed, p.bound)
	eachChunk(context.Background(), len(p.Traces), p.f.Jobs, func(i int) {
		for k := range p.f.Listings[i].Photos {
			photo := &p.f.Listings[i].Photos[k]
			var like []int
			if photo.Printed {
				for _, f := range []uint64{photo.Fingerprint, photo.Mirror} {
					for n := range set.Near(f) {
						like = append(like, of[n])
					}
				}
			}
			if n, ok := bySum[photo.SHA256]; ok && photo.SHA256 != "" {
				like = append(like, n)
			}
			if s := p.share(i, k, like, pictures, in); len(s.earlier) > 0 {
				p.shared[i] = append(p.shared[i], s)
			}
		}
	})
}

// share joins a photo of a listing with the earlier listings that show one of
// the like pictures. It is common when many showed it before or show it now.
func (p *Past) share(n, k int, like []int, pictures []Print, in [][]int) sharedPrint {
	photo := &p.f.Listings[n].Photos[k]
	own := printOf(photo)
	s := sharedPrint{photo: photo, oneUnit: own.OneUnit}
	var all []int
	for _, k := range like {
		s.oneUnit = s.oneUnit || pictures[k].OneUnit
		all = append(all, in[k]...)
	}
	slices.Sort(all)
	users := map[string]bool{}
	for _, e := range slices.Compact(all) {
		if p.Earlier[e].Key != p.Traces[n].Key {
			s.earlier = append(s.earlier, e)
			users[p.trader(&p.Earlier[e])] = true
		}
	}
	if g := p.f.Photos.Of(p.f.FirstPhoto[n] + k); g != nil && len(s.earlier) > 0 {
		for _, m := range g.Members {
			if by := p.f.SellerGroups[p.f.PhotoOf[m.Photo].Listing]; by != "" && by != p.f.SellerGroups[n] {
				users[by] = true
			}
		}
	}
	s.common = !s.oneUnit && len(users) >= photogroup.DefaultCatalogueSellers
	return s
}

// indexCases notes whose listings have a case. A displayed name or a contact
// does not make a trader answer for another's listing.
func (p *Past) indexCases() {
	for n, c := range p.Cases {
		for _, e := range p.byKey[c.Listing] {
			if c.Listing == "" || p.Earlier[e].Seller == "" {
				continue
			}
			switch mark := "account " + p.Earlier[e].Seller; c.Word {
			case ConfirmedCopy:
				keepFirst(p.copies, mark, n)
			case ConfirmedGenuine:
				keepFirst(p.genuine, mark, n)
			}
		}
	}
}

func keepFirst(m map[string]int, key string, n int) {
	if _, ok := m[key]; !ok {
		m[key] = n
	}
}

// findGone asks which listings were missing in a later look at their part and
// marketplace.
func (p *Past) findGone(h History, q *Question) error {
	p.gone, p.back = make([]time.Time, len(p.Earlier)), make([]time.Time, len(p.Traces))
	looks := map[[2]string][]Look{}
	lookAt := func(market, part string) ([]Look, error) {
		k := [2]string{market, part}
		list, ok := looks[k]
		if !ok {
			var err error
			if list, err = h.Looks(q, market, part); err != nil {
				return nil, err
			}
			if ids := p.ids[k]; len(ids) > 0 {
				list = append(slices.Clone(list), Look{Run: q.Until, Listings: ids})
			}
			looks[k] = list
		}
		return list, nil
	}
	for key, states := range p.byKey {
		last := states[0]
		runs := 0
		for _, n := range states {
			runs += p.Earlier[n].Runs
			if p.Earlier[n].LastRun.After(p.Earlier[last].LastRun) {
				last = n
			}
		}
		e := &p.Earlier[last]
		if e.Part == "" {
			continue
		}
		if i, here := p.here[key]; !here {
			list, err := lookAt(e.Market, e.Part)
			if err != nil {
				return err
			}
			at := missedAfter(list, e.ID, e.LastRun)
			for _, n := range states {
				p.gone[n] = at
			}
		} else if runs < p.runsSince(e.Market, p.Earlier[states[0]].First) {
			list, err := lookAt(e.Market, e.Part)
			if err != nil {
				return err
			}
			p.back[i] = missedBetween(list, e.ID)
		}
	}
	return nil
}

// runsSince counts the runs that saw a marketplace since a moment.
func (p *Past) runsSince(market string, first time.Time) (n int) {
	for _, r := range p.Runs {
		if !r.At.Before(first) && slices.Contains(r.Markets, market) {
			n++
		}
	}
	return n
}

// covers reports whether a later look saw so much of what an earlier one saw
// that a listing missing in it is likely to be gone: at least half of the
// earlier one's other listings, or anything when there was no other.
func covers(earlier, later Look, listing int64) bool {
	others, again := 0, 0
	for _, id := range earlier.Listings {
		if id == listing {
			continue
		}
		others++
		if _, ok := slices.BinarySearch(later.Listings, id); ok {
			again++
		}
	}
	return len(later.Listings) > 0 && 2*again >= others
}

// missedAfter is the first look after the last sighting, not before run, that
// covers what was seen then and misses the listing.
func missedAfter(looks []Look, listing int64, run time.Time) time.Time {
	at := -1
	for i, l := range looks {
		if _, ok := slices.BinarySearch(l.Listings, listing); ok && !l.Run.After(run) {
			at = i
		}
	}
	for i := at + 1; at >= 0 && i < len(looks); i++ {
		if covers(looks[at], looks[i], listing) {
			return looks[i].Run
		}
	}
	return time.Time{}
}

// missedBetween is the last look between two sightings that misses the listing.
func missedBetween(looks []Look, listing int64) (missed time.Time) {
	seen, gap := -1, time.Time{}
	for i, l := range looks {
		if _, ok := slices.BinarySearch(l.Listings, listing); ok {
			if !gap.IsZero() {
				missed = gap
			}
			seen, gap = i, time.Time{}
		} else if seen >= 0 && covers(looks[seen], l, listing) {
			gap = l.Run
		}
	}
	return missed
}

// The parts of the Pass that the time rules share.

// hasPast reports whether there is an earlier run.
func (p *Pass) hasPast() bool { return p.Past != nil && len(p.Past.Runs) > 0 }

// trace is the listing's own.
func (p *Pass) trace() *Trace { return &p.Past.Traces[p.N] }

// states are the earlier states of the listing itself, by first sighting.
func (p *Pass) states() []*Earlier {
	var list []*Earlier
	for _, n := range p.Past.byKey[p.trace().Key] {
		list = append(list, &p.Past.Earlier[n])
	}
	return list
}

// latest is the listing's state at its last sighting, nil when it was not seen
// before.
func (p *Pass) latest() (last *Earlier) {
	for _, e := range p.states() {
		if last == nil || !e.Last.Before(last.Last) {
			last = e
		}
	}
	return last
}

// sameTrader reports whether an earlier listing is known to be of the seller of
// this one: by the account, the displayed name or a contact that any listing of
// his in the batch shows.
func (p *Pass) sameTrader(e *Earlier) bool {
	own := p.SellerGroup()
	for _, m := range e.Marks {
		if g, ok := p.Past.marks[m]; ok && g != "" && g == own {
			return true
		}
	}
	return false
}

// sharedPrint is one of the listing's pictures that an earlier listing showed.
type sharedPrint struct {
	photo   *listing.Photo
	earlier []int // into Past.Earlier, ascending
	oneUnit bool  // some copy is known to show a plate or a box label
	common  bool  // a picture of the type, that several sellers use
}

// earlierText lists earlier listings, other than this one, with the same
// description, numbers apart; none when several other sellers used it before or
// use it now.
func (p *Pass) earlierText() []int {
	t := p.trace()
	if t.Text.IsZero() {
		return nil
	}
	var list []int
	users := map[string]bool{}
	for _, n := range p.Past.byText[t.Text.Hash] {
		if e := &p.Past.Earlier[n]; e.Key != t.Key {
			list = append(list, n)
			users[e.Seller] = true
		}
	}
	if most := photogroup.DefaultCatalogueSellers; len(users) >= most || p.Past.users[t.Text.Hash] > most {
		return nil
	}
	return list
}

// groupCase finds the case of an account that is grouped with a trader in this
// batch.
func (p *Past) groupCase(cases map[string]int, group string) (least int, ok bool) {
	for mark, n := range cases {
		if g, here := p.marks[mark]; here && g == group && (!ok || n < least) {
			least, ok = n, true
		}
	}
	return least, ok
}

// quoteTitle is the evidence of the listing's title, or of its id.
func (p *Pass) quoteTitle() Evidence {
	return p.quoteFirst(listing.Title, listing.ListingID, listing.URL)
}

func (p *Pass) quoteSeller() Evidence { return p.quoteFirst(listing.Seller, listing.SellerID) }

func (p *Pass) quoteFirst(names ...listing.Name) Evidence {
	for _, n := range names {
		if p.Listing.Has(n) {
			return p.Quote(n)
		}
	}
	return p.Quote(names[0])
}

func (p *Pass) quoteDescription() Evidence {
	f, _ := p.Listing.Get(listing.Description)
	return Quote(p.Listing, listing.Description, listing.Shorten(f.Raw, TitleLimit))
}

// quoteClaim is the evidence of the words that decide the claim, or of the title.
func (p *Pass) quoteClaim() Evidence {
	for _, ph := range p.Says().Phrases {
		if ph.Decided {
			return Quote(p.Listing, ph.Field, ph.Quote)
		}
	}
	return p.quoteTitle()
}

// canBeKnownAgain reports whether the listing shows anything by which its unit
// could be met under another id.
func (p *Pass) canBeKnownAgain() bool {
	t := p.trace()
	return len(t.Serials) > 0 || !t.Text.IsZero() || slices.ContainsFunc(t.Photos, func(ph Print) bool { return ph.SHA256 != "" })
}

// quoteEarlier is the evidence of an earlier state: the capture of its last
// sighting, which the casebook does not hold.
func quoteEarlier(e *Earlier, quote string) Evidence {
	place := "casebook, seen " + onDay(e.Last)
	if first := onDay(e.First); first != onDay(e.Last) {
		place = "casebook, seen from " + first + " to " + onDay(e.Last)
	}
	if e.Capture.Row > 0 {
		place += fmt.Sprintf(", row %d", e.Capture.Row)
	}
	return Evidence{File: fileName(e.Capture.File, e.Capture.Entry), SHA256: e.Capture.SHA256, Place: place,
		Quote: listing.Shorten(quote, QuoteLimit)}
}

// quoteCase is the evidence of a case.
func quoteCase(c *Case) Evidence {
	return Evidence{File: "casebook", Place: "outcome of " + onDay(c.Date),
		Quote: listing.Shorten(fmt.Sprintf("%s: %s", c.Word, cmp.Or(c.Basis, "no basis noted")), QuoteLimit)}
}

// onDay prints the day of a moment.
func onDay(t time.Time) string { return t.UTC().Format(time.DateOnly) }

// sellerText names the seller of an earlier listing.
func sellerText(e *Earlier) string { return cmp.Or(e.Shown, e.Seller, "a seller who was not observed") }
