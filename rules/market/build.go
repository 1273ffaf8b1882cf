package market

import "time"

// Index holds the markets of one run. It does not change after Build and may be
// used by several goroutines.
type Index struct{ s Settings }

// Build groups the offers into markets. Prices are converted to currency by the
// rates of asOf; an offer without a rate is excluded. The offers are kept, not
// copied, and must not change afterwards.
func Build(offers []Offer, refs []Reference, rates *Rates, currency string, asOf time.Time, s Settings) *Index {
	return &Index{s: s.orDefaults()}
}

// Assess compares one listing with its market. An unknown number gives the zero
// Assessment with the reason in Excluded.
func (x *Index) Assess(listing int) Assessment { return Assessment{} }

// Inputs lists the prices a listing was compared with, cheapest first, and the
// offers of the market (of the wider group when it was widened) that were left
// out, with reasons, by listing.
func (x *Index) Inputs(listing int) (included, excluded []Entry) { return nil, nil }

// Markets gives all markets, sorted by key, for the market sheet.
func (x *Index) Markets() []Market { return nil }

// Unplaced gives the offers that belong to no market since no part is known, by
// listing.
func (x *Index) Unplaced() []Entry { return nil }

// Ladder gives the price classes of a part in the fixed order, those without an
// offer left out.
func (x *Index) Ladder(part string) []Class { return nil }
