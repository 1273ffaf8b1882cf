package compare

import (
	"slices"
	"strconv"

	"counterfoil/parse/listing"
)

// byEvidence joins earlier and later listings by what they show. old are the
// earlier listings that are gone or ended, new the later ones without an earlier
// self.
func (k *look) byEvidence(old, new []*item) (matches []match, ties []tie) {
	chosen, ties := assign(k.pairs(old, new, k.weigh, k.keys()...))
	for _, p := range chosen {
		m := match{old: p.old, new: p.new, basis: p.basis, strength: strengthOf(p.basis), rel: relate(p.old, p.new)}
		m.relisted = m.rel != sameAccount || differ(p.old.id, p.new.id) || differ(p.old.address, p.new.address) || p.old.ended != ""
		matches = append(matches, m)
	}
	return matches, ties
}

func strengthOf(basis []string) string {
	switch {
	case slices.Contains(basis, bySerial) || slices.Contains(basis, byPhotos):
		return firm
	case slices.Contains(basis, byText) || slices.Contains(basis, byTitle):
		return likely
	}
	return possible
}

// keys are the ways in which candidates are found.
func (k *look) keys() []func(*item) []string {
	one := func(s string) []string { return []string{s} }
	return []func(*item) []string{
		func(i *item) []string { return i.serials },
		func(i *item) []string {
			var list []string
			for _, g := range k.ownPhotos(i) {
				list = append(list, strconv.Itoa(int(g)))
			}
			return list
		},
		func(i *item) []string {
			if g := k.ownText(i); g > 0 {
				return one(strconv.Itoa(int(g)) + "\x00" + i.part)
			}
			return nil
		},
		func(i *item) []string {
			if i.trader == 0 || i.title == "" {
				return nil
			}
			return one(strconv.Itoa(int(i.trader)) + "\x00" + i.title)
		},
		func(i *item) []string {
			if i.trader == 0 || i.part == "" {
				return nil
			}
			return one(strconv.Itoa(int(i.trader)) + "\x00" + i.part + "\x00" + i.unit + "\x00" + i.condition)
		},
	}
}

// weigh says whether two listings may be one offer, and how good the evidence
// is. The points order evidence, no more: a serial before photos before text
// before the part alone. They are the project's judgement.
func (k *look) weigh(o, n *item) (p pair, ok bool) {
	rel := relate(o, n)
	serial := len(common(o.serials, n.serials)) > 0
	photos := len(common(k.ownPhotos(o), k.ownPhotos(n)))
	text := k.sameText(o, n, rel)
	title, part := same(o.title, n.title), same(o.part, n.part)
	kind := o.unit == n.unit && o.condition == n.condition
	p = pair{old: o, new: n}
	add := func(holds bool, points int, word string) {
		if holds {
			p.score += points
			if word != "" {
				p.basis = append(p.basis, word)
			}
		}
	}
	add(serial, 400, bySerial)
	add(photos > 0, 120+30*min(photos, 5), byPhotos)
	add(text, 60, byText)
	add(title, 30, byTitle)
	add(part, 40, byPart)
	add(rel <= sameTrader, 80, bySeller)
	add(rel == sameAccount, 20, "")
	add(kind, 20, "")
	add(same(o.l.Value(listing.Price), n.l.Value(listing.Price)), 10, "")
	add(same(o.host, n.host), 5, "")
	return p, k.fits(o, n, rel, serial, photos, text, title, part, kind)
}

func (k *look) fits(o, n *item, rel relation, serial bool, photos int, text, title, part, kind bool) bool {
	otherUnit := !serial && len(o.serials) > 0 && len(n.serials) > 0
	otherPart := differ(o.part, n.part)
	if rel == sameAccount && same(o.address, n.address) && differ(o.id, n.id) && !serial {
		return false // variants of one page
	}
	switch {
	case serial:
		return true
	case rel <= sameTrader && photos > 0:
		return !otherPart
	case otherUnit:
		return false
	case rel <= sameTrader:
		return part && (text || kind) || title && kind && !otherPart
	case rel == unknownSeller:
		return photos > 0 && part || title && text && part
	}
	return photos > 0 && !otherPart && (photos > 1 || k.showsOneUnit(o, n))
}

// sameText reports whether the descriptions are nearly alike. Between sellers
// only texts count that few use.
func (k *look) sameText(o, n *item, rel relation) bool {
	if a, b := k.ownText(o), k.ownText(n); a > 0 && a == b {
		return true
	}
	return rel <= sameTrader && same(o.l.Value(listing.Description), n.l.Value(listing.Description))
}

// showsOneUnit reports whether a photo that both share is known to show what
// only one unit has: its plate or its box label.
func (k *look) showsOneUnit(o, n *item) bool {
	shared := common(k.ownPhotos(o), k.ownPhotos(n))
	for _, i := range []*item{o, n} {
		for p := range i.l.Photos {
			ph := &i.l.Photos[p]
			if !ph.Shows(listing.ViewSerialPlate) && !ph.Shows(listing.ViewBoxLabel) {
				continue
			}
			if g := k.group(i, p); g > 0 && slices.Contains(shared, g) {
				return true
			}
		}
	}
	return false
}
