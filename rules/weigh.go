package rules

import (
	"cmp"
	"math"
	"slices"
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

// weigh adds up findings. Within a family the weights are sorted by size,
// largest first, positive and negative apart, and added with the factors 1,
// 1/2, 1/4, ..., so that one cause cannot be counted many times; the families
// are then added. independent is true when at least two families are positive
// on balance or a finding is decisive.
func weigh(findings []Finding) (db float64, independent bool) {
	var against, speakFor [16]float64 // by family, sums with factors
	var nAgainst, nFor [16]int
	byFamily := make([]int, len(findings))
	order := make([]int, len(findings))
	for i := range findings {
		byFamily[i] = slices.Index(Families, findings[i].Rule.Family)
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(math.Abs(findings[b].WeightDB), math.Abs(findings[a].WeightDB))
	})
	for _, i := range order {
		w, f := findings[i].WeightDB, byFamily[i]
		if w > 0 {
			against[f] += math.Ldexp(w, -nAgainst[f])
			nAgainst[f]++
		} else if w < 0 {
			speakFor[f] += math.Ldexp(w, -nFor[f])
			nFor[f]++
		}
		independent = independent || findings[i].Decisive() && w > 0
	}
	positive := 0
	for f := range Families {
		db += against[f] + speakFor[f]
		if against[f]+speakFor[f] > 0 {
			positive++
		}
	}
	return math.Round(db*100) / 100, independent || positive >= 2
}
