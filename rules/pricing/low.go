package pricing

import "slices"

// Low holds the sellers most of whose parts are cheap.
type Low struct{ of map[string]Cheap }

// Cheap is how a seller's prices stand to what others ask.
type Cheap struct {
	Ratio float64 // lower median of price / usual price, over the parts
	Parts int     // parts at LowRatio or less
	Of    int     // parts compared
	// Listings at LowRatio or less, sorted.
	Listings []int
}

// Thresholds of BuildLow: engineering proposals, common practice, no source.
const (
	LowParts  = 4    // least number of parts compared
	LowMedian = 0.7  // greatest median ratio
	LowRatio  = 0.75 // greatest ratio of a part that counts as cheap
	LowShare  = 0.75 // of the parts compared
)

// BuildLow finds the sellers of whose parts most stand well under the usual
// price. One cheap offer may be chance, a clearance or a slip; the same over
// many parts is a habit. A part counts once, by its first price in the list;
// makers do not matter.
func BuildLow(list []Ratio) *Low {
	x := &Low{of: map[string]Cheap{}}
	for seller, of := range bySeller(list) {
		if len(of) < LowParts {
			continue
		}
		c := Cheap{Of: len(of)}
		values := make([]float64, len(of))
		for i, r := range of {
			values[i] = r.Value
			if r.Value <= LowRatio {
				c.Parts++
				c.Listings = append(c.Listings, r.Listing)
			}
		}
		slices.Sort(values)
		slices.Sort(c.Listings)
		c.Ratio = values[(len(values)-1)/2]
		if c.Ratio <= LowMedian && float64(c.Parts) >= LowShare*float64(c.Of) {
			x.of[seller] = c
		}
	}
	return x
}

// Of gives how cheap a seller's parts are; ok is false when they are not.
func (x *Low) Of(seller string) (c Cheap, ok bool) {
	c, ok = x.of[seller]
	return c, ok
}
