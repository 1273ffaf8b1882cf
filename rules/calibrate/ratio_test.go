package calibrate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Source: Manning, Raghavan and Schuetze, Introduction to Information
// Retrieval, section 13.2 with table 13.1: three documents of class China with 8
// words, one of another class with 3, 6 words in all. 'Chinese' stands 5 and 1
// times, 'Tokyo' and 'Japan' 0 and 1 times each. With one added to every count
// the document 'Chinese Chinese Chinese Tokyo Japan' gets .0003 and .0001, to
// more digits .000301 and .000135.
func TestAgainstNaiveBayesExample(t *testing.T) {
	share := func(hits, cases float64) float64 {
		a, n := smooth(hits, cases, 1, 6)
		return a / n
	}
	assert.InDelta(t, 3.0/7, share(5, 8), 1e-12)
	assert.InDelta(t, 1.0/14, share(0, 8), 1e-12)
	assert.InDelta(t, 2.0/9, share(1, 3), 1e-12)
	china := .75 * math.Pow(share(5, 8), 3) * share(0, 8) * share(0, 8)
	other := .25 * math.Pow(share(1, 3), 3) * share(1, 3) * share(1, 3)
	assert.InDelta(t, .000301, china, .0000005)
	assert.InDelta(t, .000135, other, .0000005)
	// The same as decibans: prior odds of 3 and one likelihood ratio for each word.
	decibans := perNat * (math.Log(3) + 3*math.Log(share(5, 8)/share(1, 3)) + 2*math.Log(share(0, 8)/share(1, 3)))
	assert.InDelta(t, 10*math.Log10(china/other), decibans, 1e-9)
}

// By hand: (8.5/41) / (2.5/161) = 13.351, 11.255 dB; the variance of its
// logarithm 1/8.5 - 1/41 + 1/2.5 - 1/161 = 0.48705, so 3.031 dB.
func TestRatioByHand(t *testing.T) {
	db, sd := Counts{Copies: 40, CopiesFound: 8, CopiesStrength: 8, Genuine: 160, GenuineFound: 2, GenuineStrength: 2}.Ratio()
	assert.InDelta(t, 11.255, db, 0.0005)
	assert.InDelta(t, 3.031, sd, 0.0005)
	db, sd = Counts{}.Ratio()
	assert.Zero(t, db)
	assert.False(t, math.IsInf(sd, 0) || math.IsNaN(sd))
}

// By hand: precisions 1/25 and 1/100, so four fifths of the default.
func TestShrinkByHand(t *testing.T) {
	db, sd := shrink(10, 5, 0, 10)
	assert.InDelta(t, 8, db, 1e-12)
	assert.InDelta(t, math.Sqrt(20), sd, 1e-12)
}

func learned(rules []Rule, cases []Case) []Learned {
	list, _ := learn(rules, cases)
	return list
}

// By hand: with sampling errors of 3 dB and distances of 5 dB the sum is 1 for
// each rule at t = 4, below the least; with distances of 13 dB at the root of
// 160, and with 50 dB above the most.
func TestPriorSD(t *testing.T) {
	list := make([]Learned, minRules)
	for distance, want := range map[float64]float64{5: MinPriorSD, 13: math.Sqrt(160), 50: MaxPriorSD} {
		for i := range list {
			list[i].MeasuredDB, list[i].MeasuredSD = distance, 3
		}
		assert.InDelta(t, want, priorSD(list), 1e-9)
		assert.EqualValues(t, MinPriorSD, priorSD(list[1:]))
	}
}

// A finding of less than full strength carries its share of the weight: the
// same outcomes at half strength give twice the weight for full strength, up to
// the added halves.
func TestStrength(t *testing.T) {
	cases := func(strength float64) (list []Case) {
		for i := range 2000 {
			c := Case{Key: fmt.Sprint(i), Copy: i%2 == 0}
			if i%2 == 0 && i%4 == 0 || i%20 == 1 {
				c.Findings = []Finding{{0, strength}}
			}
			list = append(list, c)
		}
		return list
	}
	rules := []Rule{{ID: "a", Family: "price"}}
	full, half := learned(rules, cases(1))[0], learned(rules, cases(.5))[0]
	assert.InDelta(t, 10*math.Log10(5), full.MeasuredDB, 0.05) // 500 of 1,000 against 100 of 1,000
	assert.InDelta(t, 2*full.MeasuredDB, half.MeasuredDB, 0.1)
	assert.Equal(t, .5, half.Strength)
}

func TestKept(t *testing.T) {
	cases := make([]Case, 100)
	for i := range cases {
		cases[i] = Case{Key: fmt.Sprint(i), Copy: i < 50}
		if i < MinFindings {
			cases[i].Findings = append(cases[i].Findings, Finding{0, 1}, Finding{2, 1})
		}
		if i < MinFindings-1 {
			cases[i].Findings = append(cases[i].Findings, Finding{1, 1})
		}
		if i >= 50+MinAssessed-1 {
			cases[i].Lacks = []int{2}
		}
	}
	list := learned([]Rule{{ID: "a", Default: 3, Used: 3}, {ID: "b", Default: 3, Used: 4}, {ID: "c", Default: 3, Used: 3}}, cases)
	assert.Empty(t, list[0].Kept)
	assert.Contains(t, list[1].Kept, "fewer than 5 findings")
	assert.Equal(t, 4.0, list[1].DB, "a rule that is not learned keeps the weight of the run")
	assert.Contains(t, list[2].Kept, "assessed for fewer than 10")
	assert.Equal(t, MinAssessed-1, list[2].Genuine)
}

// world is a market in which the likelihood ratios are known.
type world struct {
	rules  []Rule
	truth  []float64 // decibans
	base   []float64 // how often a genuine listing is flagged
	lacked float64   // how often a rule is not assessed
	r      *rand.Rand
}

func (w *world) draw(n int, isCopy bool) (list []Case) {
	for range n {
		c := Case{Key: fmt.Sprint(w.r.Uint64()), Copy: isCopy, Place: w.r.Float64()}
		for i := range w.rules {
			if w.r.Float64() < w.lacked {
				c.Lacks = append(c.Lacks, i)
				continue
			}
			p := w.base[i]
			if isCopy {
				p *= math.Pow(10, w.truth[i]/10)
			}
			if w.r.Float64() < p {
				c.Findings = append(c.Findings, Finding{i, 1})
			}
		}
		list = append(list, c)
	}
	return list
}

// Intervals of 95 % hold the true likelihood ratio about as often, and those after shrinking hold it where the defaults are as far off as the prior
// says. 40 markets of 40 rules: one standard error of a share is below 0.6 %.
func TestIntervalsHoldTheTruth(t *testing.T) {
	w := &world{r: rand.New(rand.NewPCG(2026, 11)), lacked: .3}
	measured, shrunk, n := 0, 0, 0
	for range 40 {
		w.rules, w.truth, w.base = nil, nil, nil
		for i := range 40 {
			prior := float64(i%8) - 1
			truth := math.Min(prior+MinPriorSD*w.r.NormFloat64(), 9.5)
			w.rules = append(w.rules, Rule{ID: fmt.Sprint(i), Family: fmt.Sprint(i % 9), Default: prior, Used: prior})
			w.truth, w.base = append(w.truth, truth), append(w.base, .1)
		}
		for i, l := range learned(w.rules, append(w.draw(200, true), w.draw(600, false)...)) {
			if l.Kept != "" {
				continue
			}
			n++
			if low, high := Interval(l.MeasuredDB, l.MeasuredSD); low <= w.truth[i] && w.truth[i] <= high {
				measured++
			}
			if low, high := Interval(l.DB, l.SD); low <= w.truth[i] && w.truth[i] <= high {
				shrunk++
			}
		}
	}
	require.Greater(t, n, 1500)
	t.Logf("of %d rules learned: measured interval %.3f, after shrinking %.3f", n, float64(measured)/float64(n), float64(shrunk)/float64(n))
	assert.InDelta(t, .95, float64(measured)/float64(n), .015)
	assert.InDelta(t, .95, float64(shrunk)/float64(n), .015)
}

// With few outcomes the weights stay near defaults that are wrong; with many
// they leave them.
func TestShrinkingLetsGo(t *testing.T) {
	w := &world{r: rand.New(rand.NewPCG(5, 11))}
	for i := range 20 {
		w.rules = append(w.rules, Rule{ID: fmt.Sprint(i), Family: "price", Default: 12, Used: 12})
		w.truth, w.base = append(w.truth, 3), append(w.base, .04)
	}
	distance := func(n int) (toDefault, toTruth float64) {
		for _, l := range learned(w.rules, append(w.draw(n, true), w.draw(n, false)...)) {
			toDefault += math.Abs(l.DB-12) / 20
			toTruth += math.Abs(l.DB-3) / 20
		}
		return toDefault, toTruth
	}
	few, _ := distance(MinEach)
	_, many := distance(20_000)
	t.Logf("%d of each: %.2f dB from the default; 20,000 of each: %.2f dB from the truth", MinEach, few, many)
	assert.Less(t, few, 4.5, "less than half of the way to the truth")
	assert.Less(t, many, .5)
}
