package compare

import "counterfoil/rules/disjoint"

// joinTraders numbers the traders from 1. Accounts are one trader when they have
// the same id on the same marketplace or openly carry the same name, or when the
// facts join them by what they share, such as a telephone number.
func joinTraders(items []item, groups []string) {
	number := map[string]int32{}
	sets := disjoint.New[int32](1)
	join := func(i *item, key string) {
		x, ok := number[key]
		if !ok {
			x = sets.Add()
			number[key] = x
		}
		if i.trader == 0 {
			i.trader = x
		}
		sets.Join(i.trader, x)
	}
	for n := range items {
		i := &items[n]
		if i.sellerID != "" {
			join(i, "id\x00"+i.host+"\x00"+i.sellerID)
		}
		if i.name != "" {
			join(i, "name\x00"+i.name)
		}
		if groups[n] != "" {
			join(i, "group\x00"+groups[n])
		}
	}
	for n := range items {
		items[n].trader = sets.Of(items[n].trader)
	}
}

// relation says what two listings' sellers are to each other.
type relation uint8

const (
	sameAccount relation = iota
	sameTrader           // another account, or another marketplace
	unknownSeller
	otherSeller
)

func relate(a, b *item) relation {
	switch {
	case a.trader == 0 || b.trader == 0:
		return unknownSeller
	case a.trader != b.trader:
		return otherSeller
	case differ(a.host, b.host) || differ(a.sellerID, b.sellerID):
		return sameTrader
	case a.sellerID != "" && a.sellerID == b.sellerID || a.name == b.name:
		return sameAccount
	}
	return sameTrader
}
