package market

import "counterfoil/parse/listing"

// Band says what the number of other seller groups allows.
type Band string

// The bands, by Settings.RatioFrom, WeakFrom and FullFrom.
const (
	BandNone  Band = "none"       // nothing is said
	BandRatio Band = "ratio-only" // the ratio to the median, no score
	BandWeak  Band = "weak"       // a score, to be taken with doubt
	BandFull  Band = "full"
)

// Figures are the statistics of a set of prices. N counts seller groups; with
// N 0 all others are zero.
type Figures struct {
	N      int            // prices, one for each seller group
	Offers int            // offers behind them
	Median listing.Amount // geometric mean of the middle two when N is even
	// MAD is the raw median absolute deviation of the natural logarithms.
	MAD float64
	// Scale is what the score divides by, in MAD units: MAD times the
	// finite-sample factor, or its substitute when MAD is 0, not under the floor.
	// It is 0 when all prices are equal: then there is no score.
	Scale float64
	// Low and High bound the median; the order statistics that do so with at
	// least the wanted confidence, else the least and the greatest price.
	Low, High listing.Amount
	Coverage  float64 // exact probability that Low and High enclose the median
}

// TwoGroups describes a market whose prices fall apart. The market is taken
// whole, the tested listing included, so that all its listings are told the
// same.
type TwoGroups struct {
	LowerN, UpperN           int // seller groups
	LowerMedian, UpperMedian listing.Amount
	// LowerTop and UpperBottom are the prices on both sides of the gap.
	LowerTop, UpperBottom listing.Amount
}

// MainGroup is the group of a market's prices, taken whole, in which the genuine
// part is to be looked for (robust.Sample.Core).
type MainGroup struct {
	N         int // seller groups in it
	Low, High listing.Amount
	Centre    listing.Amount // geometric mean of the prices in it
	// SD is the standard deviation of the natural logarithms, estimated from the
	// prices over Centre and an expected value.
	SD     float64
	centre float64 // log price
}

// Dip is the dip test of unimodality of a market's log prices, which only
// supports the finding of two price groups.
type Dip struct {
	D        float64
	Critical float64 // 5 % point for this number of prices
	// Significant says that D is over Critical: more than one price group is
	// likely.
	Significant bool
}

// ReferenceUse is a reference price as compared.
type ReferenceUse struct {
	Reference
	// InCurrency is the price in the run's currency.
	InCurrency listing.Amount
	Rate       RateUsed
}

// Assessment is the result for one listing. Ratios and scores are 0 when they
// are not given; Band, Scored and Reference say whether they are.
type Assessment struct {
	Listing int
	Key     Key
	// Widened is "" when the listing was compared within its own market, else
	// the label of the wider group that was used because its own is too small.
	Widened string
	// Excluded is the reason why the listing's price cannot be compared, or "".
	// With a reason, no verdict is given.
	Excluded string
	// Price is in the run's currency, Listed in the listing's own.
	Price, Listed listing.Amount
	Rate          RateUsed
	LowerBound    bool
	// Figures are those of the other seller groups.
	Figures
	Band   Band
	Scored bool
	// Score is the modified z-score of the log price, 0.6745 (x - median) /
	// Scale (Iglewicz & Hoaglin 1993); negative below the median.
	Score float64
	// Ratio is the price divided by the median, from BandRatio on.
	Ratio float64
	// Reference is nil when there is none, or when the claim names another
	// product than the genuine part.
	Reference         *ReferenceUse
	RatioToReference  float64 // price divided by the reference
	MedianToReference float64 // median divided by it, from BandRatio on
	Groups            *TwoGroups
	Main              *MainGroup // nil under Settings.WeakFrom sellers
	MainRatio         float64    // price divided by the centre of Main
	MainScore         float64    // ln(MainRatio) / Main.SD
	Dip               *Dip

	// LowOutlier: a score at or under the cut-off and a ratio at or under the
	// threshold.
	LowOutlier bool
	// LowRatio: a ratio at or under the threshold, whether there is a score or
	// not; with BandRatio at or under Settings.MainRatio, and no reference price
	// shows the listing to be dear enough.
	LowRatio bool
	// BelowReference: at or under the stated share of the reference price.
	BelowReference bool
	// LowerGroup: the market has two price groups and the price belongs to the
	// lower.
	LowerGroup bool
	// UnderMain: MainRatio and MainScore at or under their settings, and no
	// reference price shows the listing to be dear enough. It finds low prices that are too many for
	// LowOutlier and without the gap that LowerGroup needs. It goes beyond the
	// published score, and is a proposal to be validated.
	UnderMain bool
	// Normal: from BandWeak on, none of the above, no score under the cut-off, and
	// nothing that makes the median unreliable: no two price groups, no
	// significant dip, neither median nor price far under the reference. It clears
	// nothing, and without a reference a market of mostly copies passes for
	// normal.
	Normal bool
	// Warnings say what is in doubt, in a fixed order.
	Warnings []string
}

// Raised reports whether the price by itself is a reason to look.
func (a Assessment) Raised() bool {
	return a.LowOutlier || a.BelowReference || a.LowerGroup || a.UnderMain
}
