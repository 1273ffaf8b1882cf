package claims

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

func TestPhrases(t *testing.T) {
	e := testEngine(t)
	data, err := os.ReadFile("testdata/phrases.tsv")
	require.NoError(t, err)
	for line := range strings.Lines(string(data)) {
		cells := strings.Split(strings.TrimSpace(line), "\t")
		if cells[0] == "" || strings.HasPrefix(line, "#") {
			continue
		}
		require.Greater(t, len(cells), 1, cells[0])
		r := e.Read([]Text{{listing.Description, cells[0]}}, Options{})
		for _, want := range cells[1:] {
			if stance, absent := strings.CutPrefix(want, "-"); absent {
				assert.Empty(t, r.Find(Stance(stance)), "%s: %s", cells[0], want)
				continue
			}
			assert.True(t, hasPhrase(r.Phrases, want), "%s: %s\nfound %+v", cells[0], want, r.Phrases)
		}
	}
}

// hasPhrase reads one expectation of testdata/phrases.tsv.
func hasPhrase(phrases []Phrase, want string) bool {
	want, negated := strings.CutPrefix(want, "!")
	kind, quote, _ := strings.Cut(want, "=")
	quote, scope, scoped := strings.Cut(quote, "@")
	for _, p := range phrases {
		if string(p.Stance)+"/"+p.Code == kind && p.Quote == quote && p.Negated == negated && (!scoped || p.Scope == scope) {
			return true
		}
	}
	return false
}
