package market

import (
	"cmp"
	"fmt"
	"time"
)

// reference is the reference price chosen for a part, unit type and condition,
// and what is in doubt about it.
type reference struct {
	use   *ReferenceUse
	notes []string
}

// readReferences chooses the reference price of each part, unit type and
// condition: the latest not after the run's day; of several of one day the
// lowest, so that none is accused by the choice; an undated one only when there
// is no other.
func (x *Index) readReferences(refs []Reference, rates *Rates, asOf time.Time) map[Key]reference {
	out := map[Key]reference{}
	for _, r := range refs {
		k := Key{Part: r.Part, Unit: r.Unit, Condition: r.Condition}
		chosen := out[k]
		if why := x.considerReference(&chosen, r, rates, asOf); why != "" {
			chosen.notes = append(chosen.notes, "reference price of "+cmp.Or(r.Date, "unknown date")+" not used: "+why)
		}
		out[k] = chosen
	}
	for k, chosen := range out {
		if chosen.use != nil {
			chosen.notes = append(chosen.notes, x.referenceDoubts(chosen.use, asOf)...)
			out[k] = chosen
		}
	}
	return out
}

// considerReference takes r in place of the chosen one when it is better, or
// says why r cannot be used at all.
func (x *Index) considerReference(chosen *reference, r Reference, rates *Rates, asOf time.Time) string {
	if date, ok := referenceDate(r); ok && day(date) > day(asOf) {
		return "it is later than the run's day"
	}
	price, used, err := rates.Convert(r.Price, x.currency, asOf)
	if err != nil {
		return err.Error()
	}
	if price.Minor <= 0 {
		return "it is not above zero"
	}
	use := &ReferenceUse{Reference: r, InCurrency: price, Rate: used}
	if chosen.use == nil || betterReference(use, chosen.use) {
		chosen.use = use
	}
	return ""
}

func betterReference(a, b *ReferenceUse) bool {
	dateA, _ := referenceDate(a.Reference)
	dateB, _ := referenceDate(b.Reference)
	return cmp.Or(
		-dateA.Compare(dateB),
		cmp.Compare(a.InCurrency.Minor, b.InCurrency.Minor),
		cmp.Compare(a.Source, b.Source),
		cmp.Compare(a.Place, b.Place)) < 0
}

// referenceDate gives the zero time for a text that is no date.
func referenceDate(r Reference) (time.Time, bool) {
	date, err := time.Parse(time.DateOnly, r.Date)
	return date, err == nil
}

func (x *Index) referenceDoubts(use *ReferenceUse, asOf time.Time) []string {
	var out []string
	if date, ok := referenceDate(use.Reference); !ok {
		out = append(out, "reference price without a date")
	} else if age := ageInDays(date, asOf); age > x.s.ReferenceDays {
		out = append(out, fmt.Sprintf("reference price of %s is %d days old", use.Date, age))
	}
	return append(out, use.Rate.Warnings...)
}
