package compare

import (
	"cmp"
	"fmt"
	"slices"

	"counterfoil/report"
)

// enoughTexts is how many listings must share a text with another account, where
// neither photo nor serial is shared. The project's judgement.
const enoughTexts = 2

// overlap is what a new trader's listings share with those of an earlier one.
type overlap struct {
	trader                 int32
	serials, photos, texts int
	old, new               *item // the best pair
	best                   int
	listings               []string // further later ones
}

func (l *overlap) weight() int { return 4*l.serials + 3*l.photos + l.texts }

// accounts reports traders that are new and show material of earlier ones.
func (c *comparison) accounts() {
	known := map[int32]bool{}
	for _, i := range c.before {
		known[i.trader] = true
	}
	standing := map[int32]bool{}
	byTrader := map[int32][]*item{}
	var order []int32
	for _, i := range c.after {
		standing[i.trader] = true
		if i.trader == 0 || known[i.trader] {
			continue
		}
		if byTrader[i.trader] == nil {
			order = append(order, i.trader)
		}
		byTrader[i.trader] = append(byTrader[i.trader], i)
	}
	old := c.material()
	for _, t := range order {
		if l := c.bestLink(byTrader[t], old); l != nil {
			c.addAccount(l, byTrader[t], standing[l.trader])
		}
	}
}

// material finds the earlier listings by what a new account may show again.
type material struct {
	serials       map[string][]*item
	photos, texts map[int32][]*item
}

func (c *comparison) material() *material {
	m := &material{serials: c.shownSerials(), photos: map[int32][]*item{}, texts: map[int32][]*item{}}
	for _, i := range c.before {
		for _, g := range c.ownPhotos(i) {
			m.photos[g] = append(m.photos[g], i)
		}
		if g := c.ownText(i); g > 0 {
			m.texts[g] = append(m.texts[g], i)
		}
	}
	return m
}

// bestLink gives the earlier trader of whom a new trader's listings show most,
// nil if that is too little.
func (c *comparison) bestLink(list []*item, old *material) *overlap {
	links := map[int32]*overlap{}
	for _, i := range list {
		for _, s := range i.serials {
			tally(links, i, old.serials[s], 3, func(l *overlap) { l.serials++ })
		}
		for _, g := range c.ownPhotos(i) {
			tally(links, i, old.photos[g], 2, func(l *overlap) { l.photos++ })
		}
		if g := c.ownText(i); g > 0 {
			tally(links, i, old.texts[g], 1, func(l *overlap) { l.texts++ })
		}
	}
	var best *overlap
	for _, l := range links {
		if l.serials+l.photos == 0 && l.texts < enoughTexts {
			continue
		}
		if best == nil || l.weight() > best.weight() || l.weight() == best.weight() && l.old.n < best.old.n {
			best = l
		}
	}
	return best
}

// tally adds a thing that a new listing shares to the links of the traders who
// showed it, once each.
func tally(links map[int32]*overlap, i *item, owners []*item, worth int, add func(*overlap)) {
	seen := map[int32]bool{}
	for _, o := range owners[:min(len(owners), most)] {
		if o.trader == 0 || seen[o.trader] {
			continue
		}
		seen[o.trader] = true
		l := links[o.trader]
		if l == nil {
			l = &overlap{trader: o.trader}
			links[o.trader] = l
		}
		add(l)
		if worth > l.best {
			l.best, l.old, l.new = worth, o, i
		}
		if len(l.listings) < mostNamed && !slices.Contains(l.listings, i.l.Key) {
			l.listings = append(l.listings, i.l.Key)
		}
	}
}

func (c *comparison) addAccount(l *overlap, list []*item, stands bool) {
	ch := Change{Kind: AccountWithOld, Attention: StandsOut, Old: l.old.l, New: l.new.l, Part: cmp.Or(l.new.part, l.old.part),
		OldValue: seller(l.old.l), NewValue: seller(l.new.l), Others: without(l.listings, l.new.l.Key)}
	state := "has no listing left"
	if stands {
		state = "still has listings"
		ch.Attention = WorthALook
	}
	var shared []string
	for _, n := range []struct {
		n    int
		noun string
	}{{l.serials, "serial"}, {l.photos, "photo"}, {l.texts, "text"}} {
		if n.n > 0 {
			shared = append(shared, report.Plural(n.n, n.noun))
		}
	}
	ch.Statement = fmt.Sprintf("%s, not among the earlier inputs, offers %s here and shows %s of %s, who %s.",
		quoted(ch.NewValue), report.Plural(len(list), "listing"), andList(shared), quoted(ch.OldValue), state)
	if len(common(l.old.serials, l.new.serials)) > 0 {
		ch.Basis = append(ch.Basis, bySerial)
	}
	if len(common(c.ownPhotos(l.old), c.ownPhotos(l.new))) > 0 {
		ch.Basis = append(ch.Basis, byPhotos)
	}
	if g := c.ownText(l.old); g > 0 && g == c.ownText(l.new) {
		ch.Basis = append(ch.Basis, byText)
	}
	ch.Evidence = c.linkQuotes(l.old, l.new, append(slices.Clone(ch.Basis), bySeller))
	c.add(ch)
}
