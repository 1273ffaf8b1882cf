package evidence

import (
	"fmt"
	"math"
	"strconv"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/market"
)

// plotView is a strip of prices on a logarithmic scale, in the units of its
// picture. Marks differ in form, not in colour alone.
type plotView struct {
	Title, Text string // the text alternative
	Dots        []dot
	Ticks       []label
	Band        *span
	Offer       *label
	Median      *label
	Reference   *label
	BandNote    string
}

type dot struct{ X, Y string }

// label is a mark at X with its text, which begins, is centred or ends at Text.
type label struct {
	X, TextX, Anchor, Text string
}

type span struct{ X, W string }

// The picture: plotLeft to plotRight is the scale, prices stand on plotBase.
const (
	plotLeft, plotRight = 30.0, 690.0
	plotBase            = 128.0
	plotStack           = 64.0 // height for prices that stand above each other
	dotWidth            = 9.0
	// plotDots bounds the number of dots; more are thinned out evenly.
	plotDots = 400
)

// axis turns a price into a place.
type axis struct{ low, high float64 } // natural logarithms

func (x axis) at(price float64) float64 {
	return plotLeft + (plotRight-plotLeft)*(math.Log(price)-x.low)/(x.high-x.low)
}

func axisOf(prices []float64) axis {
	x := axis{math.Inf(1), math.Inf(-1)}
	for _, p := range prices {
		x.low, x.high = min(x.low, math.Log(p)), max(x.high, math.Log(p))
	}
	pad := max(0.05, 0.04*(x.high-x.low))
	return axis{x.low - pad, x.high + pad}
}

// plot draws the prices a listing was compared with; nil when there are none.
func plot(a *market.Assessment, in []market.Entry) *plotView {
	if len(in) == 0 || a.N == 0 || a.Median.Minor <= 0 {
		return nil
	}
	offered := a.Excluded == "" && a.Price.Minor > 0
	prices := []float64{a.Median.Float(), a.Low.Float(), a.High.Float()}
	for _, e := range in {
		prices = append(prices, e.Price.Float())
	}
	if offered {
		prices = append(prices, a.Price.Float())
	}
	if a.Reference != nil {
		prices = append(prices, a.Reference.InCurrency.Float())
	}
	x := axisOf(prices)
	v := &plotView{Dots: dots(x, in), Ticks: ticks(x), Median: mark(x, a.Median, "median "),
		Band:     &span{unit(x.at(a.Low.Float())), unit(max(1, x.at(a.High.Float())-x.at(a.Low.Float())))},
		BandNote: fmt.Sprintf("interval of the median, %s to %s", rules.Money(a.Low), rules.Money(a.High))}
	if offered {
		v.Offer = mark(x, a.Price, "this offer ")
	}
	if a.Reference != nil {
		v.Reference = mark(x, a.Reference.InCurrency, "reference ")
	}
	v.Title = fmt.Sprintf("Prices of %s on a logarithmic scale", report.Plural(len(in), "other seller group"))
	v.Text = plotText(a, in, offered)
	return v
}

func unit(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }

// mark places a label beside its line, away from the edge that is near.
func mark(x axis, a listing.Amount, name string) *label {
	at := x.at(a.Float())
	l := &label{X: unit(at), TextX: unit(at + 6), Anchor: "start", Text: name + rules.Money(a)}
	if at > (plotLeft+plotRight)/2 {
		l.TextX, l.Anchor = unit(at-6), "end"
	}
	return l
}

// dots stacks prices that would cover each other.
func dots(x axis, in []market.Entry) []dot {
	step := (len(in) + plotDots - 1) / plotDots
	heights := map[int]int{}
	most := 1
	for i := 0; i < len(in); i += step {
		column := int(x.at(in[i].Price.Float()) / dotWidth)
		heights[column]++
		most = max(most, heights[column])
	}
	rise := min(dotWidth, plotStack/float64(most))
	clear(heights)
	var list []dot
	for i := 0; i < len(in); i += step {
		at := x.at(in[i].Price.Float())
		column := int(at / dotWidth)
		list = append(list, dot{unit(at), unit(plotBase - 6 - rise*float64(heights[column]))})
		heights[column]++
	}
	return list
}

// ticks are round prices: powers of ten where the scale is very long, else steps
// of 1, 2 and 5, or even steps where it is short.
func ticks(x axis) []label {
	at := steps(x, 1, 2, 5)
	switch n := inside(x, at); {
	case n > 10:
		at = steps(x, 1)
	case n < 4:
		at = evenSteps(math.Exp(x.low), math.Exp(x.high))
	}
	var list []label
	for _, p := range at {
		if l := math.Log(p); l >= x.low && l <= x.high {
			list = append(list, label{X: unit(x.at(p)), Text: short(p)})
		}
	}
	return list
}

// steps are the given multiples of the powers of ten around a scale.
func steps(x axis, multiples ...float64) (at []float64) {
	for exp := math.Floor(x.low / math.Ln10); exp <= math.Ceil(x.high/math.Ln10); exp++ {
		for _, m := range multiples {
			at = append(at, m*math.Pow(10, exp))
		}
	}
	return at
}

// evenSteps are at least four round steps between two prices.
func evenSteps(low, high float64) (at []float64) {
	step := math.Pow(10, math.Floor(math.Log10((high-low)/4)))
	for _, m := range []float64{5, 2} {
		if (high-low)/(m*step) >= 4 {
			step *= m
			break
		}
	}
	for k := math.Ceil(low / step); k*step <= high; k++ {
		at = append(at, k*step)
	}
	return at
}

// short prints a round price without the noise of its binary form.
func short(p float64) string {
	round, _ := strconv.ParseFloat(strconv.FormatFloat(p, 'g', 6, 64), 64)
	return strconv.FormatFloat(round, 'f', -1, 64)
}

func inside(x axis, at []float64) (n int) {
	for _, p := range at {
		if l := math.Log(p); l >= x.low && l <= x.high {
			n++
		}
	}
	return n
}

// plotText says in words what the picture shows.
func plotText(a *market.Assessment, in []market.Entry, offered bool) string {
	low, high := in[0].Price, in[len(in)-1].Price
	text := fmt.Sprintf("%s from %s to %s. The median is %s, its interval %s to %s.", report.Plural(len(in), "price"),
		rules.Money(low), rules.Money(high), rules.Money(a.Median), rules.Money(a.Low), rules.Money(a.High))
	if a.Reference != nil {
		text += fmt.Sprintf(" The reference price is %s.", rules.Money(a.Reference.InCurrency))
	}
	if offered {
		below := 0
		for _, e := range in {
			if e.Price.Minor < a.Price.Minor {
				below++
			}
		}
		text += fmt.Sprintf(" This offer costs %s; %d of %d prices are lower.", rules.Money(a.Price), below, len(in))
	}
	return text
}
