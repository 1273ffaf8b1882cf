package market

import (
	"fmt"
	"math"

	"counterfoil/parse/listing"
	"counterfoil/rules/robust"
)

// wideLabel names the wider group of Assessment.Widened.
const wideLabel = "any claim except compatible, copy and hedged"

// Assess compares one listing with its market, its own seller group left out.
// It takes O(log n). An unknown number gives an Assessment with the reason in
// Excluded.
func (x *Index) Assess(number int) Assessment {
	a, doubts := x.compare(number)
	if m := doubts.m; m != nil {
		a.Warnings = x.listingNotes(&a, doubts.v, doubts.substitute, m)
	}
	return a
}

// Compare is Assess without the Warnings, whose wording takes most of its time.
func (x *Index) Compare(number int) Assessment {
	a, _ := x.compare(number)
	return a
}

// doubts is what the warnings of a comparison are worded from; m is nil when
// there are none.
type doubts struct {
	m          *market
	v          view
	substitute bool
}

func (x *Index) compare(number int) (a Assessment, d doubts) {
	a = Assessment{Listing: number, Band: BandNone}
	i, known := x.at(number)
	if !known {
		a.Excluded = "not among the offers"
		return a, d
	}
	o := &x.offers[i]
	a.Key = x.keys[o.key]
	a.Excluded, a.Listed, a.Price, a.LowerBound = x.reasons[o.reason], x.listed(o), x.amount(o), o.lowerBound
	if a.Excluded == "" {
		a.Rate = x.listedIn[o.listedIn].used
	}
	if o.market < 0 {
		return a, d
	}
	m := x.markets[o.market]
	v, wide := x.others(o, m)
	if wide {
		a.Widened = wideLabel
	}
	var substitute bool
	a.Figures, substitute = v.figures(x.s.MADFloor)
	a.Band = x.band(a.N)
	a.Reference, a.Groups, a.Main, a.Dip = m.ref.use, m.groups, m.main, m.dip
	if a.Excluded == "" {
		price := math.Log(a.Price.Float())
		x.measure(&a, price, v.sample)
		x.judge(&a, price, m)
	} else if a.Reference != nil && a.Band != BandNone {
		a.MedianToReference = a.Median.Float() / a.Reference.InCurrency.Float()
	}
	return a, doubts{m, v, substitute}
}

// amount is the offer's price in the run's currency, zero when it has none.
func (x *Index) amount(o *offer) listing.Amount {
	if o.price == 0 {
		return listing.Amount{}
	}
	return listing.Amount{Minor: o.price, Currency: x.currency}
}

// listed is the offer's price in the listing's own currency.
func (x *Index) listed(o *offer) listing.Amount {
	return listing.Amount{Minor: o.listed, Currency: x.listedIn[o.listedIn].currency}
}

// others gives the prices the offer is compared with: its market's, or those of
// the wider group when only that has enough.
func (x *Index) others(o *offer, m *market) (v view, wide bool) {
	v = m.pool.view(o.place)
	if m.wide == nil || v.sample.Len() >= x.s.RatioFrom {
		return v, false
	}
	if w := m.wide.view(o.widePlace); w.sample.Len() >= x.s.RatioFrom {
		return w, true
	}
	return v, false
}

func (x *Index) band(n int) Band {
	switch {
	case n < x.s.RatioFrom:
		return BandNone
	case n < x.s.WeakFrom:
		return BandRatio
	case n < x.s.FullFrom:
		return BandWeak
	}
	return BandFull
}

// measure sets the numbers of an offer of the given log price.
func (x *Index) measure(a *Assessment, price float64, others robust.Sample) {
	if a.Reference != nil {
		a.RatioToReference = a.Price.Float() / a.Reference.InCurrency.Float()
	}
	if a.Main != nil {
		a.MainRatio = math.Exp(price - a.Main.centre)
		a.MainScore = (price - a.Main.centre) / a.Main.SD
	}
	if a.Band == BandNone {
		return
	}
	median := others.Median()
	a.Ratio = math.Exp(price - median)
	if a.Reference != nil {
		a.MedianToReference = math.Exp(median) / a.Reference.InCurrency.Float()
	}
	if a.Band != BandRatio && a.Scale > 0 {
		a.Scored = true
		a.Score = robust.ModifiedZ(price, median, a.Scale)
	}
}

// judge sets the verdicts. A listing that makes no claim to be genuine is no low
// outlier of a wider group, since it may be honest aftermarket.
func (x *Index) judge(a *Assessment, price float64, m *market) {
	if a.Band != BandNone && (a.Widened == "" || a.Key.Claim == ClaimGenuine) {
		a.LowRatio = a.Ratio <= x.s.Ratio+tolerance
		if a.Band == BandRatio { // no score stands beside it
			a.LowRatio = a.Ratio <= x.s.MainRatio+tolerance && !x.dearEnough(a)
		}
		a.LowOutlier = a.LowRatio && a.Scored && a.Score <= -x.s.Score
	}
	a.BelowReference = a.Reference != nil && a.RatioToReference <= x.s.ReferenceRatio+tolerance
	a.LowerGroup = m.groups != nil && price < m.cut-tolerance && !x.vindicated(m)
	a.UnderMain = a.Main != nil && a.MainRatio <= x.s.MainRatio+tolerance && a.MainScore <= -x.s.MainScore && !x.dearEnough(a)
	a.Normal = (a.Band == BandWeak || a.Band == BandFull) && a.Widened == "" &&
		!a.Raised() && !a.LowRatio && (!a.Scored || a.Score > -x.s.Score) &&
		m.groups == nil && (m.dip == nil || !m.dip.Significant) &&
		!x.tooLow(a.Reference, a.RatioToReference) && !x.tooLow(a.Reference, a.MedianToReference)
}

// vindicated says that the reference price shows the lower of two price groups
// to be no cheaper than the genuine part may be.
func (x *Index) vindicated(m *market) bool {
	return m.ref.use != nil &&
		!x.tooLow(m.ref.use, m.groups.LowerMedian.Float()/m.ref.use.InCurrency.Float())
}

// dearEnough says that a reference price shows the listing to be no cheaper than
// the genuine part may be.
func (x *Index) dearEnough(a *Assessment) bool {
	return a.Reference != nil && !x.tooLow(a.Reference, a.RatioToReference)
}

// tooLow says that a price or median is under the share of the reference that a
// median must have. A ratio of 0 is not known.
func (x *Index) tooLow(ref *ReferenceUse, ratio float64) bool {
	return ref != nil && ratio > 0 && ratio < x.s.MedianToReference-tolerance
}

// listingNotes lists what is in doubt about one comparison.
func (x *Index) listingNotes(a *Assessment, v view, substitute bool, m *market) []string {
	var out []string
	if a.Widened != "" {
		out = append(out, "wider group: "+a.Widened)
	}
	if a.LowerBound {
		out = append(out, "shipping not observed: the price is a lower bound")
	}
	out = append(out, x.figureNotes(a.Figures, a.Band, a.Reference, a.MedianToReference, v, substitute)...)
	out = append(out, m.notes...)
	return append(out, a.Rate.Warnings...)
}

// figureNotes lists what is in doubt about a set of prices.
func (x *Index) figureNotes(f Figures, b Band, ref *ReferenceUse, medianToReference float64, v view, substitute bool) []string {
	var out []string
	switch b {
	case BandNone:
		out = append(out, fmt.Sprintf("sellers compared: %d; nothing is said under %d", f.N, x.s.RatioFrom))
	case BandRatio:
		out = append(out, fmt.Sprintf("sellers compared: %d; no score under %d", f.N, x.s.WeakFrom))
	case BandWeak:
		out = append(out, fmt.Sprintf("sellers compared: %d; the score is weak under %d", f.N, x.s.FullFrom))
	}
	if b == BandWeak || b == BandFull {
		switch {
		case f.Scale == 0:
			out = append(out, "all prices are equal: ratio only")
		case substitute:
			out = append(out, "MAD is 0: the score uses the mean absolute deviation")
		case f.Scale == x.s.MADFloor:
			out = append(out, fmt.Sprintf("MAD of log prices is raised to %v", x.s.MADFloor))
		}
	}
	if x.tooLow(ref, medianToReference) {
		out = append(out, fmt.Sprintf("the median is %.2f x the reference price: most of these offers may be copies", medianToReference))
	}
	lowerBounds, noSeller := v.doubts(x.offers)
	if lowerBounds > 0 {
		out = append(out, fmt.Sprintf("prices that are lower bounds, shipping not observed: %d", lowerBounds))
	}
	if noSeller > 0 {
		out = append(out, fmt.Sprintf("prices of unknown sellers, each counted by itself: %d", noSeller))
	}
	return out
}

// marketNotes lists the warnings that hold for the market as a whole.
func (x *Index) marketNotes(m *market) []string {
	var out []string
	if g := m.groups; g != nil {
		out = append(out, fmt.Sprintf("two price groups, median unreliable: %d sellers around %s, %d around %s %s",
			g.LowerN, g.LowerMedian, g.UpperN, g.UpperMedian, x.currency))
	}
	if m.dip != nil && m.dip.Significant {
		out = append(out, fmt.Sprintf("dip test: more than one price group is likely (D %.3f, 5 %% point %.3f)",
			m.dip.D, m.dip.Critical))
	}
	return append(out, m.ref.notes...)
}
