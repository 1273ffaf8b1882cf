package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/report"
	"counterfoil/rules"
)

// The name of the rule set follows the user's rules, rules switched off and
// thresholds, but not remarks in their file nor the folder it lies in.
func TestRuleSetHashFollowsTheUsersRules(t *testing.T) {
	hash := func(file, text string) string {
		book, err := rules.ReadRules(file, []byte(text))
		require.NoError(t, err)
		return report.RuleSetHash(rules.RulesFor(book), nil)
	}
	own := func(when string) string {
		return "rules: [{id: mine, family: terms, weight: 1, title: T, meaning: M, innocent: I, ask: A, statement: S, when: '" + when + "'}]\n"
	}
	plain := report.RuleSetHash(rules.All, nil)
	assert.Equal(t, plain, hash("a.yaml", "off: []\nthresholds: {price-ratio: 0.6}\n"))
	seen := map[string]bool{plain: true}
	for _, text := range []string{"off: [no-returns-new]\n", "thresholds: {price-ratio: 0.5}\n", "thresholds: {price-ratio: 0.4}\n",
		own("photos.known"), own("not photos.known")} {
		h := hash("a.yaml", text)
		assert.False(t, seen[h], text)
		seen[h] = true
		assert.Equal(t, h, hash("/some/where/a.yaml", "# remark\n"+text))
	}
}
