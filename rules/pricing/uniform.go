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

// UniformLimits are the thresholds of BuildUniform.
type UniformLimits struct {
	Parts, Makers int     // least numbers
	Ratio         float64 // greatest ratio to the authorised price
	Within        float64 // share of the ratio, either way
	Share         float64 // least share of the parts compared
}

// bySeller parts the ratios that are known by seller; of each part it keeps the
// first.
func bySeller(list []Ratio) map[string][]Ratio {
	of := map[string][]Ratio{}
	seen := map[[2]string]bool{}
	for _, r := range list {
		k := [2]string{r.Seller, r.Part}
		if r.Seller != "" && r.Value > 0 && !seen[k] {
			seen[k] = true
			of[r.Seller] = append(of[r.Seller], r)
		}
	}
	return of
}

// BuildUniform finds the sellers of whose parts, of several makers, most stand
// at one and the same ratio to the authorised price, well under it. A part
// counts once, by its first price in the list.
func BuildUniform(list []Ratio, l UniformLimits) *Uniform {
	x := &Uniform{of: map[string]Discount{}}
	for seller, of := range bySeller(list) {
		if d, ok := uniform(of, l); ok {
			x.of[seller] = d
		}
	}
	return x
}

func uniform(list []Ratio, l UniformLimits) (Discount, bool) {
	if len(list) < l.Parts {
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
		if math.Abs(r.Value-d.Ratio) <= l.Within*d.Ratio {
			d.Parts++
			makers[r.Maker] = true
			d.Listings = append(d.Listings, r.Listing)
		}
	}
	d.Makers = len(makers)
	slices.Sort(d.Listings)
	return d, d.Ratio <= l.Ratio && d.Parts >= l.Parts && d.Makers >= l.Makers &&
		float64(d.Parts) >= l.Share*float64(d.Of)
}

// Of gives the uniform discount of a seller; ok is false when there is none.
func (x *Uniform) Of(seller string) (d Discount, ok bool) {
	d, ok = x.of[seller]
	return d, ok
}
