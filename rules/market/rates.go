package market

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"counterfoil/parse/listing"
)

// Rate is one dated exchange rate: 1 unit of From is worth Value units of To.
type Rate struct {
	From, To string // ISO 4217 codes
	Value    float64
	Date     time.Time // only the day counts
	Source   string    // who says so, as printed
	Place    string    // where in the settings it stands
}

// RateUsed says how an amount was converted. The zero value means that nothing
// had to be.
type RateUsed struct {
	// Steps holds one rate, or two when the conversion went through a third
	// currency, in order.
	Steps []RateStep
	// Factor is the product: 1 unit of the source in units of the target.
	Factor float64
	// Warnings name rates that were old at the time of use.
	Warnings []string
}

// RateStep is one rate in use.
type RateStep struct {
	Rate
	Inverse bool // used from To to From
}

// String prints the rates: "1 CHF = 1.05 EUR (2026-01-02, central bank)"; an
// inverse step is printed as the rate stands in the settings.
func (u RateUsed) String() string {
	var parts []string
	for _, s := range u.Steps {
		note := s.Date.Format(time.DateOnly)
		if s.Source != "" {
			note += ", " + s.Source
		}
		if s.Inverse {
			note += ", inverse"
		}
		parts = append(parts, fmt.Sprintf("1 %s = %v %s (%s)", s.From, s.Value, s.To, note))
	}
	return strings.Join(parts, "; ")
}

// NoRateError says that no chain of at most two rates leads to the currency.
type NoRateError struct {
	From, To string
}

func (e NoRateError) Error() string { return "no rate " + e.From + " to " + e.To }

// Rates is a table of dated exchange rates. It does not change after NewRates
// and may be used by several goroutines. A nil table converts nothing.
type Rates struct {
	pairs   map[[2]string][]Rate // by currency pair as given, oldest first
	codes   []string             // all currencies, sorted
	maxDays int
}

// NewRates makes a table. Rates older than maxDays when used give a warning; 0
// means never. Rates that are not positive numbers are left out: the reader of
// the settings refuses them before.
func NewRates(list []Rate, maxDays int) *Rates {
	r := &Rates{pairs: map[[2]string][]Rate{}, maxDays: maxDays}
	for _, rate := range list {
		if !(rate.Value > 0) || math.IsInf(rate.Value, 0) || rate.From == rate.To {
			continue
		}
		pair := [2]string{rate.From, rate.To}
		r.pairs[pair] = append(r.pairs[pair], rate)
		r.codes = append(r.codes, rate.From, rate.To)
	}
	for _, dated := range r.pairs {
		slices.SortStableFunc(dated, func(a, b Rate) int { return strings.Compare(day(a.Date), day(b.Date)) })
	}
	slices.Sort(r.codes)
	r.codes = slices.Compact(r.codes)
	return r
}

// Convert gives a in another currency, by the latest rate not after the day of
// at. A rate may be used inversely; of a direct and an inverse rate the later
// is used, of two of the same day the one that stands later in the table. If
// there is neither, one step through a third currency is allowed: the one whose
// older rate is the youngest, by the alphabet in a tie. The amount is rounded to
// the minor unit, half away from zero. The error is a NoRateError, or says that
// the amount is too large.
func (r *Rates) Convert(a listing.Amount, to string, at time.Time) (listing.Amount, RateUsed, error) {
	used, err := r.between(a.Currency, to, at)
	if err != nil || len(used.Steps) == 0 {
		return a, used, err
	}
	out, err := used.apply(a, to)
	return out, used, err
}

func (u RateUsed) apply(a listing.Amount, to string) (listing.Amount, error) {
	return listing.AmountOf(a.Float()*u.Factor, to)
}

// between finds the rates that lead from one currency to another.
func (r *Rates) between(from, to string, at time.Time) (RateUsed, error) {
	if from == to {
		return RateUsed{}, nil
	}
	if r == nil {
		return RateUsed{}, NoRateError{from, to}
	}
	if s, ok := r.step(from, to, at); ok {
		return r.use(at, s), nil
	}
	var best []RateStep
	var bestDay string
	for _, via := range r.codes {
		first, ok1 := r.step(from, via, at)
		second, ok2 := r.step(via, to, at)
		if !ok1 || !ok2 {
			continue
		}
		if d := min(day(first.Date), day(second.Date)); best == nil || d > bestDay {
			best, bestDay = []RateStep{first, second}, d
		}
	}
	if best == nil {
		return RateUsed{}, NoRateError{from, to}
	}
	return r.use(at, best...), nil
}

// step gives the latest rate between two currencies, in either direction.
func (r *Rates) step(from, to string, at time.Time) (RateStep, bool) {
	direct, ok := r.latest(from, to, at)
	inverse, okInverse := r.latest(to, from, at)
	if okInverse && (!ok || day(inverse.Date) > day(direct.Date)) {
		return RateStep{inverse, true}, true
	}
	return RateStep{direct, false}, ok
}

func (r *Rates) latest(from, to string, at time.Time) (Rate, bool) {
	dated, limit := r.pairs[[2]string{from, to}], day(at)
	// The first rate after the day of at; the one before it is wanted.
	i, _ := slices.BinarySearchFunc(dated, limit, func(a Rate, limit string) int {
		return cmp.Or(strings.Compare(day(a.Date), limit), -1)
	})
	if i == 0 {
		return Rate{}, false
	}
	return dated[i-1], true
}

func (r *Rates) use(at time.Time, steps ...RateStep) RateUsed {
	u := RateUsed{Steps: steps, Factor: 1}
	for _, s := range steps {
		if s.Inverse {
			u.Factor /= s.Value
		} else {
			u.Factor *= s.Value
		}
		if age := ageInDays(s.Date, at); r.maxDays > 0 && age > r.maxDays {
			u.Warnings = append(u.Warnings, fmt.Sprintf("rate %s to %s of %s is %d days old",
				s.From, s.To, s.Date.Format(time.DateOnly), age))
		}
	}
	return u
}

// day is the date as text, which orders as dates do for years 0 to 9999.
func day(t time.Time) string { return t.Format(time.DateOnly) }

func ageInDays(then, now time.Time) int {
	return int(midnight(now).Sub(midnight(then)).Hours() / 24)
}

func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
}
