package rules

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules/photogroup"
	"counterfoil/rules/pricing"
	"counterfoil/rules/sellers"
	"counterfoil/rules/texts"
)

// buildNetwork links the accounts by all that they share and groups them by who
// may operate them. Facts that rest on the links between traders must be built
// before.
func (f *Facts) buildNetwork(prices []sellers.Value) {
	shared := f.sharedPictures()
	sources := sourcesOf(shared)
	for _, v := range append(f.sharedSerials(), f.sharedTexts()...) {
		if v.First == "" {
			v.First = sources.of(v)
		}
		shared = append(shared, v)
	}
	shared = append(shared, f.sharedCameras()...)
	shared = append(shared, prices...)
	f.Network = f.Sellers.Network(shared)
	f.Operators = f.operators()
}

// sources knows from whom pictures were probably copied: by the seller, those who
// show his.
type sources map[string]map[string]bool

func sourcesOf(pictures []sellers.Value) sources {
	s := sources{}
	for _, v := range pictures {
		if v.First == "" {
			continue
		}
		if s[v.First] == nil {
			s[v.First] = map[string]bool{}
		}
		for _, q := range v.Quotes {
			s[v.First][q.Seller] = true
		}
	}
	return s
}

// of is the seller from whom a serial or a text was probably copied: all who show
// it show his pictures too. "" when there is none.
func (s sources) of(v sellers.Value) string {
	for _, q := range v.Quotes {
		if s[q.Seller] != nil && !slices.ContainsFunc(v.Quotes, func(other sellers.Quote) bool { return !s[q.Seller][other.Seller] }) {
			return q.Seller
		}
	}
	return ""
}

// operators gives the group of each listing's account: accounts of one trader,
// and accounts that the network groups.
func (f *Facts) operators() []string {
	head := map[string]string{}
	find := func(g string) string {
		for head[g] != "" {
			g = head[g]
		}
		return g
	}
	join := func(a, b string) {
		if a, b = find(a), find(b); a != b {
			head[max(a, b)] = min(a, b)
		}
	}
	for i, k := range f.SellerKeys {
		if k == "" {
			continue
		}
		join(k, f.SellerGroups[i])
		if g := f.Network.Group(k); g != nil {
			join(k, g.Key)
		}
	}
	list := make([]string, len(f.SellerKeys))
	for i, k := range f.SellerKeys {
		if k != "" {
			list[i] = find(k)
		}
	}
	return list
}

// spread collects the first quote of each account for one value.
type spread struct {
	f     *Facts
	value sellers.Value
	seen  map[string]bool
}

func (f *Facts) spread(kind sellers.Kind, text string) *spread {
	return &spread{f: f, value: sellers.Value{Kind: kind, Text: text}, seen: map[string]bool{}}
}

func (s *spread) add(n int, field listing.Name, raw string, photo int) {
	if k := s.f.SellerKeys[n]; k != "" && !s.seen[k] {
		s.seen[k] = true
		s.value.Quotes = append(s.value.Quotes, sellers.Quote{Seller: k, Listing: n, Field: field, Raw: raw, Photo: photo})
	}
}

// done gives the value with its quotes by seller; ok is false for one seller
// alone.
func (s *spread) done() (v sellers.Value, ok bool) {
	slices.SortFunc(s.value.Quotes, func(a, b sellers.Quote) int { return strings.Compare(a.Seller, b.Seller) })
	return s.value, len(s.value.Quotes) > 1
}

func (f *Facts) sharedSerials() (list []sellers.Value) {
	for _, r := range f.Serials.Repeats() {
		s := f.spread(sellers.SameSerial, r.Serial)
		var shown []int
		for _, at := range r.Sightings {
			s.add(at.Listing, at.Field, at.Serial, 0)
			shown = append(shown, at.Listing)
		}
		if v, ok := s.done(); ok {
			v.First = f.earliest(shown)
			list = append(list, v)
		}
	}
	return list
}

func (f *Facts) sharedPictures() (list []sellers.Value) {
	groups := f.Photos.Groups()
	for i := range groups {
		g := &groups[i]
		if g.Catalogue && !f.showsOneUnit(g) {
			continue
		}
		text := fmt.Sprintf("picture %d", i+1)
		s := f.spread(sellers.SamePhoto, text)
		files := map[string]*spread{}
		var order []string
		for _, m := range g.Members {
			ref := f.PhotoOf[m.Photo]
			p := f.Photo(ref)
			s.add(ref.Listing, listing.PhotoFiles, p.File, ref.Photo+1)
			if !m.SameBytes {
				continue
			}
			if files[p.SHA256] == nil {
				files[p.SHA256] = f.spread(sellers.SameFile, text+", file "+p.SHA256[:min(16, len(p.SHA256))])
				order = append(order, p.SHA256)
			}
			files[p.SHA256].add(ref.Listing, listing.PhotoFiles, p.File, ref.Photo+1)
		}
		v, ok := s.done()
		if !ok {
			continue
		}
		v.First = f.SourceOf(g)
		list = append(list, v)
		slices.Sort(order)
		for _, sha := range order {
			if v, ok := files[sha].done(); ok {
				list = append(list, v)
			}
		}
	}
	return list
}

// aheadBy is how much earlier than all others a capture must be in order to tell
// who was first: captures of one day tell nothing.
const aheadBy = 30 * 24 * time.Hour

// SourceOf is the account from which a picture was probably copied: its copy has
// more pixels than all others, or is the only one with what a camera wrote, or
// was captured a month before all others, and none of these points to another
// account. "" when nothing tells.
func (f *Facts) SourceOf(g *photogroup.Group) string {
	most, camera := map[string]int{}, map[string]bool{}
	var listings []int
	for _, m := range g.Members {
		ref := f.PhotoOf[m.Photo]
		k, p := f.SellerKeys[ref.Listing], f.Photo(ref)
		if k == "" {
			continue
		}
		most[k] = max(most[k], p.Width*p.Height)
		if p.Device != "" || p.Taken != "" {
			camera[k] = true
		}
		listings = append(listings, ref.Listing)
	}
	var signs []string
	best, next := "", 0
	for k, n := range most {
		switch {
		case best == "" || n > most[best] || n == most[best] && k < best:
			if best != "" {
				next = max(next, most[best])
			}
			best = k
		default:
			next = max(next, n)
		}
	}
	if len(most) > 1 && most[best] > next && next > 0 {
		signs = append(signs, best)
	}
	if len(camera) == 1 {
		for k := range camera {
			signs = append(signs, k)
		}
	}
	if k := f.earliest(listings); k != "" {
		signs = append(signs, k)
	}
	slices.Sort(signs)
	if signs = slices.Compact(signs); len(signs) == 1 {
		return signs[0]
	}
	return ""
}

// earliest is the account whose listing was captured a month before those of all
// others, "" when a capture has no time or they are too close.
func (f *Facts) earliest(listings []int) string {
	first := map[string]time.Time{}
	for _, n := range listings {
		k := f.SellerKeys[n]
		at, ok := startOf(f.Listings[n].Value(listing.CapturedAt))
		if !ok {
			return ""
		}
		if was, ok := first[k]; k != "" && (!ok || at.Before(was)) {
			first[k] = at
		}
	}
	best := ""
	for k, at := range first {
		if best == "" || at.Before(first[best]) {
			best = k
		}
	}
	for k, at := range first {
		if k != best && at.Sub(first[best]) < aheadBy {
			return ""
		}
	}
	if len(first) < 2 {
		return ""
	}
	return best
}

func (f *Facts) sharedTexts() (list []sellers.Value) {
	for i, g := range f.Texts.Groups() {
		s := f.spread(sellers.SameText, fmt.Sprintf("description %d", i+1))
		var members []int
		for _, m := range g.Members {
			quote := g.Common
			if quote == "" { // no run of words in common with the medoid: the text itself
				quote = listing.Shorten(f.rawOf(m.Listing, listing.Description), texts.CommonLimit)
			}
			s.add(m.Listing, listing.Description, quote, 0)
			members = append(members, m.Listing)
		}
		if v, ok := s.done(); ok {
			v.First = f.earliest(members)
			list = append(list, v)
		}
	}
	for _, r := range f.Texts.Rare() {
		if len(f.Engine.Disguised(r.Token)) > 0 {
			continue
		}
		s := f.spread(sellers.SameSlip, r.Token)
		for _, n := range r.Listings {
			s.add(n, listing.Description, r.Token, 0)
		}
		if v, ok := s.done(); ok {
			v.First = f.earliest(r.Listings)
			list = append(list, v)
		}
	}
	for _, p := range f.Texts.Phrases() {
		s := f.spread(sellers.SamePhrase, p.Text)
		for _, n := range p.Listings {
			s.add(n, listing.Description, p.Text, 0)
		}
		if v, ok := s.done(); ok {
			v.First = f.earliest(p.Listings)
			list = append(list, v)
		}
	}
	return list
}

// sharedCameras finds accounts that show different pictures of one camera. A
// picture that stands at several accounts tells nothing of its camera: whoever
// copies a picture copies what the camera wrote.
func (f *Facts) sharedCameras() (list []sellers.Value) {
	cameras := map[[2]string]*spread{}
	var keys [][2]string
	for n, ref := range f.PhotoOf {
		p := f.Photo(ref)
		kind, value, ok := cameraOf(p)
		if !ok || f.stoodElsewhere(n) {
			continue
		}
		key := [2]string{string(kind), value}
		if cameras[key] == nil {
			cameras[key] = f.spread(kind, value)
			keys = append(keys, key)
		}
		cameras[key].add(ref.Listing, listing.PhotoFiles, cmp.Or(deviceText(p), "camera"), ref.Photo+1)
	}
	slices.SortFunc(keys, func(a, b [2]string) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	for _, k := range keys {
		if v, ok := cameras[k].done(); ok {
			list = append(list, v)
		}
	}
	return list
}

// cameraOf is what tells the camera of a photo: its number, or model and program
// together.
func cameraOf(p *listing.Photo) (kind sellers.Kind, value string, ok bool) {
	switch {
	case p.Camera != "":
		return sellers.SameCamera, p.Camera, true
	case p.Device != "" && p.Software != "":
		return sellers.SameDevice, deviceText(p), true
	}
	return "", "", false
}

func deviceText(p *listing.Photo) string { return strings.Trim(p.Device+" / "+p.Software, " /") }

// stoodElsewhere reports whether copies of a photo stand at several accounts.
func (f *Facts) stoodElsewhere(n int) bool {
	g := f.Photos.Of(n)
	if g == nil {
		return false
	}
	own := f.SellerKeys[f.PhotoOf[n].Listing]
	return slices.ContainsFunc(g.Members, func(m photogroup.Member) bool {
		return f.SellerKeys[f.PhotoOf[m.Photo].Listing] != own
	})
}

func (f *Facts) sharedPrices() (list []sellers.Value) {
	var offers []pricing.Offer
	for i, l := range f.Listings {
		if market, price, ok := f.marketOf(i, l); ok && f.SellerKeys[i] != "" {
			offers = append(offers, pricing.Offer{Listing: i, Seller: f.SellerKeys[i], Market: market, Minor: price.Minor})
		}
	}
	for _, k := range pricing.BuildKin(offers) {
		v := sellers.Value{Kind: sellers.SamePrices, Text: fmt.Sprintf("%d of %d prices equal", k.Parts, k.Of)}
		if k.Ratio != 1 {
			v.Kind, v.Text = sellers.PriceRule, fmt.Sprintf("%d of %d prices at %.3f", k.Parts, k.Of, k.Ratio)
		}
		v.Text += ", " + k.A + ", " + k.B // a value of these two alone
		for side, key := range []string{k.A, k.B} {
			n := k.Listings[0][side]
			v.Quotes = append(v.Quotes, sellers.Quote{Seller: key, Listing: n, Field: listing.Price, Raw: f.rawOf(n, listing.Price)})
		}
		list = append(list, v)
	}
	return list
}

func (f *Facts) rawOf(n int, name listing.Name) string {
	field, _ := f.Listings[n].Get(name)
	return field.Raw
}

// marketOf names what a listing's item price may be compared with; ok is false
// when it may not.
func (f *Facts) marketOf(i int, l *listing.Listing) (market string, price listing.Amount, ok bool) {
	part := f.Parts[i]
	if part.ID == "" || len(part.Other) > 0 || f.Landed[i].Excluded != "" {
		return "", price, false
	}
	price, _ = l.Amount(listing.Price)
	if digits, known := listing.MinorUnits(price.Currency); !known || digits != 2 {
		return "", price, false
	}
	return strings.Join([]string{part.ID, cmp.Or(l.Value(listing.UnitType), listing.Complete),
		l.Value(listing.Condition), price.Currency}, "\x00"), price, true
}
