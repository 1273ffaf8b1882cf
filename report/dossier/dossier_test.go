package dossier

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

func day(n int) time.Time { return time.Date(2026, 9, n, 0, 0, 0, 0, time.UTC) }

func state(key string, minor int64, condition string, first, last int) rules.Earlier {
	return rules.Earlier{Trace: rules.Trace{Key: key, Market: "moor.example", Part: "712345-0012", Condition: condition, Lot: 1, Seller: "moor.example/" + key,
		Price: listing.Amount{Minor: minor, Currency: "EUR"}}, First: day(first), Last: day(last)}
}

func set() *Set {
	return &Set{Version: "test", Casebook: "c.db", Runs: []time.Time{day(1), day(8), day(15)},
		Parts: []Part{{"moor.example", "712345-0012", []rules.Earlier{state("a", 90000, "new", 1, 15), state("b", 80000, "new", 1, 8), state("c", 30000, "used", 8, 8), state("d", 70000, "new", 15, 15)}}},
		Sellers: []Seller{{Key: "moor.example/a", Shown: "Alfa", States: []rules.Earlier{state("a", 90000, "new", 1, 8), state("a", 45000, "new", 15, 15)},
			Findings: map[string]int{"price-collapse": 1}}}}
}

func page(t *testing.T, s *Set, name string) string {
	for _, f := range s.Files(t.TempDir()) {
		if f.Name == name {
			var b bytes.Buffer
			require.NoError(t, f.Write(&b))
			return b.String()
		}
	}
	t.Fatal("no page ", name)
	return ""
}

// The figures were worked out by hand: of two prices the lower is the median.
func TestPricesAtEachRun(t *testing.T) {
	text := page(t, set(), "part-0001.html")
	for _, row := range []string{
		`<th scope="row">2026-09-01</th><td class="number">2</td><td class="number">800.00 / 800.00 / 900.00</td><td class="number">0</td><td class="number"></td>`,
		`<th scope="row">2026-09-08</th><td class="number">2</td><td class="number">800.00 / 800.00 / 900.00</td><td class="number">1</td><td class="number">300.00</td>`,
		`<th scope="row">2026-09-15</th><td class="number">2</td><td class="number">700.00 / 700.00 / 900.00</td><td class="number">0</td><td class="number"></td>`,
	} {
		assert.Contains(t, text, row)
	}
	assert.Contains(t, text, "4 listings of 4 sellers")
	// Every price of the table stands in the plot, at its height: four lines, one
	// of them broken, and a point of the median for each run.
	assert.Equal(t, 3, strings.Count(text, `stroke="#1f5673" stroke-opacity`))
	assert.Equal(t, 1, strings.Count(text, "stroke-dasharray"))
	assert.Len(t, strings.Fields(regexp.MustCompile(`points="([^"]*)"`).FindStringSubmatch(text)[1]), 3)
	assert.Contains(t, text, `role="img" aria-labelledby="t d"`)
}

// A page that was captured days before the run that read it counts at that run.
func TestPricesReadAfterTheyWereCaptured(t *testing.T) {
	s := set()
	late := state("e", 60000, "new", 9, 12)
	late.LastRun = day(15)
	s.Parts[0].States = append(s.Parts[0].States, late)
	text := page(t, s, "part-0001.html")
	assert.Contains(t, text, `<th scope="row">2026-09-08</th><td class="number">2</td>`)
	assert.Contains(t, text, `<th scope="row">2026-09-15</th><td class="number">3</td><td class="number">600.00 / 700.00 / 900.00</td>`)
}

func TestSellerPage(t *testing.T) {
	text := page(t, set(), "seller-0001.html")
	assert.Contains(t, text, "1 listing, seen from 2026-09-01 to 2026-09-15")
	assert.Contains(t, text, "<td>price</td>")
	assert.Contains(t, text, "The price has collapsed")
	text = strings.Replace(text, "Nothing here says that a part is counterfeit, genuine or safe.", "", 1)
	for _, verdict := range []string{"is counterfeit", "is genuine", "is safe"} {
		assert.NotContains(t, text, verdict)
	}
}

// Text of sellers is shown, and does nothing.
func TestHostileText(t *testing.T) {
	s := set()
	const bad = "<script>alert(1)</script>\u202e\"' onload=x"
	s.Casebook = bad
	s.Parts[0].Market, s.Parts[0].Part = bad, bad
	p := &s.Sellers[0]
	p.Shown, p.Key = bad, bad
	p.Shared = []Shared{{"serial", bad, bad, bad, 1}}
	p.Cases = []rules.Case{{Listing: bad, Word: rules.ConfirmedCopy, Basis: bad}}
	p.Notes = []Note{{Listing: bad, Word: bad, Note: bad}}
	p.States[0].Title, p.States[0].Claim, p.States[0].Capture.File = bad, bad, bad
	p.States[0].Serials = []rules.SerialSeen{{Serial: bad}}
	for _, name := range []string{"index.html", "part-0001.html", "seller-0001.html"} {
		text := page(t, s, name)
		assert.NotContains(t, strings.ToLower(text), "<script")
		assert.NotContains(t, text, "\u202e")
		assert.NotRegexp(t, `<[^>]*\sonload=`, text)
		assert.Contains(t, text, "default-src 'none'")
	}
}

func TestStalePagesGo(t *testing.T) {
	dir := t.TempDir()
	s := set()
	s.Sellers = append(s.Sellers, s.Sellers[0])
	require.NoError(t, report.Write(dir, s.Files(dir)...))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "part-0099.html"), []byte("mine"), 0o600))
	// As a set of more than 9,999 sellers left it.
	left, err := os.ReadFile(filepath.Join(dir, "seller-0002.html"))
	require.NoError(t, err)
	assert.Equal(t, "seller-12345.html", sellerFile(12344))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "seller-12345.html"), left, 0o600))
	s.Sellers = s.Sellers[:1]
	require.NoError(t, report.Write(dir, s.Files(dir)...))
	names, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	for i := range names {
		names[i] = filepath.Base(names[i])
	}
	assert.Equal(t, []string{"index.html", "part-0001.html", "part-0099.html", "seller-0001.html"}, names, "a file that is none of the pages stays")
}

func TestManyRunsAreThinnedOut(t *testing.T) {
	s := set()
	s.Runs = nil
	for i := range 130 {
		s.Runs = append(s.Runs, day(1).AddDate(0, 0, i))
	}
	s.Parts[0].States[0].Last = day(1).AddDate(1, 0, 0)
	text := page(t, s, "part-0001.html")
	assert.Contains(t, text, fmt.Sprintf("%d runs between these left out", 130-44))
	assert.Contains(t, text, s.Runs[129].Format(time.DateOnly), "the last run stands there always")
}
