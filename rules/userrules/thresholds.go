package userrules

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"counterfoil/rules/market"
	"counterfoil/rules/photogroup"
	"counterfoil/rules/texts"
)

// Thresholds are the numbers that the built-in rules work with. The zero value
// stands for the defaults.
type Thresholds struct {
	Market market.Settings
	Photos photogroup.Options
	Texts  texts.Options
	// RateDays is the age in days from which an exchange rate is called old, 0 for
	// the default.
	RateDays int
	given    map[string]float64 // what Limit gives, where it was changed
}

// DefaultRateDays applies when the user gives no other.
const DefaultRateDays = 60

// Threshold is a number that the user may change.
type Threshold struct {
	Name        string
	Default     float64
	Least, Most float64
	Whole       bool
	Meaning     string
	Rules       []string // IDs of the rules that depend on it
	set         func(*Thresholds, float64)
}

var (
	priceRules = []string{"price-low-outlier"}
	ratioRules = []string{"price-low-outlier", "new-at-core-price", "new-below-reman", "odd-price-shared"}
	photoRules = []string{"photo-reuse", "photo-other-unit", "photo-altered", "serial-reuse", "plate-and-box", "catalogue-picture-only"}
	stockRules = []string{"photo-reuse", "photo-other-unit", "photo-altered", "catalogue-picture-only"}
	textRules  = []string{"near-duplicate-text"}
	usual      = market.Defaults()
)

// ThresholdTable lists the thresholds in the order in which they are printed.
var ThresholdTable = append([]Threshold{
	{"price-score", usual.Score, 1, 20, false, "modified z-score, as a positive number, from which a price is a low outlier", priceRules,
		func(t *Thresholds, x float64) { t.Market.Score = x }},
	{"price-ratio", usual.Ratio, 0.05, 0.95, false, "share of the median at or under which a low price matters", priceRules,
		func(t *Thresholds, x float64) { t.Market.Ratio = x }},
	{"reference-ratio", usual.ReferenceRatio, 0.05, 0.95, false, "share of the authorised price at or under which a price is below plausible cost", []string{"price-below-reference"},
		func(t *Thresholds, x float64) { t.Market.ReferenceRatio = x }},
	{"reference-median", usual.MedianToReference, 0.05, 0.95, false, "share of the authorised price under which the market's median is in doubt", nil,
		func(t *Thresholds, x float64) { t.Market.MedianToReference = x }},
	{"price-gap", usual.GapRatio, 1.1, 10, false, "price step that parts two price groups, as a ratio", priceRules,
		func(t *Thresholds, x float64) { t.Market.GapRatio = x }},
	{"gap-sellers", float64(usual.GapSide), 2, 100, true, "least number of seller groups on each side of that step", priceRules,
		func(t *Thresholds, x float64) { t.Market.GapSide = int(x) }},
	{"main-ratio", usual.MainRatio, 0.05, 0.95, false, "share of the centre of the main price group, and of the median with 3 or 4 other sellers, at or under which a price is low; at most price-ratio", priceRules,
		func(t *Thresholds, x float64) { t.Market.MainRatio = x }},
	{"main-score", usual.MainScore, 1, 20, false, "standard deviations from which a price lies under the main price group", priceRules,
		func(t *Thresholds, x float64) { t.Market.MainScore = x }},
	{"mad-floor", usual.MADFloor, 0.005, 1, false, "least MAD of the logarithms of prices that a score is reckoned with", priceRules,
		func(t *Thresholds, x float64) { t.Market.MADFloor = x }},
	{"sellers-ratio", float64(usual.RatioFrom), 3, 1000, true, "other seller groups from which the ratio to the median is given, and that a price class needs", ratioRules,
		func(t *Thresholds, x float64) { t.Market.RatioFrom = int(x) }},
	{"sellers-weak", float64(usual.WeakFrom), 4, 1000, true, "other seller groups from which a weak score is given", priceRules,
		func(t *Thresholds, x float64) { t.Market.WeakFrom = int(x) }},
	{"sellers-full", float64(usual.FullFrom), 5, 1000, true, "other seller groups from which a score has full weight", priceRules,
		func(t *Thresholds, x float64) { t.Market.FullFrom = int(x) }},
	{"median-confidence", usual.Confidence, 0.5, 0.999, false, "probability with which the printed interval encloses the median", nil,
		func(t *Thresholds, x float64) { t.Market.Confidence = x }},
	{"dip-sellers", float64(usual.DipFrom), 4, 100000, true, "seller groups from which the dip test is given", nil,
		func(t *Thresholds, x float64) { t.Market.DipFrom = int(x) }},
	{"reference-days", float64(usual.ReferenceDays), 1, 36500, true, "age in days from which an authorised price is called old", nil,
		func(t *Thresholds, x float64) { t.Market.ReferenceDays = int(x) }},
	{"rate-days", DefaultRateDays, 1, 36500, true, "age in days from which an exchange rate is called old", nil,
		func(t *Thresholds, x float64) { t.RateDays = int(x) }},
	{"photo-distance", photogroup.DefaultBound, 1, photogroup.MaxBound, true, "bits of 64 by which the fingerprints of two copies of a picture may differ", photoRules,
		func(t *Thresholds, x float64) { t.Photos.Bound = int(x) }},
	{"catalogue-sellers", photogroup.DefaultCatalogueSellers, 2, 1000, true, "sellers from which a picture may be common stock of a part", stockRules,
		func(t *Thresholds, x float64) { t.Photos.CatalogueSellers = int(x) }},
	{"catalogue-share", photogroup.DefaultCatalogueShare, 0.05, 1, false, "share of the part's sellers with pictures from which it is", stockRules,
		func(t *Thresholds, x float64) { t.Photos.CatalogueShare = x }},
	// Under 0.7 the search for pairs would miss more than one in a hundred; see
	// the banding in the package texts.
	{"text-likeness", texts.Threshold, 0.7, 1, false, "Jaccard index from which two descriptions are nearly the same", textRules,
		func(t *Thresholds, x float64) { t.Texts.Threshold = x }},
}, limits...)

// Change is one threshold that the user changed.
type Change struct {
	*Threshold
	Value float64
}

// String says what was changed: "threshold price-ratio is 0.5 instead of 0.6".
func (c Change) String() string {
	return fmt.Sprintf("threshold %s is %s instead of %s", c.Name, plain(c.Value), plain(c.Default))
}

// readThresholds checks the pairs of the file. A number that is the default is
// no change.
func (r *reader) readThresholds(list pairs) (t Thresholds, changes []Change) {
	given := map[string]scalar{}
	value := map[string]float64{}
	for _, e := range list {
		i := slices.IndexFunc(ThresholdTable, func(t Threshold) bool { return t.Name == e.key.Value })
		if i < 0 {
			r.fail(&e.key, 0, "no threshold is called %q; `counterfoil rules --thresholds` lists them", e.key.Value)
			continue
		}
		if _, twice := given[e.key.Value]; twice {
			r.fail(&e.key, 0, "%q stands here twice", e.key.Value)
			continue
		}
		given[e.key.Value] = e.value
		threshold := &ThresholdTable[i]
		x, ok := r.number(&e.value)
		switch {
		case !ok:
		case x < threshold.Least || x > threshold.Most:
			r.fail(&e.value, 0, "%s is not between %s and %s", e.value.Value, plain(threshold.Least), plain(threshold.Most))
		case threshold.Whole && x != math.Trunc(x):
			r.fail(&e.value, 0, "%s is not a whole number", e.value.Value)
		default:
			value[threshold.Name] = x
			threshold.set(&t, x)
			if x != threshold.Default {
				changes = append(changes, Change{threshold, x})
			}
		}
	}
	r.checkOrder(given, value)
	return t, changes
}

// checkOrder refuses bands that do not follow each other.
func (r *reader) checkOrder(given map[string]scalar, value map[string]float64) {
	order := []string{"sellers-ratio", "sellers-weak", "sellers-full"}
	of := func(name string) float64 {
		if x, ok := value[name]; ok {
			return x
		}
		return ThresholdTable[slices.IndexFunc(ThresholdTable, func(t Threshold) bool { return t.Name == name })].Default
	}
	for i, name := range order[1:] {
		if of(order[i]) <= of(name) {
			continue
		}
		at, ok := given[name]
		if !ok {
			at = given[order[i]]
		}
		r.fail(&at, 0, "%s (%s) must not be above %s (%s)", order[i], plain(of(order[i])), name, plain(of(name)))
	}
}

// number reads a plain decimal number.
func (r *reader) number(s *scalar) (float64, bool) {
	x, err := strconv.ParseFloat(s.Value, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) || strings.ContainsAny(s.Value, "xX_pP") {
		r.fail(s, 0, "%q is not a number", s.Value)
		return 0, false
	}
	return x, true
}

func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
