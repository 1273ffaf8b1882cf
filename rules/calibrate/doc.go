// Package calibrate learns the weights of rules from outcomes: listings of
// which a person has confirmed what they were. A weight stays the default where
// outcomes say little, and moves to the measured likelihood ratio as they say
// more. Nothing here puts weights to use; that is for a person to do.
//
//   - outcomes.go, suspects.go: what was confirmed, and what was found
//   - ratio.go: the likelihood ratio of a rule, its interval, shrinking
//   - evidence.go, logistic.go: families together, and a joint model beside them
//   - metrics.go, isotonic.go: how well a ranking and its probabilities do
//   - calibrate.go: cross-validation
//   - weightsfile.go, report.go: what is written
package calibrate

// Rule is what calibration must know of a rule.
type Rule struct {
	ID, Family string
	Default    float64 // decibans; the prior's centre
	Used       float64 // decibans, in the run that made the suspects files
}
