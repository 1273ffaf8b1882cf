package compare

import (
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/photogroup"
	"counterfoil/rules/sellers"
	"counterfoil/rules/serials"
	"counterfoil/rules/texts"
)

// item is a listing of one side with what it is known again by.
type item struct {
	n int // number of the listing in the facts, which hold both sides
	l *listing.Listing

	host, id, address string
	sellerID, name    string // name is normalised
	trader            int32  // see traders; 0 when no seller was observed

	part, unit, condition string
	title                 string // folded
	serials               []string
	photos                []int32 // groups of like photos, sorted, each once; see look.photoSpread
	text                  int32   // group of like texts, 0 for none
	ended                 string  // how the listing says that it is over, or ""

	seen *rules.Earlier // the state in a casebook, nil without one
}

func fold(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

func differ(a, b string) bool { return a != "" && b != "" && a != b }

func same(a, b string) bool { return a != "" && a == b }

// serialsOf lists the usable serials of a listing in canonical form.
func serialsOf(l *listing.Listing) []string {
	var list []string
	for _, n := range []listing.Name{listing.SerialNumber, listing.PlateSerial, listing.BoxSerial} {
		for s := range strings.FieldsFuncSeq(l.Value(n), func(r rune) bool { return strings.ContainsRune(",;|\n\r", r) }) {
			if _, filler := serials.Placeholder(s); !filler {
				list = append(list, serials.Canonical(s))
			}
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// endedBy says in which words a listing says that it is over.
func endedBy(l *listing.Listing) string {
	switch a := l.Value(listing.Availability); a {
	case listing.SoldOut, listing.OutOfStock, listing.Discontinued:
		return a
	}
	if q, ok := l.Int(listing.QuantityAvailable); ok && q == 0 {
		return "quantity 0"
	}
	return ""
}

// maxSpread is the number of traders up to which a photo or text tells
// something of who offers an item. Four and more make a catalogue picture, as in
// package photogroup.
const maxSpread = photogroup.DefaultCatalogueSellers - 1

// look holds both sides.
type look struct {
	facts  *rules.Facts
	before []*item
	after  []*item

	photoSpread []int32 // traders that show a photo group, by group
	textSpread  []int32 // traders that use a text group, by group from 1
	photoGroup  map[*photogroup.Group]int32
	crowded     int // pairs that were left out, see most
}

func newLook(facts *rules.Facts, before int, states []rules.Earlier) *look {
	k := &look{facts: facts, photoGroup: numbers(facts.Photos.Groups())}
	textGroup := numbers(facts.Texts.Groups())
	items := make([]item, len(facts.Listings))
	markGroup := map[[16]byte]int32{}
	for n, l := range facts.Listings {
		host, address := listing.Address(l.Value(listing.URL))
		items[n] = item{n: n, l: l, host: host, id: l.Value(listing.ListingID), address: address,
			sellerID: fold(l.Value(listing.SellerID)), name: sellers.NormalName(l.Value(listing.Seller)),
			part: facts.Parts[n].ID, unit: l.Value(listing.UnitType), condition: l.Value(listing.Condition),
			title: fold(l.Value(listing.Title)), serials: serialsOf(l), ended: endedBy(l)}
		i := &items[n]
		for p := range l.Photos {
			if g := k.group(i, p); g > 0 {
				i.photos = append(i.photos, g)
			}
		}
		slices.Sort(i.photos)
		i.photos = slices.Compact(i.photos)
		if g := facts.Texts.Of(n); g != nil {
			i.text = textGroup[g]
		}
		if states != nil {
			i.identify(&states[n])
			if mark := states[n].Text; !mark.IsZero() {
				if markGroup[mark.Hash] == 0 {
					markGroup[mark.Hash] = int32(len(markGroup) + 1)
				}
				i.text = markGroup[mark.Hash]
			}
		}
		if n < before {
			k.before = append(k.before, i)
		} else {
			k.after = append(k.after, i)
		}
	}
	joinTraders(items, facts.SellerGroups)
	k.spread(items, len(k.photoGroup), max(len(textGroup), len(markGroup)))
	return k
}

// group is the group of like photos that a listing's photo is in, 0 for none.
func (k *look) group(i *item, photo int) int32 {
	return k.photoGroup[k.facts.Photos.Of(k.facts.FirstPhoto[i.n]+photo)]
}

// numbers gives each group a number from 1.
func numbers[G photogroup.Group | texts.Group](groups []G) map[*G]int32 {
	m := make(map[*G]int32, len(groups))
	for i := range groups {
		m[&groups[i]] = int32(i + 1)
	}
	return m
}

// spread counts how many traders show each photo and use each text.
func (k *look) spread(items []item, photos, texts int) {
	type use struct{ group, trader int32 }
	k.photoSpread, k.textSpread = make([]int32, photos+1), make([]int32, texts+1)
	seenPhoto, seenText := map[use]bool{}, map[use]bool{}
	for i := range items {
		it := &items[i]
		for _, g := range it.photos {
			if u := (use{g, it.trader}); !seenPhoto[u] {
				seenPhoto[u] = true
				k.photoSpread[g]++
			}
		}
		if u := (use{it.text, it.trader}); it.text > 0 && !seenText[u] {
			seenText[u] = true
			k.textSpread[it.text]++
		}
	}
}

// ownPhotos lists the photo groups of a listing that few traders show.
func (k *look) ownPhotos(i *item) []int32 {
	return slices.DeleteFunc(slices.Clone(i.photos), func(g int32) bool { return k.photoSpread[g] > maxSpread })
}

// ownText is the text group of a listing if few traders use it, else 0.
func (k *look) ownText(i *item) int32 {
	if k.textSpread[i.text] > maxSpread {
		return 0
	}
	return i.text
}

// common lists what two sorted lists share.
func common[T ~int32 | ~string](a, b []T) []T {
	var list []T
	for _, x := range a {
		if _, ok := slices.BinarySearch(b, x); ok {
			list = append(list, x)
		}
	}
	return list
}
