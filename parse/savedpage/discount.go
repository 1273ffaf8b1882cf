package savedpage

import (
	"math"
	"strconv"
	"strings"
)

// maxReductions bounds the texts that are looked at.
const maxReductions = 60

// discounts finds the earlier price of an item by arithmetic: of two sums in
// one small part of the page, the greater is the earlier one when a percentage
// there is just the difference. Neither names nor strike-through are needed, so
// it holds for pages whose style sheet strikes the price out.
func (r *reader) discounts(list []spot) {
	p := r.p
	seen := 0
	for _, i := range p.texts {
		x := &p.nodes[i]
		if len(x.n.Data) > 40 || x.ctx&(noText|hidden|side|chrome) != 0 || strings.IndexByte(x.n.Data, '%') < 0 {
			continue
		}
		percent, ok := percentage(x.n.Data)
		if !ok {
			continue
		}
		if seen++; seen > maxReductions {
			return
		}
		var near []*spot
		for k := range list {
			if s := &list[k]; r.near(s.i, i, 60) {
				near = append(near, s)
			}
		}
		for _, was := range near {
			for _, now := range near {
				if now.was || was.amount <= now.amount {
					continue
				}
				if math.Abs(100*(1-now.amount/was.amount)-percent) < 1 {
					was.was = true
				}
			}
		}
	}
}

// percentage reads the one number before the percent sign of a text: "−15 %",
// "15% off".
func percentage(s string) (float64, bool) {
	before, after, _ := strings.Cut(s, "%")
	if hasDigit(after) {
		return 0, false
	}
	before = strings.TrimRight(before, " \u00a0\u202f")
	start := len(before)
	for start > 0 && (before[start-1] >= '0' && before[start-1] <= '9' || before[start-1] == '.' || before[start-1] == ',') {
		start--
	}
	if hasDigit(before[:start]) {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(before[start:], ",", "."), 64)
	return v, err == nil && v >= 2 && v < 95
}

// withoutTaxOf reports whether a price is another one without a tax of whole
// per cents: 5 to 27, the rates of the European Union (Directive 2006/112/EC
// and the rates that its members apply).
func withoutTaxOf(net, gross float64) bool {
	for rate := 5.0; rate <= 27; rate++ {
		if math.Abs(net*(1+rate/100)-gross) < 0.006 {
			return true
		}
	}
	return false
}
