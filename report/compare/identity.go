package compare

import "slices"

// Words for how two listings were joined.
const (
	byID      = "id"
	byAddress = "address"
	bySerial  = "serial"
	byPhotos  = "photos"
	byText    = "text"
	byTitle   = "title"
	byPart    = "part"
	bySeller  = "seller"
)

// putUpAgain counts listings that were put up anew, however joined.
const putUpAgain = "put up again"

// Words for how firm a join is.
const (
	firm     = "firm"     // id, address, serial or photos
	likely   = "likely"   // text or title of the same seller
	possible = "possible" // the same seller, part, unit and condition alone
)

// match joins an earlier listing to a later one.
type match struct {
	old, new *item
	basis    []string
	strength string
	rel      relation
	relisted bool // the later one is a listing of its own, put up anew
}

// elsewhere reports whether the offer went to another seller, or perhaps did.
func (m *match) elsewhere() bool { return m.relisted && m.rel > sameTrader }

// most bounds the pairs that listings with something in common are tried in; so
// many are no captures of one offer. It keeps the work in proportion to the
// number of listings.
const most = 2500

// byIdentity joins listings by id, then by address.
func (k *look) byIdentity() []match {
	var matches []match
	joined := map[*item]bool{}
	for _, by := range []struct {
		word string
		key  func(*item) string
		fits func(a, b *item) bool
	}{
		{byID, func(i *item) string { return i.id }, sameID},
		{byAddress, func(i *item) string { return i.address }, sameAddress},
	} {
		key := func(i *item) []string {
			if v := by.key(i); v != "" && !joined[i] {
				return []string{v}
			}
			return nil
		}
		// Ties wait for other evidence.
		chosen, _ := assign(k.pairs(k.before, k.after, func(o, n *item) (pair, bool) {
			return pair{old: o, new: n, score: likeness(o, n), basis: []string{by.word}}, by.fits(o, n)
		}, key))
		for _, p := range chosen {
			joined[p.old], joined[p.new] = true, true
			matches = append(matches, match{old: p.old, new: p.new, basis: p.basis, strength: firm, rel: relate(p.old, p.new)})
		}
	}
	return matches
}

// sameID reports whether equal ids mean one listing. On one marketplace they
// do. Exports of several shops may each number their rows from 1.
func sameID(a, b *item) bool {
	switch {
	case a.host != "" && a.host == b.host:
		return true
	case differ(a.host, b.host) || relate(a, b) == otherSeller:
		return false
	}
	return relate(a, b) != unknownSeller || same(a.title, b.title) || same(a.part, b.part)
}

// sameAddress reports whether equal addresses mean one listing: a shop's rows
// may all give the address of the shop.
func sameAddress(a, b *item) bool {
	return !differ(a.id, b.id) && !differ(a.part, b.part) && relate(a, b) != otherSeller
}

// likeness orders listings of one id or address, which variants may share.
func likeness(a, b *item) int {
	score := 0
	for _, same := range []bool{relate(a, b) <= sameTrader, same(a.part, b.part), same(a.title, b.title), a.condition == b.condition, a.unit == b.unit,
		len(common(a.serials, b.serials)) > 0} {
		if same {
			score++
		}
	}
	return score
}

// pairs weighs the earlier and later listings that have a key in common, each
// pair once.
func (k *look) pairs(old, new []*item, weigh func(o, n *item) (pair, bool), keys ...func(*item) []string) []pair {
	type numbers struct{ old, new int }
	seen := map[numbers]bool{}
	var pairs []pair
	for _, key := range keys {
		for _, b := range blocks(old, new, key) {
			if len(b.old)*len(b.new) > most {
				k.crowded += len(b.old) * len(b.new)
				continue
			}
			for _, o := range b.old {
				for _, n := range b.new {
					if seen[numbers{o.n, n.n}] {
						continue
					}
					seen[numbers{o.n, n.n}] = true
					if p, ok := weigh(o, n); ok {
						pairs = append(pairs, p)
					}
				}
			}
		}
	}
	return pairs
}

// block holds listings of both sides with a key in common.
type block struct{ old, new []*item }

// blocks gathers the listings of both sides by their keys, in the order of the
// earlier ones.
func blocks(old, new []*item, keys func(*item) []string) []block {
	at := map[string]int{}
	var list []block
	for _, i := range old {
		for _, v := range keys(i) {
			n, ok := at[v]
			if !ok {
				n = len(list)
				at[v], list = n, append(list, block{})
			}
			list[n].old = append(list[n].old, i)
		}
	}
	for _, i := range new {
		for _, v := range keys(i) {
			if n, ok := at[v]; ok {
				list[n].new = append(list[n].new, i)
			}
		}
	}
	return slices.DeleteFunc(list, func(b block) bool { return len(b.new) == 0 })
}
