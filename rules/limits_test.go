package rules

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/fixtures"
	"counterfoil/rules/userrules"
)

// Every threshold that a rule asks for by name does something: at the one or the
// other of its bounds the rule finds another number of the rows of its fixtures,
// or finds them with another weight, than at the default.
func TestEveryLimitMatters(t *testing.T) {
	sum := func(id, thresholds string) string {
		f, err := fixtures.ReadRule(id)
		require.NoError(t, err)
		book, err := ReadRules("rules.yaml", []byte("thresholds: {"+thresholds+"}\n"))
		require.NoError(t, err, thresholds)
		facts, err := Build(f.Listings, Options{AsOf: fixtureTime, Currency: "EUR", Makers: f.Makers, Book: book,
			Reference: f.Reference, Rates: f.Rates, Equivalents: f.Equivalents, History: historyOf(t, f), Luma: drawnLuma})
		require.NoError(t, err)
		found, strength := 0, 0.0
		for n, l := range f.Listings {
			a := assess(ruleOf(id), &Pass{Facts: facts, N: n, Listing: l, Market: facts.Markets.Assess(n)})
			if a.finding != nil {
				found, strength = found+1, strength+a.finding.Strength
			}
		}
		return fmt.Sprintf("%d %.3f", found, strength)
	}
	usual := map[string]string{}
	for _, h := range userrules.Limits() {
		id := h.Rules[0]
		if usual[id] == "" {
			usual[id] = sum(id, "")
		}
		assert.True(t, sum(id, fmt.Sprintf("%s: %v", h.Name, h.Most)) != usual[id] ||
			sum(id, fmt.Sprintf("%s: %v", h.Name, h.Least)) != usual[id], "%s of %s", h.Name, id)
	}
}

func ruleOf(id string) *Rule {
	for _, r := range All {
		if r.ID == id {
			return r
		}
	}
	return nil
}
