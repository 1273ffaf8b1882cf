package pricing

import (
	"math"
	"slices"
)

// Ratio is one price of a seller, divided by the authorised price.
type Ratio struct {
	Listing             int
	Seller, Maker, Part string
	Value               float64
}

// Uniform holds the sellers who offer all makers at one discount.
type Uniform struct{ of map[string]Discount }

// Discount is the one ratio at which a seller offers parts.
type Discount struct {
	Ratio  float64 // median of price / authorised price
	Parts  int     // parts at that ratio
	Of     int     // parts compared
	Makers int     // makers of the parts at that ratio
	// Listings at that ratio, sorted.
	Listings []int
}

// Thresholds of BuildUniform: engineering proposals, common practice, no
// source.
const (
	UniformParts  = 5    // least number of parts
	UniformMakers = 2    // least number of makers
	UniformRatio  = 0.7  // greatest ratio to the authorised price
	UniformWithin = 0.01 // of the ratio, either way
	UniformShare  = 0.8  // of the parts compared
)

// BuildUniform finds the sellers of whose parts, of several makers, most stand
// at one and the same ratio to the authorised price, well under it. A part
// counts once, by its first price in the list.
func BuildUniform(list []Ratio) *Uniform {
	x := &Uniform{of: map[string]Discount{}}
	bySeller := map[string][]Ratio{}
	seen := map[[2]string]bool{}
	for _, r := range list {
		k := [2]string{r.Seller, r.Part}
		if r.Seller != "" && r.Value > 0 && !seen[k] {
			seen[k] = true
			bySeller[r.Seller] = append(bySeller[r.Seller], r)
		}
	}
	for seller, of := range bySeller {
		if d, ok := uniform(of); ok {
			x.of[seller] = d
		}
	}
	return x
}

func uniform(list []Ratio) (Discount, bool) {
	if len(list) < UniformParts {
		return Discount{}, false
	}
	values := make([]float64, len(list))
	for i, r := range list {
		values[i] = r.Value
	}
	slices.Sort(values)
	d := Discount{Ratio: values[(len(values)-1)/2], Of: len(list)}
	makers := map[string]bool{}
	for _, r := range list {
		if math.Abs(r.Value-d.Ratio) <= UniformWithin*d.Ratio {
			d.Parts++
			makers[r.Maker] = true
			d.Listings = append(d.Listings, r.Listing)
		}
	}
	d.Makers = len(makers)
	slices.Sort(d.Listings)
	return d, d.Ratio <= UniformRatio && d.Parts >= UniformParts && d.Makers >= UniformMakers &&
		float64(d.Parts) >= UniformShare*float64(d.Of)
}

// Of gives the uniform discount of a seller; ok is false when there is none.
func (x *Uniform) Of(seller string) (d Discount, ok bool) {
	d, ok = x.of[seller]
	return d, ok
}
