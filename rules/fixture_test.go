package rules

import (
	"context"
	"encoding/csv"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/rules/settings"
)

// Each rule has a folder of fixtures, fixtures/rules/ID: listings.csv with
// canonical column names, a column 'photos' and the column 'want' last, and
// any settings the rule needs. want holds the expectation for the row:
//
//	(empty)            the rule was assessed and is silent
//	not assessed: …    the rule lacks something, a regular expression of what
//	anything else      a regular expression that the statement matches; with
//	                   "@0.5 " before it the finding must have that strength
//
// Rows of one file are one batch, so that they see each other. The values are
// normalised ones: reading raw text is the readers' matter.
const fixtureRoot = "../fixtures/rules"

func TestRules(t *testing.T) {
	for _, r := range All {
		t.Run(r.ID, func(t *testing.T) { testRule(t, r) })
	}
}

func testRule(t *testing.T, r *Rule) {
	dir := filepath.Join(fixtureRoot, r.ID)
	batch, wants := readFixture(t, filepath.Join(dir, "listings.csv"))
	opt := Options{AsOf: time.Date(2026, 9, 30, 0, 0, 0, 0, time.UTC), Currency: "EUR"}
	opt.Makers = fixtureSetting(t, dir, "makers.yaml", settings.ReadMakers)
	opt.Reference = fixtureSetting(t, dir, "reference.csv", settings.ReadReference)
	opt.Rates = fixtureSetting(t, dir, "rates.csv", settings.ReadRates)
	opt.Equivalents = fixtureSetting(t, dir, "equivalents.csv", settings.ReadEquivalents)
	facts, err := Build(batch, opt)
	require.NoError(t, err)

	fired, silent, lacking := 0, 0, 0
	for n, want := range wants {
		row := fmt.Sprintf("row %d (%s)", batch[n].Row, batch[n].Key)
		a := r.Run(&Pass{Facts: facts, N: n, Listing: batch[n], Market: facts.Markets.Assess(n)})
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

func fixtureSetting[T any](t *testing.T, dir, name string, read func(string, []byte) (T, error)) (value T) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, name))
	if os.IsNotExist(err) {
		return value
	}
	require.NoError(t, err)
	value, err = read(name, data)
	require.NoError(t, err)
	return value
}

func readFixture(t *testing.T, file string) (batch []*listing.Listing, wants []string) {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err, "every rule needs fixtures")
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	r.LazyQuotes = true
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 1)
	header := rows[0]
	require.Equal(t, "want", header[len(header)-1], "the last column")
	for i, row := range rows[1:] {
		l := &listing.Listing{File: "listings.csv", SHA256: strings.Repeat("0", 64), Row: i + 2}
		for k, cell := range row[:len(row)-1] {
			if cell == "" {
				continue
			}
			if header[k] == "photos" {
				l.PhotosKnown = true
				l.Photos = fixturePhotos(t, l, cell)
				continue
			}
			n := listing.NameOf(header[k])
			require.NotEqual(t, listing.NoField, n, "column %q", header[k])
			l.Set(listing.Field{Name: n, Value: cell, Raw: cell, From: listing.Cell(l.Row, header[k])})
		}
		l.Key = l.Value(listing.ListingID)
		batch = append(batch, l)
		wants = append(wants, row[len(row)-1])
	}
	return batch, wants
}

// fixturePhotos reads photos of the form "sha=a fp=00ff mirror=ff00 size=640x480
// view=serial-plate+box-label", separated by "; "; "none" is an empty gallery.
func fixturePhotos(t *testing.T, l *listing.Listing, cell string) (list []listing.Photo) {
	t.Helper()
	if cell == "none" {
		return nil
	}
	for i, one := range strings.Split(cell, "; ") {
		p := listing.Photo{File: fmt.Sprintf("%s-%d.jpg", l.Value(listing.ListingID), i), Size: 1000,
			Width: 640, Height: 480, From: listing.Cell(l.Row, "photos")}
		for _, part := range strings.Fields(one) {
			key, value, _ := strings.Cut(part, "=")
			var err error
			switch key {
			case "sha":
				p.SHA256 = value
			case "fp":
				p.Printed = true
				p.Fingerprint, err = strconv.ParseUint(value, 16, 64)
			case "mirror":
				p.Mirror, err = strconv.ParseUint(value, 16, 64)
			case "size":
				_, err = fmt.Sscanf(value, "%dx%d", &p.Width, &p.Height)
			case "view":
				for _, v := range strings.Split(value, "+") {
					p.Views = append(p.Views, listing.View{Name: v, By: "tag", Text: v})
				}
			default:
				t.Fatalf("%s: unknown key %q", one, key)
			}
			require.NoError(t, err, one)
		}
		list = append(list, p)
	}
	return list
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
		assert.FileExists(t, filepath.Join(fixtureRoot, r.ID, "listings.csv"))
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
	folders, err := fs.ReadDir(os.DirFS(fixtureRoot), ".")
	require.NoError(t, err)
	for _, f := range folders {
		assert.True(t, slices.Contains(IDs(), f.Name()), "fixtures/rules/%s has no rule", f.Name())
	}
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
			part, _ := readFixture(t, filepath.Join(fixtureRoot, id, "listings.csv"))
			for _, l := range part {
				l.Key = id + "/" + l.Key
			}
			batch = append(batch, part...)
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
