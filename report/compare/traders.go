package compare

// joinTraders numbers the traders from 1. Accounts are one trader when they have
// the same id on the same marketplace or openly carry the same name, or when the
// facts join them by what they share, such as a telephone number.
func joinTraders(items []item, groups []string) {
	number := map[string]int32{}
	parent := []int32{0}
	find := func(x int32) int32 {
		for parent[x] != x {
			parent[x] = parent[parent[x]]
			x = parent[x]
		}
		return x
	}
	node := func(key string) int32 {
		x, ok := number[key]
		if !ok {
			x = int32(len(parent))
			number[key], parent = x, append(parent, x)
		}
		return find(x)
	}
	join := func(i *item, key string) {
		x := node(key)
		if i.trader == 0 {
			i.trader = x
			return
		}
		y := find(i.trader)
		parent[max(x, y)] = min(x, y)
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
		items[n].trader = find(items[n].trader)
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
