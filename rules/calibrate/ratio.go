package calibrate

import (
	"fmt"
	"math"

	"counterfoil/rules/settings"
)

// What is demanded of the outcomes. The numbers are this project's choice; no
// source.
const (
	// MinEach is the least number of confirmed copies, and of confirmed genuine
	// listings, from which anything is learned.
	MinEach = 30
	// MinFindings is the least number of findings of a rule, MinAssessed the
	// least number of copies and of genuine listings for which it could be
	// assessed; with fewer the rule keeps its default. With fewer, the added
	// halves of the ratio would speak instead of the outcomes.
	MinFindings = 5
	MinAssessed = 10
	// MinPriorSD and MaxPriorSD bound how far, in decibans, a default weight is
	// taken to be off: 5 dB is a likelihood ratio 3.2 times too high or too low,
	// 20 dB one of 100. With fewer than minRules rules learned it is the least.
	MinPriorSD, MaxPriorSD = 5, 20
	minRules               = 5
)

// perNat is the number of decibans of a natural logarithm of 1.
const perNat = 10 / math.Ln10

// z95 is the 97.5 % point of the standard normal distribution.
const z95 = 1.959963984540054

// Counts says for how many listings a rule was assessed, how many of them it
// flagged, and the sum of the strengths of these findings. Listings for which
// it was not assessed are left out.
type Counts struct {
	Copies, Genuine                 int
	CopiesFound, GenuineFound       int
	CopiesStrength, GenuineStrength float64
}

// Findings counts the findings on both.
func (c Counts) Findings() int { return c.CopiesFound + c.GenuineFound }

// Ratio is the likelihood ratio of a finding in decibans, with the standard
// deviation of its sampling error:
//
//	LR  = ((a + 1/2) / (m + 1)) / ((b + 1/2) / (n + 1))
//	var = 1/(a + 1/2) - 1/(m + 1) + 1/(b + 1/2) - 1/(n + 1)
//
// with a of m copies and b of n genuine listings flagged; a finding of less than
// full strength counts as that share of one. Each share is the posterior mean
// under Jeffreys' prior Beta(1/2, 1/2); the variance of ln LR is that of the
// delta method (Katz, Baptista, Azen and Pike, Biometrics 34, 1978) with the same
// counts. Both are always finite; with no listing at all the ratio is 0 dB.
func (c Counts) Ratio() (db, sd float64) {
	a, m := smooth(c.CopiesStrength, float64(c.Copies), 0.5, 2)
	b, n := smooth(c.GenuineStrength, float64(c.Genuine), 0.5, 2)
	return perNat * (math.Log(a/m) - math.Log(b/n)), perNat * math.Sqrt(1/a-1/m+1/b-1/n)
}

// smooth adds a count to each of the ways in which a case can go.
func smooth(hits, cases, add float64, ways int) (a, n float64) {
	return hits + add, cases + add*float64(ways)
}

// Learned is what the outcomes say of a rule.
type Learned struct {
	Rule
	Counts
	// Strength is the mean strength of the findings, each weighted by its
	// strength, 0 without any. The measured weight is that of a finding at full
	// strength: the ratio in decibans divided by Strength.
	Strength               float64
	MeasuredDB, MeasuredSD float64
	// DB is the weight after shrinking, SD its standard deviation; both times
	// Worth, where families are scaled.
	DB, SD, Worth float64
	// Kept says why the rule keeps the weight it had; "" when it was learned.
	Kept string
}

// shrink combines a measured weight with a normal prior around the default
// (normal mean with known variances: Gelman et al., Bayesian Data Analysis,
// section 2.5):
//
//	precision = 1/priorSD^2 + 1/sd^2
//	weight    = (default/priorSD^2 + measured/sd^2) / precision
func shrink(prior, priorSD, measured, sd float64) (db, sdAfter float64) {
	p, q := 1/(priorSD*priorSD), 1/(sd*sd)
	return (prior*p + measured*q) / (p + q), math.Sqrt(1 / (p + q))
}

// priorSD estimates how far the defaults are off from the rules that were
// measured (empirical Bayes): the t at which
//
//	sum (measured - default)^2 / (t^2 + sd^2) = number of rules
//
// (Paule and Mandel, Journal of Research of the National Bureau of Standards 87,
// 1982), between MinPriorSD and MaxPriorSD.
func priorSD(list []Learned) float64 {
	excess := func(t float64) float64 {
		sum := 0.0
		for i := range list {
			if l := &list[i]; l.Kept == "" {
				d := l.MeasuredDB - l.Default
				sum += d*d/(t*t+l.MeasuredSD*l.MeasuredSD) - 1
			}
		}
		return sum
	}
	low, high := float64(MinPriorSD), float64(MaxPriorSD)
	switch {
	case countLearned(list) < minRules || excess(low) <= 0:
		return low
	case excess(high) >= 0:
		return high
	}
	for range 60 { // the sum falls as t rises
		if middle := (low + high) / 2; excess(middle) > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

func countLearned(list []Learned) (n int) {
	for i := range list {
		if list[i].Kept == "" {
			n++
		}
	}
	return n
}

// learn measures every rule on the cases, and draws the measured weights to the
// defaults by the prior that it finds.
func learn(rules []Rule, cases []Case) (list []Learned, prior float64) {
	list = make([]Learned, len(rules))
	squares := make([]float64, len(rules)) // of strengths
	copies := 0
	for i := range cases {
		c := &cases[i]
		if c.Copy {
			copies++
		}
		for _, f := range c.Findings {
			l := &list[f.Rule]
			squares[f.Rule] += f.Strength * f.Strength
			if c.Copy {
				l.CopiesFound, l.CopiesStrength = l.CopiesFound+1, l.CopiesStrength+f.Strength
			} else {
				l.GenuineFound, l.GenuineStrength = l.GenuineFound+1, l.GenuineStrength+f.Strength
			}
		}
		for _, r := range c.Lacks {
			if c.Copy {
				list[r].Copies--
			} else {
				list[r].Genuine--
			}
		}
	}
	for i := range list {
		l := &list[i]
		l.Rule = rules[i]
		l.Copies += copies
		l.Genuine += len(cases) - copies
		l.measure(squares[i])
	}
	prior = priorSD(list)
	for i := range list {
		if l := &list[i]; l.Kept == "" {
			l.DB, l.SD = shrink(l.Default, prior, l.MeasuredDB, l.MeasuredSD)
			l.DB = roundWeight(l.DB)
		}
	}
	return list, prior
}

// roundWeight keeps a weight within the bounds of a weights file, to one decimal.
func roundWeight(db float64) float64 {
	return math.Round(min(max(db, -settings.MaxWeight), settings.MaxWeight)*10)/10 + 0 // never -0
}

// measure reckons the measured weight from the counts and the sum of squared
// strengths, and says whether it can be used.
func (l *Learned) measure(squares float64) {
	if l.Findings() > 0 {
		l.Strength = squares / (l.CopiesStrength + l.GenuineStrength)
		db, sd := l.Ratio()
		l.MeasuredDB, l.MeasuredSD = db/l.Strength, sd/l.Strength
	}
	l.DB, l.Worth = l.Used, 1
	switch {
	case l.Findings() < MinFindings:
		l.Kept = fmt.Sprintf("fewer than %d findings", MinFindings)
	case min(l.Copies, l.Genuine) < MinAssessed:
		l.Kept = fmt.Sprintf("assessed for fewer than %d of each", MinAssessed)
	}
}

// Interval is the range of 95 % around a value with a normal error.
func Interval(value, sd float64) (low, high float64) { return value - z95*sd, value + z95*sd }
