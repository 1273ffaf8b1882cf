package rules

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules/userrules"
)

// The user's own rules. The package userrules reads them and knows nothing of
// a batch; here each becomes a Rule like any other, and each fact it may name
// is computed. ownfacts.go computes them.

// RulesFor lists the rules of a run: the built-in ones without those that the
// user switched off, then the user's own. Where the user changed a threshold,
// the rules that depend on it say so in their formula. book may be nil.
func RulesFor(book *userrules.Book) []*Rule {
	if book == nil {
		return All
	}
	var list []*Rule
	for _, r := range All {
		if !slices.Contains(book.Off, r.ID) {
			list = append(list, withChanges(r, book))
		}
	}
	for i := range book.Rules {
		list = append(list, ownRule(&book.Rules[i], book.File))
	}
	return list
}

// WeightChanges says in one line which weights a run replaces, "" when none.
func WeightChanges(list []*Rule, weights map[string]float64) string {
	var changes []string
	for _, r := range list {
		if w, ok := weights[r.ID]; ok && w != r.Weight {
			changes = append(changes, fmt.Sprintf("%s %+g instead of %+g", r.ID, w, r.Weight))
		}
	}
	if len(changes) == 0 {
		return ""
	}
	return "weights changed, in dB: " + strings.Join(changes, "; ")
}

// ReadRules reads a rules file.
func ReadRules(file string, data []byte) (*userrules.Book, error) {
	known := userrules.Known{Rules: IDs()}
	for _, f := range Families {
		known.Families = append(known.Families, string(f))
	}
	return userrules.Read(file, data, known)
}

// thresholds are the numbers of the run; the zero value means the defaults.
func (f *Facts) thresholds() userrules.Thresholds {
	if f.Book == nil {
		return userrules.Thresholds{}
	}
	return f.Book.Thresholds
}

// limit is a threshold of the run by its name in userrules.
func (f *Facts) limit(name string) float64 { return f.thresholds().Limit(name) }

// atLeast reports whether a count reaches a threshold.
func (f *Facts) atLeast(n int, name string) bool { return float64(n) >= f.limit(name) }

// withChanges is the rule, or a copy of it that names the changed thresholds.
func withChanges(r *Rule, book *userrules.Book) *Rule {
	var changes []string
	for _, c := range book.Changed {
		if slices.Contains(c.Rules, r.ID) {
			changes = append(changes, c.String())
		}
	}
	if len(changes) == 0 {
		return r
	}
	changed := *r
	changed.Doc.Formula = strings.TrimSpace(fmt.Sprintf("%s Changed in this run: %s (%s).",
		r.Doc.Formula, strings.Join(changes, "; "), book.File))
	return &changed
}

// ownRule makes a Rule of one of the user's.
func ownRule(own *userrules.Rule, file string) *Rule {
	r := &Rule{ID: own.ID, Family: Family(own.Family), Weight: own.Weight,
		Doc: Doc{Title: own.Title, Meaning: own.Meaning, Innocent: own.Innocent, Ask: own.Ask, Since: "user's own",
			Formula: fmt.Sprintf("%s. It says: %s It quotes: %s. The user's own rule (%s).",
				own.Condition, own.Says, cmp.Or(fieldNames(own.Quote), "what the condition names"), file)}}
	for _, i := range own.Uses() {
		for _, n := range append(slices.Clone(ownFacts[i].needs), factNeed(i)) {
			if n.String() != "" && !slices.Contains(r.Needs, n) {
				r.Needs = append(r.Needs, n)
			}
		}
	}
	r.Run = func(p *Pass) Answer { return p.runOwn(own) }
	return r
}

func fieldNames(list []listing.Name) string {
	names := make([]string, len(list))
	for i, n := range list {
		names[i] = n.String()
	}
	return strings.Join(names, ", ")
}

// runOwn is not assessed when a fact that the condition names is unknown, be
// it only on one side of an 'or'.
func (p *Pass) runOwn(own *userrules.Rule) Answer {
	values := make(map[string]any, len(own.Uses()))
	for _, i := range own.Uses() {
		v, lack := p.fact(i)
		if lack != noNeed {
			return Lacks(lack)
		}
		values[userrules.Facts[i].Name] = v
	}
	holds, err := own.Holds(values)
	switch {
	case err != nil:
		return Lacks(needDivisor)
	case !holds:
		return Silent()
	}
	statement := own.Statement(func(fact int) (any, string, bool) {
		v, lack := p.fact(fact)
		return p.printed(fact, v), p.currencyOf(fact), lack == noNeed
	})
	return Found(statement+p.priceRemarks(own), p.ownQuotes(own)...)
}

// priceRemarks says what a reader must know of a price that the condition
// compares, as the built-in rules do.
func (p *Pass) priceRemarks(own *userrules.Rule) string {
	landed, market := false, false
	for _, i := range own.Uses() {
		switch userrules.Facts[i].Name {
		case "price.landed", "price.reference_ratio":
			landed = true
		case "price.ratio", "price.z":
			landed, market = true, true
		case "market.n", "market.band", "market.median", "market.two_groups":
			market = true
		}
	}
	remarks := ""
	if landed {
		remarks = p.lowerBound()
	}
	if market && p.Market.Widened != "" {
		remarks += " (wider group: " + p.Market.Widened + ")"
	}
	return remarks
}

// currencyOf is the currency of a fact that is an amount.
func (p *Pass) currencyOf(fact int) string {
	if userrules.Facts[fact].Unit == userrules.UnitCompared {
		return p.Market.Price.Currency
	}
	return p.Listing.Value(listing.Currency)
}

// printed gives a money field with its currency, which a bare number in a
// sentence would lack.
func (p *Pass) printed(fact int, v any) any {
	f := &userrules.Facts[fact]
	currency := p.Listing.Value(listing.Currency)
	if text, ok := v.(string); ok && currency != "" && f.Name == "listing."+f.Field.String() {
		switch f.Field {
		case listing.Price, listing.Shipping, listing.CoreDeposit, listing.PriceWas:
			return text + " " + currency
		}
	}
	return v
}

// ownQuotes is the evidence of the user's rule: the fields it wants quoted,
// then those behind the facts of its condition, as far as they were observed.
func (p *Pass) ownQuotes(own *userrules.Rule) []Evidence {
	fields := slices.Clone(own.Quote)
	photos := false
	for _, i := range own.Uses() {
		n := userrules.Facts[i].Field
		photos = photos || n == listing.PhotoFiles
		if strings.HasPrefix(userrules.Facts[i].Name, "serial.") {
			fields = append(fields, serialFields...)
			continue
		}
		fields = append(fields, n)
	}
	var list []Evidence
	done := map[listing.Name]bool{listing.PhotoFiles: photos}
	for _, n := range fields {
		if !done[n] && p.Listing.Has(n) {
			done[n] = true
			list = append(list, p.Quote(n))
		}
	}
	if photos {
		for i := range p.Listing.Photos[:min(len(p.Listing.Photos), 4)] {
			list = append(list, QuotePhoto(&p.Listing.Photos[i]))
		}
	}
	return list
}

// Needs of user's rules: one for each fact, after the built-in ones, so that a
// gap stays two bytes.

// factNeed is the need of a fact.
func factNeed(fact int) Need { return lastNeed + Need(fact) }

// needDivisor is lacking when a condition divides by 0.
var needDivisor = factNeed(len(userrules.Facts))

// factOf finds the fact that a need stands for.
func factOf(n Need) (userrules.Fact, bool) {
	if i := int(n) - int(lastNeed); i >= 0 && i < len(userrules.Facts) {
		return userrules.Facts[i], true
	}
	return userrules.Fact{}, false
}

// lacksFact says what is lacking for a need of a user's rule.
func lacksFact(n Need) string {
	if n == needDivisor {
		return "a value other than 0 to divide by"
	}
	f, ok := factOf(n)
	if !ok || f.Lacks == "" {
		return ""
	}
	return f.Lacks + " (" + f.Name + ")"
}
