package market

import "math"

// Settings are the thresholds of the comparison. All are engineering proposals
// unless a source is named, to be validated on labelled listings; Defaults
// gives their values. A field left at zero takes its default.
type Settings struct {
	// Score is the modified z-score at or below which a price is a low outlier,
	// as a positive number: 3.5 (Iglewicz & Hoaglin 1993).
	Score float64
	// Ratio is the share of the median at or under which a low score matters:
	// 0.6.
	Ratio float64
	// ReferenceRatio is the share of the reference price at or under which a
	// listing is under the plausible cost: 0.5.
	ReferenceRatio float64
	// MedianToReference is the share of the reference price under which the
	// market's median itself is in doubt, and no price is called normal: 0.6.
	MedianToReference float64
	// GapRatio is the price step that parts two price groups: 1.6, that is
	// ln 1.6 on the log scale.
	GapRatio float64
	// GapSide is the least number of seller groups on each side of it: 3.
	GapSide int
	// MainRatio and MainScore are for the main price group: the share of its
	// centre at or under which, and the number of standard deviations from which,
	// a price lies under it: 0.56 and 2.5. MainRatio is at most Ratio. Miller (1991) and Leys et al. (2013) call
	// 2.5 moderately conservative (from memory); both were chosen on simulated
	// markets so that clean ones raise under 1 % of honest offers.
	MainRatio, MainScore float64
	// MADFloor is the least MAD of log prices that a score is computed with:
	// 0.05, about 5 % of the price.
	MADFloor float64
	// RatioFrom, WeakFrom and FullFrom are the numbers of other seller groups
	// from which the ratio is given (3), a weak score (5) and a full one (10).
	RatioFrom, WeakFrom, FullFrom int
	// Confidence is the wanted coverage of the interval for the median: 0.95.
	Confidence float64
	// ReferenceDays is the age in days from which a reference price is called
	// old: 365.
	ReferenceDays int
	// DipFrom is the number of seller groups from which the dip test is given as
	// supporting information: 10.
	DipFrom int
}

// Defaults gives the settings that apply when the user gives none.
func Defaults() Settings {
	return Settings{
		Score: 3.5, Ratio: 0.6, ReferenceRatio: 0.5, MedianToReference: 0.6,
		GapRatio: 1.6, GapSide: 3, MainRatio: 0.56, MainScore: 2.5, MADFloor: 0.05,
		RatioFrom: 3, WeakFrom: 5, FullFrom: 10,
		Confidence: 0.95, ReferenceDays: 365, DipFrom: 10,
	}
}

// orDefaults replaces every field that is not a positive number.
func (s Settings) orDefaults() Settings {
	d := Defaults()
	for _, f := range []struct{ have, want *float64 }{
		{&s.Score, &d.Score}, {&s.Ratio, &d.Ratio}, {&s.ReferenceRatio, &d.ReferenceRatio},
		{&s.MedianToReference, &d.MedianToReference}, {&s.GapRatio, &d.GapRatio},
		{&s.MainRatio, &d.MainRatio}, {&s.MainScore, &d.MainScore}, {&s.MADFloor, &d.MADFloor}, {&s.Confidence, &d.Confidence},
	} {
		if !(*f.have > 0) || math.IsInf(*f.have, 0) {
			*f.have = *f.want
		}
	}
	for _, f := range []struct{ have, want *int }{
		{&s.GapSide, &d.GapSide}, {&s.RatioFrom, &d.RatioFrom}, {&s.WeakFrom, &d.WeakFrom},
		{&s.FullFrom, &d.FullFrom}, {&s.ReferenceDays, &d.ReferenceDays}, {&s.DipFrom, &d.DipFrom},
	} {
		if *f.have <= 0 {
			*f.have = *f.want
		}
	}
	s.MainRatio = min(s.MainRatio, s.Ratio)
	return s
}
