package groups

import (
	"bytes"
	"cmp"
	"context"
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/fixtures/seeded"
	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/sellers"
)

func audited(t *testing.T, batch []*listing.Listing) (*rules.Result, *report.Run) {
	at := time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)
	res, err := rules.Audit(context.Background(), batch, rules.Options{AsOf: at})
	require.NoError(t, err)
	return res, &report.Run{Version: "test", AsOf: at}
}

func pages(t *testing.T, res *rules.Result, run *report.Run) map[string]string {
	out := map[string]string{}
	for _, f := range New(res, run, report.SellerGroups(res), Options{Limit: 100}).Files() {
		var b bytes.Buffer
		require.NoError(t, f.Write(&b))
		out[f.Name] = b.String()
	}
	return out
}

// A market with an operator of forty accounts: the pages are the same each time,
// whole XML (they are written so, to be checked), and no contact stands on them.
func TestPagesOfSeededMarket(t *testing.T) {
	m := seeded.Generate(7)
	res, run := audited(t, m.Listings)
	all := pages(t, res, run)
	require.NotEmpty(t, all)
	assert.Equal(t, all, pages(t, res, run))
	largest := ""
	for name, page := range all {
		assert.NotRegexp(t, `\+49 30 [0-9]{7}|desk[0-9]+@`, page, name)
		svg := page[strings.Index(page, "<svg"):strings.Index(page, "</svg>")]
		d := xml.NewDecoder(strings.NewReader(svg + "</svg>"))
		for {
			if _, err := d.Token(); err != nil {
				assert.EqualError(t, err, "EOF", name)
				break
			}
		}
		if largest == "" || strings.Count(page, "class=\"dot\"") > strings.Count(all[largest], "class=\"dot\"") {
			largest = name
		}
	}
	assert.Greater(t, strings.Count(all[largest], "class=\"dot\""), 30)
	if dir := os.Getenv("COUNTERFOIL_KEEP_PAGES"); dir != "" { // to look at them
		require.NoError(t, os.WriteFile(filepath.Join(dir, "largest.html"), []byte(all[largest]), 0o600))
	}
}

// Fifty accounts can be told apart: no two dots touch, no two labels cross, and
// all is inside the drawing. A label is taken as 0.55 x 15 units a letter wide
// and 15 high.
func TestFiftyCanBeRead(t *testing.T) {
	for _, n := range []int{2, 5, 12, 13, 30, 50} {
		var names []string
		var ties []tie
		for i := range n {
			names = append(names, fmt.Sprintf("Account with a name %04d", i))
			if i > 0 {
				ties = append(ties, tie{a: i / 2, b: i, weight: float64(10 + i%7), kinds: []sellers.Kind{sellers.Phone}})
			}
		}
		back(n, ties)
		d := draw(names, ties)
		require.Len(t, d.Nodes, n)
		require.Len(t, d.Lines, n-1)
		type spot struct{ x, y float64 }
		along := make([][]spot, n) // points along the middle of each label
		for i, v := range d.Nodes {
			turn := v.Turn * math.Pi / 180
			step, from := 0.55*15, 0.0
			switch v.Anchor {
			case "end":
				step = -step
			case "middle":
				from = -step * labelRunes / 2
			}
			for k := range labelRunes + 1 {
				at := from + step*float64(k)
				p := spot{v.LabelX + at*math.Cos(turn), v.LabelY + at*math.Sin(turn)}
				along[i] = append(along[i], p)
				assert.True(t, p.x > 0 && p.x < float64(d.Width) && p.y > 0 && p.y < float64(d.Height), "%d accounts: label %d ends outside, %+v", n, i, p)
			}
		}
		for i := range n {
			for j := range i {
				assert.Greater(t, math.Hypot(d.Nodes[i].X-d.Nodes[j].X, d.Nodes[i].Y-d.Nodes[j].Y), 24.0, "%d accounts: dots", n)
				for _, p := range along[i] {
					for _, q := range along[j] {
						if math.Hypot(p.x-q.x, p.y-q.y) < 15 {
							t.Fatalf("%d accounts: labels %d and %d cross", n, i, j)
						}
					}
				}
			}
		}
		backed := 0
		for _, l := range d.Lines {
			if strings.HasSuffix(l.Class, "backed") {
				backed++
			}
		}
		assert.Equal(t, n-1, backed, "a tree has one line fewer than accounts")
	}
	assert.Equal(t, 3, draw(make([]string, 53), nil).More)
}

// Hostile names and texts stand as text, and contacts in quotes are hidden.
func TestHostilePage(t *testing.T) {
	offer := func(n int, seller, contact string) *listing.Listing {
		l := &listing.Listing{Key: fmt.Sprint("k", n), File: "a.csv", Row: n + 2}
		for name, v := range map[listing.Name]string{listing.Seller: seller, listing.Contact: contact, listing.ShipsFrom: "DE",
			listing.Title: "<b>Turbo</b> \u202e <script>alert(1)</script>", listing.SellerLocation: "<i>Dresden", listing.PartNumber: "712345-0012"} {
			l.Set(listing.Field{Name: name, Value: v, Raw: v})
		}
		return l
	}
	res, run := audited(t, []*listing.Listing{offer(0, "<script>alert(1)</script>", "Tel. 030 23125000"), offer(1, "\"><img src=x onerror=a>", "+49 30 23125000 and mail a.b@alfa.example")})
	all := pages(t, res, run)
	require.Len(t, all, 1)
	for _, page := range all {
		assert.NotContains(t, page, "<script")
		assert.NotContains(t, page, "<img")
		assert.NotContains(t, page, "23125000")
		assert.NotContains(t, page, "a.b@alfa")
		assert.NotContains(t, page, "\u202e")
		assert.Contains(t, page, "49••••••••00")
		assert.Contains(t, page, "telephone number")
		assert.NotRegexp(t, `(?i)counterfeit|fraud|culprit|ringleader`, page)
	}
}

// Only pages with the mark of this package are taken for stale ones.
func TestStalePages(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "pages"), 0o700))
	for name, text := range map[string]string{"group-0009.html": generator, "group-0010.html": "mine", "group-1.html": generator, "0001-a.html": generator} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "pages", name), []byte(text), 0o600))
	}
	assert.Equal(t, []string{"group-0009.html"}, report.LeftPages(dir, folder, pageForm, generator))
	res, run := audited(t, nil)
	files := New(res, run, report.SellerGroups(res), Options{Dir: dir, Limit: 5}).Files()
	require.Len(t, files, 1)
	assert.Equal(t, "pages/group-0009.html", files[0].Name)
	assert.Nil(t, files[0].Write)
	assert.Empty(t, cmp.Or(New(res, run, report.SellerGroups(res), Options{}).Page(1)))
}

// The page says how much joins two accounts, and warns where strangers are alike.
func TestBarInWords(t *testing.T) {
	assert.Equal(t, "Two accounts are joined from 10.0 dB on.", barText(sellers.Bar{Strong: 10}))
	assert.Contains(t, barText(sellers.Bar{Strong: 9, Estimated: true, Strangers: .04}), "from 9.0 dB on. By estimate 4 % of such pairs in this market are strangers.")
	assert.Contains(t, barText(sellers.Bar{Strong: 10, Estimated: true, Strangers: .25, Crowded: true}), "25 % of such pairs are strangers. Check each group with care.")
}
