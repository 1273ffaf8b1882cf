package sellers

import (
	"math"
	"slices"
	"strings"

	"counterfoil/rules/weighing"
)

// family groups kinds of links that share a cause.
type family uint8

const (
	identity family = iota
	naming
	material // pictures, texts, serials: they are copied together
	camera
	prices
	place // of business or dispatch
	families
)

// copyable bounds what pictures, texts and serials of two sellers weigh
// together, just below the weight from which on they are strong: all of it can be
// copied from one page, so that it never makes a group alone. What must have been
// copied from several pages of one group weighs more, see [clusters.support].
func copyable(strong float64) float64 { return strong - 0.5 }

const copiedOn = 10.5

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
	Address:    {.8, 1e-3, weak, place},  // premises are shared
	Name:       {.9, 1e-2, weak, naming}, // names of shops are alike by chance
	NameAlike:  {.5, 1e-2, weak, naming}, //
	SameSerial: {.3, 2e-2, 6, material},  // copies of one source carry one plate
	SameFile:   {.6, 2e-2, 4, material},  // beside the picture: a copy is seldom the same file
	SamePhoto:  {.6, 5e-2, 5, material},  // pictures are copied
	SameText:   {.6, 5e-2, 5, material},  // and so are texts
	SamePhrase: {.4, 5e-2, 4, material},  //
	SameSlip:   {.5, 2e-2, 6, material},  // slips are copied with the text
	SameCamera: {.8, 1e-4, 20, camera},   // by number, on different pictures
	SameDevice: {.8, 5e-2, 5, camera},    // by model and program alone
	SamePrices: {.5, 2e-2, weak, prices}, // a price tool copies rivals
	PriceRule:  {.5, 5e-2, 7, prices},    //
	Place:      {.8, 5e-2, 3, place},     // of the dispatch or the business
}

// weak is the cap in decibans of what never makes a group alone.
const weak = 8

// hubMost is the cap in decibans of common property: beside one place of
// business and a name it makes no group.
const hubMost = 4

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

// sums is a weight in decibans for each family.
type sums [families]float64

func (s sums) all() (sum float64) {
	for _, w := range s {
		sum += w
	}
	return sum
}

// bondOf is a link as grouping weighs it.
func bondOf(l *Link) bond {
	return bond{value: l.value, family: priors[l.Kind].family, common: l.Common, weight: l.Weight}
}

func bondsOf(links []Link) []bond {
	list := make([]bond, len(links))
	for i := range links {
		list[i] = bondOf(&links[i])
	}
	return list
}

// tally gathers the weights of different values by their families.
type tally struct {
	weights [families][]float64
	common  sums // heaviest link of what is common property
}

func (t *tally) clear() {
	for f := range t.weights {
		t.weights[f] = t.weights[f][:0]
	}
	t.common = sums{}
}

func (t *tally) add(b *bond) {
	if b.common {
		t.common[b.family] = max(t.common[b.family], b.weight)
	} else {
		t.weights[b.family] = append(t.weights[b.family], b.weight)
	}
}

// sums weighs the families. The second value of a family counts half, the third a
// quarter, and so on; of names and prices only the heaviest counts, and what can
// be copied is bounded by what makes a pair strong. The order of the weights is lost.
func (t *tally) sums(strong float64) (s sums) {
	for f := range s {
		if len(t.weights[f]) > 0 {
			if f := family(f); f == naming || f == prices {
				s[f] = slices.Max(t.weights[f])
			} else {
				s[f] = weighing.Sum(t.weights[f])
			}
		}
	}
	s[material] = min(s[material], copyable(strong))
	return s
}

// withCommon adds common property: what the heaviest such link weighs beyond its
// own family, once.
func (t *tally) withCommon(s sums) sums {
	best, gain := identity, 0.0
	for f, w := range t.common {
		if g := w - s[f]; g > gain {
			best, gain = family(f), g
		}
	}
	s[best] += gain
	return s
}

// total weighs what two sellers share; bonds that skip names are left out. skip
// may be nil.
func total(bonds []bond, strong float64, skip func(*bond) bool) float64 {
	var t tally
	for i := range bonds {
		if skip == nil || !skip(&bonds[i]) {
			t.add(&bonds[i])
		}
	}
	return t.withCommon(t.sums(strong)).all()
}

// pairWeight weighs two sellers. From strong on the numbers that differ count
// too.
func pairWeight(bonds []bond, strong float64, a, b [2][]string) (weight, apart float64) {
	if weight = total(bonds, strong, nil); weight >= strong {
		apart = numbersApart(a, b)
	}
	return weight + apart, apart
}
