package compare

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/report"
)

// relisted reports a listing that was put up anew.
func (c *comparison) relisted(m *match) {
	kind, by := Relisted, "the same seller"
	serial := slices.Contains(m.basis, bySerial)
	switch {
	case m.rel == sameTrader:
		by = "the same trader under another account or on another marketplace"
	case m.rel == sameAccount:
	case m.rel == unknownSeller:
		by = "a seller who is not observed on both sides"
	case serial:
		kind, by = SerialMoved, "another seller"
	default:
		kind, by = RelistedElsewhere, "another seller"
	}
	ch := c.about(kind, m)
	was := "is gone"
	if m.old.ended != "" {
		was = "was ended (" + m.old.ended + ")"
	} else if later := c.laterOf[m.old]; later != nil {
		was = "was ended (" + later.ended + ")"
	}
	ch.Statement = fmt.Sprintf("The earlier listing %s %s; %s shows a new one with the same %s.", m.old.l.Key, was, by, andList(without(m.basis, bySeller)))
	if m.strength == possible {
		ch.Attention = Routine
		ch.Statement = strings.TrimSuffix(ch.Statement, ".") + "; it may as well be another unit."
	}
	ch.Evidence = c.linkQuotes(m.old, m.new, m.basis)
	c.add(ch)
}

func without(list []string, word string) []string {
	return slices.DeleteFunc(slices.Clone(list), func(s string) bool { return s == word })
}

func andList(list []string) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " and " + list[len(list)-1]
}

// linkQuotes is the evidence for what two listings have in common.
func (c *comparison) linkQuotes(old, new *item, basis []string) []Evidence {
	var list []Evidence
	quote := func(names ...listing.Name) {
		list = append(list, append(quotes("before", old.l, names...), quotes("after", new.l, names...)...)...)
	}
	for _, word := range basis {
		switch word {
		case bySerial:
			quote(listing.SerialNumber, listing.PlateSerial, listing.BoxSerial)
		case byPhotos:
			list = append(list, c.sharedPhotos(old, new)...)
		case byText:
			quote(listing.Description)
		case byTitle:
			quote(listing.Title)
		case byPart:
			quote(listing.PartNumber)
		case bySeller:
			quote(listing.Seller)
		}
	}
	return list
}

// sharedPhotos is the evidence of up to three photos that both show.
func (c *comparison) sharedPhotos(old, new *item) []Evidence {
	groups := common(c.ownPhotos(old), c.ownPhotos(new))
	var list []Evidence
	for _, g := range groups[:min(len(groups), 3)] {
		list = append(list, photoQuotes("before", c.photosOf(old, g))...)
		list = append(list, photoQuotes("after", c.photosOf(new, g))...)
	}
	return list
}

// photosOf is the first photo of a listing that is in the group.
func (c *comparison) photosOf(i *item, group int32) []*listing.Photo {
	for p := range i.l.Photos {
		if c.group(i, p) == group {
			return []*listing.Photo{&i.l.Photos[p]}
		}
	}
	return nil
}

// scope is what a side looked at.
type scope struct {
	hosts map[string]bool
	parts map[string]bool // host and part
}

func scopeOf(items []*item) scope {
	s := scope{map[string]bool{}, map[string]bool{}}
	for _, i := range items {
		s.hosts[i.host] = true
		s.parts[i.host+"\x00"+i.part] = true
	}
	return s
}

// comings reports what is new, gone and unclear.
func (c *comparison) comings(ties []tie) {
	for _, t := range ties {
		for _, i := range slices.Concat(t.old, t.new) {
			c.unclear[i] = true
		}
		c.addUnclear(t)
	}
	earlier, later := scopeOf(c.before), scopeOf(c.after)
	for _, i := range c.before {
		if c.laterOf[i] == nil && !c.replaced[i] && !c.unclear[i] {
			c.addGone(i, later)
		}
	}
	old := c.shownSerials()
	for _, i := range c.after {
		if c.matchOf[i] == nil && !c.unclear[i] {
			c.addNew(i, earlier)
		}
		if m := c.matchOf[i]; m == nil || m.relisted {
			c.serialAgain(i, old)
		}
	}
}

func (c *comparison) addGone(i *item, later scope) {
	ch := Change{Kind: Gone, Old: i.l, Part: i.part, Statement: "Not among the later inputs."}
	switch {
	case len(c.after) == 0 || !later.hosts[i.host]:
		ch.Kind, ch.Statement = NotLookedAt, "Nothing of its marketplace is among the later inputs."
	case i.ended != "":
		ch.Statement = "Not among the later inputs; it was marked as over before (" + i.ended + ")."
	case i.part != "" && !later.parts[i.host+"\x00"+i.part]:
		ch.Statement = "Not among the later inputs, and neither is any offer of its part there: perhaps it was not looked for."
	}
	ch.Attention = usual[ch.Kind]
	ch.Evidence = quotes("before", i.l, listing.Title, listing.Price)
	c.add(ch)
}

func (c *comparison) addNew(i *item, earlier scope) {
	ch := Change{Kind: New, New: i.l, Part: i.part, Statement: "Not among the earlier inputs."}
	switch {
	case len(c.before) == 0 || !earlier.hosts[i.host]:
		ch.Kind, ch.Statement = FirstLookedAt, "Nothing of its marketplace is among the earlier inputs."
	case i.part != "" && !earlier.parts[i.host+"\x00"+i.part]:
		ch.Statement = "Not among the earlier inputs, and neither was any offer of its part there: perhaps it was not looked for."
	}
	ch.Attention = usual[ch.Kind]
	if i.seen != nil && i.seen.First.Before(c.res.Before.Last) {
		ch.Attention = WorthALook
		ch.Statement = fmt.Sprintf("Not in the earlier run, but seen before it, first on %s.", i.seen.First.UTC().Format(time.DateOnly))
	}
	ch.Evidence = quotes("after", i.l, listing.Title, listing.Price)
	c.add(ch)
}

// mostNamed bounds the listings that a statement names.
const mostNamed = 20

func (c *comparison) addUnclear(t tie) {
	ch := Change{Kind: Unclear, Attention: usual[Unclear], Basis: t.basis, Old: t.old[0].l, New: t.new[0].l, Part: t.new[0].part}
	ch.Statement = fmt.Sprintf("%s gone or over and %s new with the same %s: which is which cannot be told.",
		report.Plural(len(t.old), "listing"), report.Plural(len(t.new), "listing"), andList(t.basis))
	for _, i := range slices.Concat(t.old[1:], t.new[1:]) {
		if len(ch.Others) == mostNamed {
			break
		}
		ch.Others = append(ch.Others, i.l.Key)
	}
	for _, i := range t.old[:min(len(t.old), 3)] {
		ch.Evidence = append(ch.Evidence, quotes("before", i.l, listing.Title)...)
	}
	for _, i := range t.new[:min(len(t.new), 3)] {
		ch.Evidence = append(ch.Evidence, quotes("after", i.l, listing.Title)...)
	}
	c.add(ch)
}

// shownSerials gives the earlier listings that show each serial.
func (c *comparison) shownSerials() map[string][]*item {
	m := map[string][]*item{}
	for _, i := range c.before {
		for _, s := range i.serials {
			m[s] = append(m[s], i)
		}
	}
	return m
}

// serialAgain reports a new listing that shows the serial of another seller's
// listing that still stands. A serial that several sellers showed before tells
// nothing of a change.
func (c *comparison) serialAgain(i *item, old map[string][]*item) {
	for _, s := range i.serials {
		list := old[s]
		if len(list) == 0 || slices.ContainsFunc(list, func(o *item) bool { return relate(o, i) != otherSeller }) {
			continue
		}
		if slices.ContainsFunc(list, func(o *item) bool { return o.trader != list[0].trader }) {
			continue
		}
		at := slices.IndexFunc(list, func(o *item) bool { later := c.laterOf[o]; return later != nil && later.ended == "" })
		if at < 0 {
			continue
		}
		o := list[at]
		ch := Change{Kind: SerialAgain, Attention: usual[SerialAgain], Old: o.l, New: i.l, Part: cmp.Or(i.part, o.part),
			Field: listing.SerialNumber, OldValue: s, NewValue: s}
		ch.Statement = fmt.Sprintf("The new listing shows the serial %s of listing %s at %s, which still stands.", s, o.l.Key, quoted(seller(o.l)))
		ch.Evidence = c.linkQuotes(o, i, []string{bySerial})
		c.add(ch)
		return
	}
}
