package userrules

// limits are the thresholds that rules ask for by name (Thresholds.Limit). What
// weighs a finding, such as half weight without a second sign, is no threshold:
// the rule's weight is there to change that.
var limits = []Threshold{
	limit("serial-run", 3, 3, 1000, true, "consecutive serials at one seller that make a run", "serial-run"),
	limit("serial-units", 10, 2, 1e6, true, "units under one serial from which the finding has full weight", "serial-quantity"),
	limit("oe-numbers", 20, 2, 1000, true, "OE numbers from which a list is long", "oe-list-long"),
	limit("oe-shapes", 6, 1, 100, true, "shapes of numbers that such a list has", "oe-list-long"),
	limit("gtin-parts", 3, 2, 1000, true, "parts that one GTIN stands on", "gtin-many-parts"),
	limit("gtin-sellers", 3, 2, 1000, true, "other seller groups that agree on another GTIN of the part", "gtin-many-parts"),
	limit("launch-days", 183, 0, 3650, true, "days before the launch month in which a unit or its photo may be of a pilot series", "date-impossible", "photo-date-contradicts"),
	limit("minimum-order", 2, 2, 1e6, true, "units of a minimum order", "bulk-terms"),
	limit("uniform-parts", 5, 2, 10000, true, "parts that a seller offers at one discount", "uniform-discount"),
	limit("uniform-makers", 2, 1, 100, true, "makers of these parts", "uniform-discount"),
	limit("uniform-share", 0.8, 0.5, 1, false, "share of the seller's compared parts that stand at the discount", "uniform-discount"),
	limit("uniform-within", 0.01, 0.0001, 0.2, false, "share of the ratio by which they may differ from it", "uniform-discount"),
	limit("uniform-ratio", 0.7, 0.05, 0.95, false, "share of the authorised price at or under which the discount counts", "uniform-discount"),
	limit("odd-price-ratio", 0.8, 0.05, 1, false, "share of the median at or under which a shared odd price counts", "odd-price-shared"),
	limit("shipping-share", 0.5, 0.05, 100, false, "shipping as a share of the item's price", "shipping-over-price"),
	limit("was-ratio", 2, 1.05, 1000, false, "earlier price as a multiple of the asked one", "was-price-large"),
	limit("discontinued-units", 5, 1, 1e6, true, "units of a discontinued part", "stock-discontinued"),
	limit("account-days", 183, 1, 3650, true, "age in days up to which an account is young", "young-account-stock"),
	limit("account-units", 10, 1, 1e6, true, "new units that such an account offers", "young-account-stock"),
	limit("feedback-fair", 0.95, 0.5, 1, false, "share of good ratings that is fair, where their number is known", "feedback-low"),
	limit("feedback-poor", 0.85, 0.5, 1, false, "share of good ratings under which they are poor, where their number is not known", "feedback-low"),
	limit("feedback-ratings", 20, 1, 1e6, true, "ratings from which their share says something", "feedback-low"),
	limit("collapse-ratio", 0.6, 0.05, 0.95, false, "price as a share of the highest earlier one; at 0.5 or less at full weight", "price-collapse"),
	limit("last-one-runs", 3, 2, 1000, true, "runs that saw a listing with its last unit", "last-one-never-sells"),
}

// Limits lists the thresholds that Thresholds.Limit gives.
func Limits() []Threshold { return limits }

func limit(name string, usual, least, most float64, whole bool, meaning string, rules ...string) Threshold {
	return Threshold{name, usual, least, most, whole, meaning, rules, func(t *Thresholds, x float64) {
		if t.given == nil {
			t.given = map[string]float64{}
		}
		t.given[name] = x
	}}
}

var usualLimits = func() map[string]float64 {
	m := map[string]float64{}
	for _, h := range limits {
		m[h.Name] = h.Default
	}
	return m
}()

// Limit gives a threshold that a rule asks for by name, in the unit of its
// table. An unknown name is a mistake in the program.
func (t Thresholds) Limit(name string) float64 {
	if x, ok := t.given[name]; ok {
		return x
	}
	x, ok := usualLimits[name]
	if !ok {
		panic("no threshold is called " + name)
	}
	return x
}
