package rules

import (
	"math"
	"slices"

	"counterfoil/rules/weighing"
)

// The published verbal scale for likelihood ratios (ENFSI guideline for
// evaluative reporting in forensic science, 2015): a ratio of 2 to 10 is weak
// support, to 100 moderate, to 1,000 moderately strong, to 10,000 strong, above
// very strong. In decibans (I. J. Good), 10 log10 of the ratio, the steps are
// 3, 10, 20, 30 and 40.
const (
	SupportNone             = "none"
	SupportWeak             = "weak"
	SupportModerate         = "moderate"
	SupportModeratelyStrong = "moderately strong"
	SupportStrong           = "strong"
	SupportVeryStrong       = "very strong"
)

// Support gives the word for a weight of evidence in decibans. independent
// says that two families, or one decisive finding, stand behind it; otherwise
// the word is held at 'moderately strong'.
func Support(db float64, independent bool) string {
	switch {
	case db < 3:
		return SupportNone
	case db < 10:
		return SupportWeak
	case db < 20:
		return SupportModerate
	case db < 30 || !independent:
		return SupportModeratelyStrong
	case db < 40:
		return SupportStrong
	}
	return SupportVeryStrong
}

// weigh adds up findings: each at its share within its family, then the
// families. independent is true when at least two families are positive on
// balance or a finding is decisive.
func weigh(findings []Finding) (db float64, independent bool) {
	var sums [16]float64 // by family
	for i, share := range Shares(findings) {
		sums[slices.Index(Families, findings[i].Rule.Family)] += share
		independent = independent || findings[i].Decisive() && share > 0
	}
	positive := 0
	for _, s := range sums {
		db += s
		if s > 0 {
			positive++
		}
	}
	return math.Round(db*100) / 100, independent || positive >= 2
}

// Shares gives what each finding adds to the total, in decibans.
func Shares(findings []Finding) []float64 {
	families, weights := make([]Family, len(findings)), make([]float64, len(findings))
	for i := range findings {
		families[i], weights[i] = findings[i].Rule.Family, findings[i].WeightDB
	}
	return weighing.Shares(families, weights)
}
