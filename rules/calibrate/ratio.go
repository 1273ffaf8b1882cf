package calibrate

import (
	"fmt"
	"math"
	"slices"

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
	// PriorSD is how far, in decibans, a default weight is taken to be off: 5 dB
	// is a likelihood ratio 3.2 times too high or too low.
	PriorSD = 5
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
	a, m := c.CopiesStrength+0.5, float64(c.Copies)+1
	b, n := c.GenuineStrength+0.5, float64(c.Genuine)+1
	return perNat * (math.Log(a/m) - math.Log(b/n)), perNat * math.Sqrt(1/a-1/m+1/b-1/n)
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
	// DB is the weight after shrinking, SD its standard deviation.
	DB, SD float64
	// Kept says why the rule keeps the weight it had; "" when it was learned.
	Kept string
}

// shrink combines a measured weight with the normal prior around the default
// (normal mean, known variances; Gelman et al., Bayesian Data Analysis, section
// 2.5; empirical Bayes after Efron and Morris, Journal of the American
// Statistical Association 70, 1975, with a stated instead of an estimated
// prior variance):
//
//	precision = 1/PriorSD^2 + 1/sd^2
//	weight    = (default/PriorSD^2 + measured/sd^2) / precision
func shrink(prior, measured, sd float64) (db, sdAfter float64) {
	p, q := 1/float64(PriorSD*PriorSD), 1/(sd*sd)
	return (prior*p + measured*q) / (p + q), math.Sqrt(1 / (p + q))
}

// learn measures every rule on the cases.
func learn(rules []Rule, cases []Case) []Learned {
	list := make([]Learned, len(rules))
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
		l.complete(squares[i])
	}
	return list
}

// complete reckons the weight from the counts and the sum of squared strengths.
func (l *Learned) complete(squares float64) {
	if l.Findings() > 0 {
		l.Strength = squares / (l.CopiesStrength + l.GenuineStrength)
		db, sd := l.Ratio()
		l.MeasuredDB, l.MeasuredSD = db/l.Strength, sd/l.Strength
	}
	l.DB = l.Used
	switch {
	case l.Findings() < MinFindings:
		l.Kept = fmt.Sprintf("fewer than %d findings", MinFindings)
	case min(l.Copies, l.Genuine) < MinAssessed:
		l.Kept = fmt.Sprintf("assessed for fewer than %d of each", MinAssessed)
	default:
		db, sd := shrink(l.Default, l.MeasuredDB, l.MeasuredSD)
		db = min(max(db, -settings.MaxWeight), settings.MaxWeight)
		l.DB, l.SD = math.Round(db*10)/10+0, sd // + 0 turns -0 into 0
	}
}

// Interval is the range of 95 % around a value with a normal error.
func Interval(value, sd float64) (low, high float64) { return value - z95*sd, value + z95*sd }

// misfit is the root mean square distance, in standard deviations, between the
// measured weights and what the priors let expect; about 1 when the defaults are
// as far off as PriorSD says. n is the number of rules learned; without any it
// is 0.
func misfit(list []Learned) (z float64, n int) {
	for l := range slices.Values(list) {
		if l.Kept == "" {
			d := l.MeasuredDB - l.Default
			z += d * d / (PriorSD*PriorSD + l.MeasuredSD*l.MeasuredSD)
			n++
		}
	}
	if n == 0 {
		return 0, 0
	}
	return math.Sqrt(z / float64(n)), n
}
