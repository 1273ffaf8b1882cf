package dossier

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

type partView struct {
	*Set
	*Part
	Listings, Accounts int
	Currency           string
	Others             []string // amounts in other currencies, which are not drawn
	Plot               *plot
	Rows               []priceRow
	Thinned            int // looks left out of the table
}

// priceRow is a look: prices of one unit on offer then.
type priceRow struct {
	Day             time.Time
	New, Other      int
	NewText, OthTxt string // lowest, median, highest
}

// plot is drawn in the units of its picture.
type plot struct {
	Title, Text string
	Lines       []line
	X, Y        []tick
	Median      string // points of the line through the medians of new units
}

type line struct {
	X1, X2, Y string
	New       bool
}

type tick struct{ At, Text string }

const (
	left, right, top, bottom = 70.0, 880.0, 16.0, 300.0
	mostLines                = 1500
	mostLooks                = 60
)

func (s *Set) partView(p *Part) partView {
	v := partView{Set: s, Part: p}
	listings, sellers, currencies := map[string]bool{}, map[string]bool{}, map[string]int{}
	for i := range p.States {
		e := &p.States[i]
		listings[e.Key] = true
		if e.Seller != "" {
			sellers[e.Seller] = true
		}
		if e.Price.Minor > 0 {
			currencies[e.Price.Currency]++
		}
	}
	v.Listings, v.Accounts = len(listings), len(sellers)
	var names []string
	for c := range currencies {
		names = append(names, c)
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(cmp.Compare(currencies[b], currencies[a]), cmp.Compare(a, b)) })
	if len(names) == 0 {
		return v
	}
	v.Currency = names[0]
	for _, c := range names[1:] {
		v.Others = append(v.Others, fmt.Sprintf("%s in %s", report.Plural(currencies[c], "price"), c))
	}
	var drawn []*rules.Earlier
	for i := range p.States {
		if e := &p.States[i]; e.Price.Minor > 0 && e.Price.Currency == v.Currency {
			drawn = append(drawn, e)
		}
	}
	medians := v.looks(drawn)
	v.Plot = v.draw(drawn, medians)
	return v
}

type point struct {
	at    time.Time
	price float64
}

// until is when a state was seen last: a page may state an earlier time than
// that of the run that read it.
func until(e *rules.Earlier) time.Time {
	if e.LastRun.After(e.Last) {
		return e.LastRun
	}
	return e.Last
}

// looks fills the rows, and gives the medians of new units. A price counts at a
// run when it was seen then or both before and after.
func (v *partView) looks(drawn []*rules.Earlier) (medians []point) {
	var rows []priceRow
	for _, at := range v.Runs {
		var fresh, other []listing.Amount
		for _, e := range drawn {
			if sameDayOrBefore(e.First, at) && sameDayOrBefore(at, until(e)) {
				if e.Condition == listing.New {
					fresh = append(fresh, unitPrice(e))
				} else {
					other = append(other, unitPrice(e))
				}
			}
		}
		if len(fresh)+len(other) == 0 {
			continue
		}
		rows = append(rows, priceRow{at, len(fresh), len(other), rangeText(fresh), rangeText(other)})
		if len(fresh) > 0 {
			medians = append(medians, point{at, median(fresh).Float()})
		}
	}
	step := (len(rows) + mostLooks - 1) / mostLooks
	for i, r := range rows {
		if (len(rows)-1-i)%max(step, 1) == 0 { // the last one always
			v.Rows = append(v.Rows, r)
		}
	}
	v.Thinned = len(rows) - len(v.Rows)
	return medians
}

func sameDayOrBefore(a, b time.Time) bool {
	return a.UTC().Format(time.DateOnly) <= b.UTC().Format(time.DateOnly)
}

// median sorts the amounts; of an even number it is the lower of the middle two.
func median(list []listing.Amount) listing.Amount {
	slices.SortFunc(list, func(a, b listing.Amount) int { return cmp.Compare(a.Minor, b.Minor) })
	return list[(len(list)-1)/2]
}

func rangeText(list []listing.Amount) string {
	if len(list) == 0 {
		return ""
	}
	m := median(list)
	if len(list) == 1 {
		return m.String()
	}
	return fmt.Sprintf("%s / %s / %s", list[0], m, list[len(list)-1])
}

func (v *partView) draw(drawn []*rules.Earlier, medians []point) *plot {
	from, to := drawn[0].First, until(drawn[0])
	low, high := math.Inf(1), math.Inf(-1)
	for _, e := range drawn {
		if e.First.Before(from) {
			from = e.First
		}
		if last := until(e); last.After(to) {
			to = last
		}
		p := math.Log(unitPrice(e).Float())
		low, high = min(low, p), max(high, p)
	}
	if to.Sub(from) < 24*time.Hour {
		from, to = from.Add(-12*time.Hour), to.Add(12*time.Hour)
	}
	pad := max(0.05, 0.05*(high-low))
	low, high = low-pad, high+pad
	x := func(t time.Time) float64 { return left + (right-left)*float64(t.Sub(from))/float64(to.Sub(from)) }
	y := func(price float64) float64 { return bottom - (bottom-top)*(math.Log(price)-low)/(high-low) }
	pl := &plot{Title: "Prices of one unit over time, " + v.Currency + ", logarithmic scale"}
	step := (len(drawn) + mostLines - 1) / mostLines
	for i := 0; i < len(drawn); i += step {
		e := drawn[i]
		pl.Lines = append(pl.Lines, line{unit(x(e.First) - 2), unit(x(until(e)) + 2), unit(y(unitPrice(e).Float())), e.Condition == listing.New})
	}
	for _, m := range medians {
		if !m.at.Before(from) && !m.at.After(to) {
			pl.Median += unit(x(m.at)) + "," + unit(y(m.price)) + " "
		}
	}
	pl.X = []tick{{unit(x(from)), from.UTC().Format(time.DateOnly)}, {unit(x(from.Add(to.Sub(from) / 2))), from.Add(to.Sub(from) / 2).UTC().Format(time.DateOnly)}, {unit(x(to)), to.UTC().Format(time.DateOnly)}}
	for e := math.Floor(low / math.Ln10); e <= math.Ceil(high/math.Ln10); e++ {
		for _, m := range []float64{1, 1.5, 2, 3, 5, 7} {
			if p := m * math.Pow(10, e); math.Log(p) > low && math.Log(p) < high {
				pl.Y = append(pl.Y, tick{unit(y(p)), strconv.FormatFloat(p, 'f', -1, 64)})
			}
		}
	}
	pl.Text = fmt.Sprintf("%s from %s to %s. Each line is a price for as long as it was seen; full lines are new units, broken lines others, and the thick line joins the medians of new units. The table below has the figures.",
		report.Plural(len(drawn), "price"), from.UTC().Format(time.DateOnly), to.UTC().Format(time.DateOnly))
	return pl
}

func unit(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }
