package market

import (
	"cmp"
	"iter"
	"slices"
	"strings"
	"time"

	"counterfoil/parse/listing"
)

// Set holds the markets of one run in all its currencies. Offers that the rates
// can convert are compared in the run's currency; those of a currency without a
// rate are compared among themselves, in their own. It does not change after
// BuildSet and may be used by several goroutines.
type Set struct {
	indexes []*Index    // the run's currency first, the others by their code
	of      map[int]int // listing -> index; the first when absent
}

// BuildSet is [Build] for offers of several currencies.
func BuildSet(offers []Offer, refs []Reference, rates *Rates, currency string, asOf time.Time, s Settings) *Set {
	apart := map[string][]int32{}
	main := make([]int32, 0, len(offers))
	convertible := map[string]bool{"": true, currency: true}
	for i := range offers {
		from := offers[i].Price.Currency
		if _, known := convertible[from]; !known {
			_, _, err := rates.Convert(listing.Amount{Minor: 1, Currency: from}, currency, asOf)
			convertible[from] = err == nil
		}
		if convertible[from] {
			main = append(main, int32(i))
		} else {
			apart[from] = append(apart[from], int32(i))
		}
	}
	set := &Set{indexes: []*Index{buildSome(offers, main, refs, rates, currency, asOf, s)}, of: map[int]int{}}
	codes := make([]string, 0, len(apart))
	for code := range apart {
		codes = append(codes, code)
	}
	slices.Sort(codes)
	for _, code := range codes {
		for _, i := range apart[code] {
			set.of[offers[i].Listing] = len(set.indexes)
		}
		set.indexes = append(set.indexes, buildSome(offers, apart[code], refs, rates, code, asOf, s))
	}
	return set
}

func (s *Set) index(listing int) *Index { return s.indexes[s.of[listing]] }

// Assess compares one listing with its market; see [Index.Assess].
func (s *Set) Assess(listing int) Assessment { return s.index(listing).Assess(listing) }

// Compare is Assess without the Warnings; see [Index.Compare].
func (s *Set) Compare(listing int) Assessment { return s.index(listing).Compare(listing) }

// Inputs lists the prices a listing was compared with; see [Index.Inputs].
func (s *Set) Inputs(listing int) (included, excluded []Entry) {
	return s.index(listing).Inputs(listing)
}

// Ladder gives the price classes of a part in the currency in which the listing
// is compared; see [Index.Ladder].
func (s *Set) Ladder(listing int, part string) []Class { return s.index(listing).Ladder(part) }

// Len is the number of markets.
func (s *Set) Len() int {
	n := 0
	for _, x := range s.indexes {
		n += len(x.markets)
	}
	return n
}

// Markets gives all markets by key, those of the run's currency before others.
// Each is made when it is asked for: their prices are as many as the listings.
func (s *Set) Markets() iter.Seq[Market] {
	type ref struct {
		x *Index
		m *market
	}
	all := make([]ref, 0, s.Len())
	for _, x := range s.indexes {
		for _, m := range x.markets {
			all = append(all, ref{x, m})
		}
	}
	slices.SortStableFunc(all, func(a, b ref) int { return a.m.key.compare(b.m.key) })
	return func(yield func(Market) bool) {
		for _, r := range all {
			if !yield(r.x.sheetOf(r.m)) {
				return
			}
		}
	}
}

// Unplaced gives the offers that belong to no market; see [Index.Unplaced].
func (s *Set) Unplaced() []Entry {
	var all []Entry
	for _, x := range s.indexes {
		all = append(all, x.Unplaced()...)
	}
	slices.SortStableFunc(all, func(a, b Entry) int { return cmp.Compare(a.Listing, b.Listing) })
	return all
}

// Apart names the currencies without a rate, sorted, in words for a report; ""
// if there are none.
func (s *Set) Apart() string {
	var codes []string
	for _, x := range s.indexes[1:] {
		codes = append(codes, x.currency)
	}
	return strings.Join(codes, ", ")
}
