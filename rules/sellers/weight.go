package sellers

import (
	"math"
	"slices"
	"strings"

	"counterfoil/rules/weighing"
)

// family groups kinds of links that share a cause.
type family string

const (
	identity family = "identity"
	naming   family = "name"
	material family = "material" // pictures, texts, serials: they are copied together
	camera   family = "camera"
	prices   family = "prices"
	place    family = "place"
	common   family = "common" // common property of any kind
)

// copyable bounds what pictures, texts and serials of two sellers weigh
// together: all of it can be copied from one page, so that it never makes a group
// alone.
const copyable = 10.2

// prior is what is assumed of a kind of value before the batch is seen. The
// numbers are the team's judgement.
type prior struct {
	m      float64 // chance that two accounts of one operator show the same value
	u      float64 // chance that two accounts of different operators do
	cap    float64 // decibans a link may weigh at most
	family family
}

// The caps of what can be copied from a rival's page stand for that: however
// rare a picture is, a stranger may have taken it.
var priors = map[Kind]prior{
	VAT:        {.95, 1e-4, 40, identity},
	Register:   {.95, 1e-4, 40, identity},
	IBAN:       {.9, 1e-4, 40, identity},
	Mail:       {.9, 1e-4, 40, identity},
	Phone:      {.9, 1e-4, 40, identity},
	Messenger:  {.9, 1e-3, 40, identity},
	Address:    {.8, 1e-3, 20, identity}, // premises are shared
	Name:       {.9, 1e-2, weak, naming}, // names of shops are alike by chance
	NameAlike:  {.5, 1e-2, 5, naming},    // the more so names that are only alike
	SameSerial: {.3, 2e-2, 6, material},  // copies of one source carry one plate
	SameFile:   {.6, 2e-2, 4, material},  // beside the picture: a copy is seldom the same file
	SamePhoto:  {.6, 5e-2, 5, material},  // pictures are copied
	SameText:   {.6, 5e-2, 5, material},  // and so are texts
	SamePhrase: {.4, 5e-2, 4, material},  //
	SameSlip:   {.5, 2e-2, 6, material},  // slips are copied with the text
	SameCamera: {.8, 1e-4, 20, camera},   // by number, on different pictures
	SameDevice: {.8, 5e-2, 5, camera},    // by model and program alone
	SamePrices: {.5, 2e-2, 6, prices},    // a price tool copies rivals
	PriceRule:  {.5, 5e-2, 5, prices},    //
	Place:      {.8, 5e-2, 3, place},     // of the dispatch or the business
}

// weak is the cap in decibans of what never makes a group alone.
const weak = 8

// hubMost is the cap in decibans of common property: beside one place of
// business it makes no group.
const hubMost = 6

// priorSellers is how many sellers' worth of evidence the assumed u counts for.
const priorSellers = 100

// linkWeight is the agreement weight of Fellegi and Sunter (1969) in decibans,
// with u from the value's own frequency (Winkler 1989):
//
//	weight = 10 log10(m / u)
//	u      = (n - 2 + 100 u0) / (S - 2 + 100)
//
// n of S sellers show the value, the two in question among them; u0 and m are
// the kind's priors, and u0 counts as much as a hundred sellers. A value that
// only two of many sellers show weighs most. The weight is held between 0 and
// the kind's cap, or 8 decibans for a value that is not whole: a court's register
// number without the court, a short phone number without its area. It takes
// n >= 2.
func linkWeight(kind Kind, text string, n, sellers int) float64 {
	p := priors[kind]
	if kind == Phone && text[0] != '+' && len(text) < 9 ||
		kind == Register && strings.HasPrefix(text, "HR") && strings.Count(text, " ") < 2 {
		p.cap = weak
	}
	u := (float64(n-2) + priorSellers*p.u) / float64(sellers-2+priorSellers)
	return min(max(10*math.Log10(p.m/u), 0), p.cap)
}

// disagreement is the weight of Fellegi and Sunter for two sellers who both
// state a valid VAT or register number of one country or register and share
// none, 10 log10((1-m) / (1-u)): they are two firms on paper. m is the chance
// that two accounts of one operator state one number.
func disagreement(kind Kind) float64 {
	p := priors[kind]
	return 10 * math.Log10((1-p.m)/(1-p.u))
}

// total adds up the links of two sellers, without those of one value, named by
// its id. Within a family of kinds that share a cause the second link counts
// half, the third a quarter, and so on; of names and of common property only the
// heaviest counts, and what can be copied is bounded. Families are added.
func total(links []Link, without string) float64 {
	families := make([]family, 0, 8)
	weights := make([]float64, 0, 8)
	most := map[family]float64{}
	for i := range links {
		l := &links[i]
		if without != "" && l.id() == without {
			continue
		}
		f := priors[l.Kind].family
		if l.Common {
			f = common
		}
		if f == common || f == naming {
			most[f] = max(most[f], l.Weight)
			continue
		}
		families, weights = append(families, f), append(weights, l.Weight)
	}
	sum, copied := most[common]+most[naming], 0.0
	for i, w := range weighing.Shares(families, weights) {
		if families[i] == material {
			copied += w
		} else {
			sum += w
		}
	}
	return sum + min(copied, copyable)
}

// coverage knows values that are common property.
type coverage struct {
	of   map[string][]int // by seller
	sets []map[string]bool
}

// wide finds the pictures, texts and serials that more than MaxSellers sellers,
// or sellers with three different tax or register numbers, share: a feed, as a
// rule.
func (x *Index) wide(values []Value, opt Options) *coverage {
	c := &coverage{of: map[string][]int{}}
	for _, v := range values {
		if n := len(v.Quotes); priors[v.Kind].family != material || n < 3 || n <= opt.MaxSellers && x.traders(v) < 3 {
			continue
		}
		set := make(map[string]bool, len(v.Quotes))
		for _, q := range v.Quotes {
			set[q.Seller] = true
			c.of[q.Seller] = append(c.of[q.Seller], len(c.sets))
		}
		c.sets = append(c.sets, set)
	}
	return c
}

// covers reports whether a picture, text or price list is shared only by sellers
// who share one common value: then the feed explains both.
func (c *coverage) covers(v Value) bool {
	if f := priors[v.Kind].family; f != material && f != prices {
		return false
	}
	return slices.ContainsFunc(c.of[v.Quotes[0].Seller], func(i int) bool {
		return !slices.ContainsFunc(v.Quotes, func(q Quote) bool { return !c.sets[i][q.Seller] })
	})
}
