package groups

import (
	"cmp"
	"fmt"
	"path"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules/photogroup"
	"counterfoil/rules/sellers"
)

// Bounds of one page.
const (
	mostMembers  = 200
	mostLinks    = 150
	mostHolds    = 40
	mostPictures = 40
	textRunes    = 120
)

type pageView struct {
	Number                    int
	Accounts, Listings, Parts string
	Masked                    bool
	Members                   []memberView
	MembersMore               int
	Drawing                   *drawing
	Holds                     []holdView
	HoldsMore                 int
	ByName                    string
	Near                      []string
	Links                     []linkView
	LinksMore                 int
	Sides                     []sideView
	Pictures                  []pictureView
	PicturesMore              int
	Innocent                  []string
	Version, AsOf             string
	Strong, Bar               string // what joins two accounts
}

type memberView struct {
	Number           int
	Name, Key, Place string
	Listings, Rank   int
	First, Page      string
}

type holdView struct {
	Kind, Value, Weight string
	Pairs               int
	Leave               string
}

type linkView struct {
	A, B                int
	Kind, Value, Weight string
	Note                string
	Quotes              []quoteView
}

type quoteView struct {
	Number                     int
	Raw, Field, Listing, Place string
	Page                       string
}

type sideView struct{ What, Common, Differs string }

type pictureView struct{ Name, Accounts, First, Largest, Camera, Question string }

// draft is a page in the making.
type draft struct {
	*Set
	g      *report.SellerGroup
	number map[string]int // of the account, from 1
	links  []sellers.Link // between members, heaviest first
	view   *pageView
}

func (s *Set) page(g *report.SellerGroup) *pageView {
	d := &draft{Set: s, g: g, number: map[string]int{}}
	d.view = &pageView{Number: g.Number, Accounts: report.Plural(len(g.Accounts), "account"), Listings: report.Plural(len(g.Listings), "listing"),
		Parts: report.Plural(len(g.Parts), "part"), Masked: true, Version: s.run.Version, AsOf: s.run.AsOf.UTC().Format("2 January 2006 15:04") + " UTC"}
	bar := s.res.Facts.Network.Bar()
	d.view.Strong, d.view.Bar = report.Decibans(bar.Strong), barText(bar)
	for i, key := range g.Accounts {
		d.number[key] = i + 1
	}
	names := d.members()
	for _, key := range g.Accounts {
		for _, l := range s.res.Facts.Network.LinksOf(key) {
			if l.A == key && d.number[l.B] > 0 {
				d.links = append(d.links, l)
			}
		}
	}
	slices.SortStableFunc(d.links, func(a, b sellers.Link) int { return cmp.Compare(b.Weight, a.Weight) })
	d.view.Drawing = draw(names, d.ties())
	d.holds()
	d.linkRows()
	d.sides()
	d.pictures()
	has := map[sellers.Kind]bool{}
	for _, l := range d.links {
		has[l.Kind] = true
	}
	d.view.Innocent = report.LinkInnocent(func(k sellers.Kind) bool { return has[k] })
	if len(d.view.Innocent) == 0 {
		d.view.Innocent = []string{"One trader who openly offers under one name in several places."}
	}
	return d.view
}

// barText says how much has to speak for two accounts, and why.
func barText(b sellers.Bar) string {
	s := fmt.Sprintf("Two accounts are joined from %s on.", report.Decibans(b.Strong))
	switch {
	case !b.Estimated:
		return s
	case b.Crowded:
		return s + fmt.Sprintf(" Strangers are much alike in this market: by estimate %.0f %% of such pairs are strangers. Check each group with care.", 100*b.Strangers)
	}
	return s + fmt.Sprintf(" By estimate %.0f %% of such pairs in this market are strangers.", 100*b.Strangers)
}

// cut shortens a text for display and shows what cannot be seen.
func cut(s string, runes int) string {
	if utf8.RuneCountInString(s) > runes {
		s = string([]rune(s)[:runes-1]) + "…"
	}
	return report.Visible(strings.Join(strings.Fields(s), " "))
}

func (d *draft) members() (names []string) {
	f := d.res.Facts
	count, first, rank, place := map[string]int{}, map[string]string{}, map[string]int{}, map[string]string{}
	page := map[string]string{}
	for _, j := range d.g.Listings {
		key := f.SellerKeys[j.N]
		count[key]++
		if at := j.Listing.Value(listing.CapturedAt); at != "" && (first[key] == "" || at < first[key]) {
			first[key] = at
		}
		if rank[key] == 0 || j.Rank < rank[key] {
			rank[key], page[key] = j.Rank, d.pageOf(j.N)
		}
		if p, ok := j.Listing.Get(listing.SellerLocation); ok && place[key] == "" {
			place[key] = p.Raw
		}
	}
	for i, key := range d.g.Accounts {
		account, _ := f.Sellers.Seller(key)
		name := cut(strings.Join(account.Names, ", "), textRunes)
		names = append(names, cmp.Or(name, key))
		if i < mostMembers {
			d.view.Members = append(d.view.Members, memberView{Number: i + 1, Name: cmp.Or(name, "not observed"), Key: cut(key, textRunes), Place: cut(place[key], textRunes),
				Listings: count[key], Rank: rank[key], First: first[key][:min(10, len(first[key]))], Page: page[key]})
		}
	}
	d.view.MembersMore = max(0, len(d.g.Accounts)-mostMembers)
	return names
}

// pageOf is the evidence page of a listing from the folder of pages, "" when it
// has none.
func (d *draft) pageOf(n int) string {
	if d.opt.Page == nil || d.byN[n] == nil {
		return ""
	}
	if p := d.opt.Page(d.byN[n]); p != "" {
		return path.Base(p)
	}
	return ""
}

func (d *draft) ties() []tie {
	var list []tie
	joined := map[[2]int]bool{}
	for _, p := range d.pairs() {
		t := tie{a: d.number[p.A] - 1, b: d.number[p.B] - 1, weight: p.Weight, kinds: kindsOf(p.Links)}
		joined[[2]int{t.a, t.b}] = true
		list = append(list, t)
	}
	for _, l := range d.links { // accounts that openly carry one name count as one trader
		if pair := [2]int{d.number[l.A] - 1, d.number[l.B] - 1}; l.Kind == sellers.Name && !joined[pair] {
			joined[pair] = true
			list = append(list, tie{a: pair[0], b: pair[1], weight: l.Weight, kinds: []sellers.Kind{sellers.Name}})
		}
	}
	back(len(d.g.Accounts), list)
	return list
}

// pairs are the strong pairs between members.
func (d *draft) pairs() (list []sellers.Pair) {
	for _, g := range d.parts() {
		list = append(list, g.Pairs...)
	}
	return list
}

// parts are the groups of the network that make up this one: several where one
// openly carried name joins them.
func (d *draft) parts() (list []*sellers.Group) {
	seen := map[string]bool{}
	for _, key := range d.g.Accounts {
		if g := d.res.Facts.Network.Group(key); g != nil && !seen[g.Key] {
			seen[g.Key] = true
			list = append(list, g)
		}
	}
	return list
}

// kindsOf lists the kinds of links, heaviest first, each once.
func kindsOf(links []sellers.Link) (kinds []sellers.Kind) {
	list := slices.Clone(links)
	slices.SortStableFunc(list, func(a, b sellers.Link) int { return cmp.Compare(b.Weight, a.Weight) })
	for _, l := range list {
		if !slices.Contains(kinds, l.Kind) {
			kinds = append(kinds, l.Kind)
		}
	}
	return kinds
}

func kindsText(kinds []sellers.Kind) string {
	var words []string
	for _, k := range kinds {
		words = append(words, report.LinkKind(k))
	}
	return strings.Join(words, ", ")
}

func (d *draft) holds() {
	parts := d.parts()
	count := map[string]int{}
	for _, j := range d.g.Listings {
		count[d.res.Facts.SellerKeys[j.N]]++
	}
	for _, g := range parts {
		for _, h := range g.Holds {
			if len(d.view.Holds) == mostHolds {
				d.view.HoldsMore++
				continue
			}
			v := holdView{Kind: report.LinkKind(h.Kind), Value: d.value(h.Kind, h.Value), Weight: report.Decibans(h.Weight), Pairs: h.Pairs}
			if v.Leave = "none"; !h.Tried {
				v.Leave = "not tried: the market is too large"
			}
			if len(h.Leave) > 0 {
				n := 0
				for _, key := range h.Leave {
					n += count[key]
				}
				v.Leave = fmt.Sprintf("accounts %s, %s", d.numbers(h.Leave), report.Plural(n, "listing"))
			}
			d.view.Holds = append(d.view.Holds, v)
		}
		for _, p := range g.Near {
			outside, inside := p.A, p.B
			if d.number[outside] > 0 {
				outside, inside = p.B, p.A
			}
			if d.number[outside] == 0 {
				d.view.Near = append(d.view.Near, fmt.Sprintf("Left out: account %d and %s (%s) share %s, %s together. The rest of the two groups shares too little with each other for that one pair to join them.",
					d.number[inside], cut(outside, 60), d.nameOf(outside), kindsText(kindsOf(p.Links)), report.Decibans(p.Weight)))
			}
		}
	}
	if len(parts) != 1 || len(parts[0].Members) < len(d.g.Accounts) {
		d.view.ByName = "The displayed name, openly carried on several marketplaces, joins accounts too: they count as one trader."
	}
}

func (d *draft) nameOf(key string) string {
	account, _ := d.res.Facts.Sellers.Seller(key)
	return cut(strings.Join(account.Names, ", "), 60)
}

// numbers lists accounts by number: "1, 2, 5".
func (d *draft) numbers(keys []string) string {
	var list []int
	for _, k := range keys {
		if n := d.number[k]; n > 0 {
			list = append(list, n)
		}
	}
	slices.Sort(list)
	var words []string
	for _, n := range slices.Compact(list) {
		words = append(words, fmt.Sprint(n))
	}
	return strings.Join(words, ", ")
}

// value is what is shared, without the keys of a pair that prices have.
func (d *draft) value(k sellers.Kind, value string) string {
	if k == sellers.SamePrices || k == sellers.PriceRule {
		if words := strings.SplitN(value, ", ", 2); len(words) == 2 {
			value = words[0]
		}
	}
	return cut(report.LinkValue(k, value, d.run.MaskAll), textRunes)
}

func (d *draft) linkRows() {
	for _, l := range d.links {
		if len(d.view.Links) == mostLinks {
			d.view.LinksMore = len(d.links) - mostLinks
			break
		}
		v := linkView{A: d.number[l.A], B: d.number[l.B], Kind: report.LinkKind(l.Kind), Value: d.value(l.Kind, l.Value), Weight: report.Decibans(l.Weight)}
		if l.Sellers > 2 {
			v.Note = fmt.Sprintf("at %d accounts of the batch", l.Sellers)
		}
		switch {
		case l.Copied && d.number[l.First] > 0:
			v.Note = strings.TrimPrefix(v.Note+fmt.Sprintf("; was it copied from account %d?", d.number[l.First]), "; ")
		case l.Common:
			v.Note += "; common property, which joins nobody alone"
		}
		for _, q := range l.Evidence {
			v.Quotes = append(v.Quotes, d.quote(l.Kind, l.Value, q))
		}
		d.view.Links = append(d.view.Links, v)
	}
}

func (d *draft) quote(k sellers.Kind, value string, q sellers.Quote) quoteView {
	l := d.res.Facts.Listings[q.Listing]
	v := quoteView{Number: d.number[q.Seller], Raw: q.Raw, Field: strings.ReplaceAll(q.Field.String(), "_", " "), Listing: cut(cmp.Or(l.Value(listing.Title), l.Key), 60), Page: d.pageOf(q.Listing)}
	if k.IsContact() {
		v.Raw = report.LinkValue(k, value, d.run.MaskAll)
	} else if d.byN[q.Listing] != nil {
		v.Raw = report.NewContactMask(d.res, d.byN[q.Listing], nil).Text(q.Raw)
	}
	v.Raw = cut(v.Raw, textRunes)
	field, _ := l.Get(q.Field)
	place := field.From.String()
	if q.Photo > 0 && q.Photo <= len(l.Photos) {
		p := &l.Photos[q.Photo-1]
		v.Field, place = fmt.Sprintf("photo %d", q.Photo), path.Base(cmp.Or(p.Entry, p.File))
	}
	v.Place = cut(strings.Trim(report.FileText(l.File, l.Entry)+", "+place, ", "), textRunes)
	return v
}

// sides says of each thing that identifies traders what several members share
// and in what they differ.
func (d *draft) sides() {
	f := d.res.Facts
	values := map[string]map[string][]string{} // by what and value: accounts
	add := func(what, value, key string) {
		if value == "" {
			return
		}
		if values[what] == nil {
			values[what] = map[string][]string{}
		}
		if list := values[what][value]; !slices.Contains(list, key) {
			values[what][value] = append(list, key)
		}
	}
	kinds := []sellers.Kind{sellers.VAT, sellers.Register, sellers.Phone, sellers.Mail, sellers.Messenger, sellers.Address, sellers.IBAN}
	var order []string
	for _, k := range kinds {
		order = append(order, report.LinkKind(k))
	}
	order = append(order, "displayed name", "place", "ships from", "part offered")
	for _, key := range d.g.Accounts {
		account, _ := f.Sellers.Seller(key)
		for _, c := range account.Contacts {
			add(report.LinkKind(c.Kind), report.LinkValue(c.Kind, c.Canonical, d.run.MaskAll), key)
		}
		for _, n := range account.Names {
			add("displayed name", n, key)
		}
		for _, p := range account.Parts {
			add("part offered", p, key)
		}
	}
	for _, j := range d.g.Listings {
		add("ships from", j.Listing.Value(listing.ShipsFrom), f.SellerKeys[j.N])
		if p, ok := j.Listing.Get(listing.SellerLocation); ok {
			add("place", p.Raw, f.SellerKeys[j.N])
		}
	}
	for _, what := range order {
		if values[what] == nil {
			continue
		}
		var common, differs []string
		for v, keys := range values[what] {
			text := cut(v, 60)
			if len(keys) > 1 {
				common = append(common, fmt.Sprintf("%s (%s)", text, d.numbers(keys)))
			} else {
				differs = append(differs, fmt.Sprintf("%s (%s)", text, d.numbers(keys)))
			}
		}
		d.view.Sides = append(d.view.Sides, sideView{strings.ToUpper(what[:1]) + what[1:], someOf(common), someOf(differs)})
	}
}

func someOf(list []string) string {
	const most = 8
	slices.Sort(list)
	if more := len(list) - most; more > 0 {
		return strings.Join(list[:most], "; ") + fmt.Sprintf("; and %d more", more)
	}
	return cmp.Or(strings.Join(list, "; "), "none")
}

// pictures asks of each shared picture who was first with it.
func (d *draft) pictures() {
	f := d.res.Facts
	all := f.Photos.Groups()
	for i := range all {
		var keys []string
		for _, m := range all[i].Members {
			if k := f.SellerKeys[f.PhotoOf[m.Photo].Listing]; d.number[k] > 0 && !slices.Contains(keys, k) {
				keys = append(keys, k)
			}
		}
		if len(keys) < 2 {
			continue
		}
		if len(d.view.Pictures) == mostPictures {
			d.view.PicturesMore++
			continue
		}
		d.view.Pictures = append(d.view.Pictures, d.picture(i, &all[i], keys))
	}
}

func (d *draft) picture(number int, g *photogroup.Group, keys []string) pictureView {
	f := d.res.Facts
	v := pictureView{Name: fmt.Sprintf("picture %d", number+1), Accounts: d.numbers(keys), First: "not told", Largest: "all the same", Camera: "none"}
	earliest, at := "", time.Time{}
	most, least, largest := 0, 0, ""
	var cameras []string
	for _, m := range g.Members {
		ref := f.PhotoOf[m.Photo]
		key, p := f.SellerKeys[ref.Listing], f.Photo(ref)
		if d.number[key] == 0 {
			continue
		}
		if t, err := time.Parse(time.RFC3339, f.Listings[ref.Listing].Value(listing.CapturedAt)); err == nil && (earliest == "" || t.Before(at)) {
			earliest, at = key, t
		}
		if n := p.Width * p.Height; n > most {
			most, largest = n, fmt.Sprintf("account %d, %d x %d", d.number[key], p.Width, p.Height)
		}
		if n := p.Width * p.Height; least == 0 || n < least {
			least = n
		}
		if p.Device != "" || p.Taken != "" {
			cameras = append(cameras, key)
		}
	}
	if earliest != "" {
		v.First = fmt.Sprintf("account %d, %s", d.number[earliest], at.UTC().Format(time.DateOnly))
	}
	if most > least {
		v.Largest = largest
	}
	if len(cameras) > 0 {
		v.Camera = "accounts " + d.numbers(cameras)
	}
	v.Question = "nothing tells who took it"
	if g.Catalogue {
		v.Question = "a picture of the type that many sellers use"
	} else if k := f.SourceOf(g); d.number[k] > 0 {
		v.Question = fmt.Sprintf("was it taken from account %d?", d.number[k])
	} else if k != "" {
		v.Question = "was it taken from " + cut(k, 60) + ", who is not of this group?"
	}
	return v
}
