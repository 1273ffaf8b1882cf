package market

// Market is one market as a report prints it.
type Market struct {
	Key Key
	// Figures are those of all seller groups, no listing left out.
	Figures
	Band              Band
	Reference         *ReferenceUse // as in Assessment
	MedianToReference float64
	Groups            *TwoGroups
	Dip               *Dip
	// MedianReliable is false with fewer than Settings.RatioFrom prices, with two
	// price groups, and when the median is under the stated share of the
	// reference.
	MedianReliable bool
	Included       []Entry // the price of each seller group, cheapest first
	Excluded       []Entry // by listing
	Warnings       []string
}
