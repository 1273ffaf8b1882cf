package pricing

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Kin are two sellers whose prices of several parts hang together.
type Kin struct {
	A, B  string  // sellers, A < B
	Ratio float64 // of B's prices to A's; 1 when odd prices are equal
	Parts int     // markets at that ratio
	Of    int     // markets in which both offer
	// Listings are the offers of A and B in the first of those markets, by market.
	Listings [][2]int
}

// Thresholds of BuildKin: engineering proposals, common practice, no source.
const (
	KinOdd    = 3     // equal odd prices, at least half of the common markets
	KinParts  = 5     // markets in one ratio, at least KinShare of the common ones
	KinShare  = 0.8   // of the common markets
	KinWithin = 0.005 // of the ratio, either way
)

const (
	kinMost    = 8  // sellers of one price or ratio from which it is common property
	kinRarest  = 12 // markets of a seller whose prices are set against each other
	kinShown   = 5  // offers kept of a pair
	kinBuckets = 500
)

// stall is what one seller asks, by market.
type stall struct {
	seller string
	offers []Offer // sorted by market, one each
}

// BuildKin finds pairs of sellers who ask the same odd prices for KinOdd parts
// and more, or whose prices of KinParts parts and more stand in one ratio. Pairs
// are compared when they share an odd price, or the ratio of two prices, with
// few others: what more than eight sellers have is a list price. Offer.Market
// says what may be compared. The result is sorted by A and B.
func BuildKin(offers []Offer) []Kin {
	stalls := stallsOf(offers)
	sellersOf := map[string]int{}
	for _, s := range stalls {
		for _, o := range s.offers {
			sellersOf[o.Market]++
		}
	}
	type price struct {
		market string
		minor  int64
	}
	type relation struct {
		one, other string
		bucket     int
	}
	byPrice, byRatio := map[price][]int32{}, map[relation][]int32{}
	for i, s := range stalls {
		shared := slices.DeleteFunc(slices.Clone(s.offers), func(o Offer) bool { return sellersOf[o.Market] < 2 })
		for _, o := range shared {
			if IsOdd(o.Minor) {
				p := price{o.Market, o.Minor}
				byPrice[p] = append(byPrice[p], int32(i))
			}
		}
		if len(shared) < KinParts {
			continue
		}
		slices.SortStableFunc(shared, func(a, b Offer) int { return cmp.Compare(sellersOf[a.Market], sellersOf[b.Market]) })
		shared = shared[:min(len(shared), kinRarest)]
		slices.SortFunc(shared, func(a, b Offer) int { return strings.Compare(a.Market, b.Market) })
		for k, a := range shared {
			for _, b := range shared[k+1:] {
				r := relation{a.Market, b.Market, int(math.Round(kinBuckets * math.Log(float64(a.Minor)/float64(b.Minor))))}
				byRatio[r] = append(byRatio[r], int32(i))
			}
		}
	}
	met := map[[2]int32]int{}
	meet := func(list []int32) {
		if len(list) > kinMost {
			return
		}
		for k, a := range list {
			for _, b := range list[k+1:] {
				met[[2]int32{a, b}]++
			}
		}
	}
	for _, list := range byPrice {
		meet(list)
	}
	for _, list := range byRatio {
		meet(list)
	}
	var out []Kin
	for pair, times := range met {
		if times >= KinOdd {
			if k, ok := kin(&stalls[pair[0]], &stalls[pair[1]]); ok {
				out = append(out, k)
			}
		}
	}
	slices.SortFunc(out, func(a, b Kin) int { return cmp.Or(strings.Compare(a.A, b.A), strings.Compare(a.B, b.B)) })
	return out
}

// stallsOf gathers the offers by seller, sorted; of several in one market the
// first listing counts.
func stallsOf(offers []Offer) []stall {
	list := slices.DeleteFunc(slices.Clone(offers), func(o Offer) bool { return o.Seller == "" || o.Minor <= 0 })
	slices.SortFunc(list, func(a, b Offer) int {
		return cmp.Or(strings.Compare(a.Seller, b.Seller), strings.Compare(a.Market, b.Market), cmp.Compare(a.Listing, b.Listing))
	})
	list = slices.CompactFunc(list, func(a, b Offer) bool { return a.Seller == b.Seller && a.Market == b.Market })
	var out []stall
	for i := 0; i < len(list); {
		j := i
		for j < len(list) && list[j].Seller == list[i].Seller {
			j++
		}
		out = append(out, stall{list[i].Seller, list[i:j]})
		i = j
	}
	return out
}

// kin compares two sellers, a before b.
func kin(a, b *stall) (Kin, bool) {
	k := Kin{A: a.seller, B: b.seller, Ratio: 1}
	var both [][2]Offer
	for i, j := 0, 0; i < len(a.offers) && j < len(b.offers); {
		switch c := strings.Compare(a.offers[i].Market, b.offers[j].Market); {
		case c < 0:
			i++
		case c > 0:
			j++
		default:
			both = append(both, [2]Offer{a.offers[i], b.offers[j]})
			i, j = i+1, j+1
		}
	}
	k.Of = len(both)
	take := func(fits func(x, y Offer) bool) {
		k.Parts, k.Listings = 0, nil
		for _, o := range both {
			if fits(o[0], o[1]) {
				k.Parts++
				if len(k.Listings) < kinShown {
					k.Listings = append(k.Listings, [2]int{o[0].Listing, o[1].Listing})
				}
			}
		}
	}
	take(func(x, y Offer) bool { return x.Minor == y.Minor && IsOdd(x.Minor) })
	if k.Parts >= KinOdd && 2*k.Parts >= k.Of {
		return k, true
	}
	if len(both) < KinParts {
		return k, false
	}
	ratios := make([]float64, len(both))
	for i, o := range both {
		ratios[i] = float64(o[1].Minor) / float64(o[0].Minor)
	}
	slices.Sort(ratios)
	k.Ratio = ratios[(len(ratios)-1)/2]
	take(func(x, y Offer) bool {
		return math.Abs(float64(y.Minor)/float64(x.Minor)-k.Ratio) <= KinWithin*k.Ratio
	})
	return k, k.Parts >= KinParts && float64(k.Parts) >= KinShare*float64(k.Of) && math.Abs(k.Ratio-1) > KinWithin
}
