package rules

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/fixtures"
	"counterfoil/parse/listing"
	"counterfoil/rules/settings"
)

// fixtureTime is the run time of all fixtures.
var fixtureTime = time.Date(2026, 9, 30, 0, 0, 0, 0, time.UTC)

func TestRules(t *testing.T) {
	for _, r := range All {
		t.Run(r.ID, func(t *testing.T) { testRule(t, r) })
	}
}

func testRule(t *testing.T, r *Rule) {
	f, err := fixtures.ReadRule(r.ID)
	require.NoError(t, err)
	batch := f.Listings
	facts, err := Build(batch, Options{AsOf: fixtureTime, Currency: "EUR", Makers: f.Makers,
		Reference: f.Reference, Rates: f.Rates, Equivalents: f.Equivalents, History: historyOf(t, f), Luma: drawnLuma})
	require.NoError(t, err)

	fired, silent, lacking := 0, 0, 0
	for n, want := range f.Want {
		row := fmt.Sprintf("row %d (%s)", batch[n].Row, batch[n].Key)
		a := assess(r, &Pass{Facts: facts, N: n, Listing: batch[n], Market: facts.Markets.Assess(n)})
		lacks, isLacking := strings.CutPrefix(want, "not assessed: ")
		switch {
		case isLacking:
			lacking++
			if assert.Nil(t, a.finding, row) && assert.NotEqual(t, noNeed, a.lacks, "%s: silent, want %s", row, want) {
				assert.Regexp(t, lacks, a.lacks.String(), row)
				assert.Contains(t, r.Needs, a.lacks, "%s: the rule does not list this need", row)
			}
		case want == "":
			silent++
			assert.Nil(t, a.finding, "%s: %+v", row, a.finding)
			assert.Equal(t, noNeed, a.lacks, "%s: lacks %s", row, a.lacks)
		default:
			fired++
			checkFinding(t, row, a, want)
		}
	}
	assert.NotZero(t, fired, "no row on which the rule fires")
	assert.NotZero(t, silent, "no row on which the rule is silent")
	assert.NotZero(t, lacking, "no row on which the rule is not assessed")
}

func checkFinding(t *testing.T, row string, a Answer, want string) {
	t.Helper()
	if !assert.NotNil(t, a.finding, "%s: no finding, lacks %q", row, a.lacks) {
		return
	}
	if m := regexp.MustCompile(`^@([\d.]+) (.*)$`).FindStringSubmatch(want); m != nil {
		strength, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		assert.InDelta(t, strength, a.finding.Strength, 1e-9, row)
		want = m[2]
	}
	assert.Regexp(t, want, a.finding.Statement, row)
	assert.NotEmpty(t, a.finding.Evidence, row)
	for _, e := range a.finding.Evidence {
		assert.NotEmpty(t, e.File, row)
		assert.NotEmpty(t, e.Place, row)
	}
}

// The catalogue is complete: every rule is listed once, documented, in a file
// of its own name and with fixtures, and no fixture is without a rule.
func TestCatalogue(t *testing.T) {
	id := regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
	seen := map[string]bool{}
	for _, r := range All {
		assert.Regexp(t, id, r.ID)
		assert.False(t, seen[r.ID], "%s is listed twice", r.ID)
		seen[r.ID] = true
		assert.Contains(t, Families, r.Family, r.ID)
		assert.NotZero(t, r.Weight, r.ID)
		assert.LessOrEqual(t, max(r.Weight, -r.Weight), float64(settings.MaxWeight), r.ID)
		assert.NotNil(t, r.Run, r.ID)
		assert.NotEmpty(t, r.Needs, r.ID)
		for _, text := range []string{r.Doc.Title, r.Doc.Meaning, r.Doc.Innocent, r.Doc.Ask, r.Doc.Since} {
			assert.NotEmpty(t, text, "%s is not fully documented", r.ID)
		}
		assert.FileExists(t, r.ID+".go")
	}
	declares := regexp.MustCompile(`(?m)^var \w+ = &Rule\{\n\tID: "([^"]+)"`)
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, file := range files {
		source, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, m := range declares.FindAllStringSubmatch(string(source), -1) {
			assert.True(t, seen[m[1]], "%s is not listed in all.go", m[1])
			assert.Equal(t, m[1]+".go", file)
		}
	}
	assert.ElementsMatch(t, IDs(), fixtures.RuleIDs(), "each rule has fixtures, and no fixture is without a rule")
}

// No text of the catalogue passes a verdict on a part.
func TestCatalogueGivesNoVerdict(t *testing.T) {
	verdict := regexp.MustCompile(`(?i)\b(is|are) (a )?(counterfeit|fake|safe)\b|\bcounterfeits?\b`)
	for _, r := range All {
		for _, text := range []string{r.Doc.Title, r.Doc.Meaning, r.Doc.Formula, r.Doc.Innocent, r.Doc.Ask} {
			assert.NotRegexp(t, verdict, text, r.ID)
		}
	}
}

func TestAuditDoesNotDependOnJobs(t *testing.T) {
	var first []string
	for _, jobs := range []int{1, 2, 8} {
		var batch []*listing.Listing
		for _, id := range []string{"serial-reuse", "photo-reuse", "price-low-outlier"} {
			f, err := fixtures.ReadRule(id)
			require.NoError(t, err)
			for _, l := range f.Listings {
				l.Key = id + "/" + l.Key
			}
			batch = append(batch, f.Listings...)
		}
		res, err := Audit(context.Background(), batch, Options{Jobs: jobs})
		require.NoError(t, err)
		var got []string
		for _, j := range res.Ranked {
			got = append(got, fmt.Sprint(j.Rank, j.Listing.Key, j.EvidenceDB, j.Coverage, j.Outcome, len(j.Findings), j.Gaps))
		}
		if first == nil {
			first = got
		}
		assert.Equal(t, first, got, "%d jobs", jobs)
	}
}
