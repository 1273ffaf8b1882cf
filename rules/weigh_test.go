package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
)

// Source: ENFSI guideline for evaluative reporting in forensic science (2015),
// verbal scale for likelihood ratios: 2-10 weak, 10-100 moderate, 100-1,000
// moderately strong, 1,000-10,000 strong, above very strong; figures from
// memory. 10 log10 of the limits gives 3, 10, 20, 30 and 40 decibans.
func TestSupportENFSI(t *testing.T) {
	for _, c := range []struct {
		db   float64
		want string
	}{
		{-5, "none"}, {0, "none"}, {2.99, "none"}, {3, "weak"}, {9.99, "weak"}, {10, "moderate"},
		{19.99, "moderate"}, {20, "moderately strong"}, {29.99, "moderately strong"},
		{30, "strong"}, {39.99, "strong"}, {40, "very strong"}, {90, "very strong"},
	} {
		assert.Equal(t, c.want, Support(c.db, true), "%v dB", c.db)
	}
	assert.Equal(t, "moderately strong", Support(55, false), "one family only")
	assert.Equal(t, "moderate", Support(12, false))
}

func TestWeigh(t *testing.T) {
	rule := func(f Family, decisive bool) *Rule { return &Rule{Family: f, Decisive: decisive} }
	finding := func(r *Rule, w float64) Finding { return Finding{Rule: r, WeightDB: w, Strength: 1} }
	price, identity := rule(FamilyPrice, false), rule(FamilyIdentity, false)

	db, independent := weigh(nil)
	assert.Zero(t, db)
	assert.False(t, independent)

	// 8 + 6/2 + 4/4 = 12, whatever the order.
	db, independent = weigh([]Finding{finding(price, 4), finding(price, 8), finding(price, 6)})
	assert.Equal(t, 12.0, db)
	assert.False(t, independent, "one family")

	// 10 + (7 + 5/2) - 6 = 13.5: the negative weight is not halved by positive
	// ones of its family.
	db, independent = weigh([]Finding{finding(identity, 10), finding(price, 5), finding(price, 7), finding(price, -6)})
	assert.Equal(t, 13.5, db)
	assert.True(t, independent)

	// A second family that speaks for the listing on balance is no support.
	_, independent = weigh([]Finding{finding(identity, 10), finding(price, 2), finding(price, -6)})
	assert.False(t, independent)

	_, independent = weigh([]Finding{finding(rule(FamilyIdentity, true), 16)})
	assert.True(t, independent, "decisive")
	half := finding(rule(FamilyIdentity, true), 8)
	half.Strength = 0.5
	_, independent = weigh([]Finding{half})
	assert.False(t, independent, "decisive only at full strength")
}

// Source: Bayes' theorem; prevalence 5 %, sensitivity 80 %, specificity 95 %
// leave .457 of the flagged (a likelihood ratio of 16, 12.04 decibans). It is
// why the report ranks and a person decides.
func TestBaseRate(t *testing.T) {
	odds := 0.05 / 0.95 * (0.80 / 0.05)
	assert.InDelta(t, 0.457, odds/(1+odds), 0.0005)
	assert.Equal(t, "moderate", Support(12.04, true))
}

// Source: GS1 General Specifications; the valid numbers are the standard's and
// the trade's usual examples, 6291041500213 the one of GS1's own check digit
// page.
func TestValidGTIN(t *testing.T) {
	for _, s := range []string{"73513537", "9780471117094", "98412345678908", "6291041500213"} {
		assert.True(t, listing.IsGTIN(s), s)
	}
	for _, s := range []string{"", "73513536", "978047111708", "6291041500214", "9780471117O94", "123456789012345", "0"} {
		assert.False(t, listing.IsGTIN(s), s)
	}
}
