package rules

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/rules/userrules"
)

// ownBook reads a file with one rule for each condition, called c-0, c-1, ...
func ownBook(t testing.TB, more string, conditions ...string) *userrules.Book {
	text := "rules:\n"
	for i, c := range conditions {
		text += fmt.Sprintf("  - {id: c-%d, family: terms, weight: 4, title: T, meaning: M, innocent: I, ask: A,\n     statement: '{seller}: {price}', quote: [price, warranty], when: '%s'}\n", i, c)
	}
	book, err := ReadRules("rules.yaml", []byte(text+more))
	require.NoError(t, err)
	return book
}

func offer(n int, fields map[listing.Name]string) *listing.Listing {
	l := &listing.Listing{Key: fmt.Sprintf("L-%d", n), File: "offers.csv", SHA256: "ab", Row: n + 2}
	for name, value := range fields {
		l.Set(listing.Field{Name: name, Value: value, Raw: value, From: listing.Cell(l.Row, name.String())})
	}
	return l
}

// marketOf gives offers of one part at the prices, each of a seller of its own.
func marketOf(prices ...string) []*listing.Listing {
	var batch []*listing.Listing
	for i, p := range prices {
		batch = append(batch, offer(i, map[listing.Name]string{listing.Seller: fmt.Sprintf("Seller %c", 'A'+i),
			listing.Title: "Genuine Halden turbocharger 712345-0012", listing.Brand: "Halden", listing.PartNumber: "712345-0012",
			listing.Price: p, listing.Currency: "EUR", listing.Shipping: "0", listing.Condition: listing.New,
			listing.SerialNumber: "HX2301184", listing.QuantityAvailable: "4", listing.SellerSince: "2026-01"}))
	}
	return batch
}

var ownAsOf = time.Date(2026, 9, 30, 0, 0, 0, 0, time.UTC)

// Each fact has the value that the listing, worked out by hand, has.
func TestValuesOfFacts(t *testing.T) {
	batch := marketOf("100", "200", "200", "210", "190", "200")
	l := batch[0]
	l.PhotosKnown = true
	l.Photos = []listing.Photo{{Views: []listing.View{{Name: listing.ViewBoxLabel}}}, {}}
	l.Set(listing.Field{Name: listing.URL, Value: "https://www.parts.example/1", Raw: "x"})
	l.Set(listing.Field{Name: listing.PriceWas, Value: "400", Raw: "400"})
	facts := []struct {
		name string
		want any
	}{
		{"listing.warranty", nil}, {"listing.seller", "Seller A"}, {"listing.claim", "genuine"}, {"listing.as_maker", true},
		{"listing.part", "7123450012"}, {"listing.marketplace", "parts.example"},
		{"price.listed", 100.0}, {"price.shipping", 0.0}, {"price.core_deposit", nil}, {"price.was", 400.0},
		{"price.landed", 100.0}, {"price.at_least", false}, {"price.ratio", 0.5}, {"price.reference_ratio", nil},
		{"market.n", 5.0}, {"market.band", "weak"}, {"market.median", 200.0}, {"market.widened", false}, {"market.two_groups", false}, {"market.reference", nil},
		{"quantity.available", 4.0}, {"quantity.lot", nil}, {"quantity.minimum", nil},
		{"serial.sellers", 5.0}, {"serial.placeholder", false},
		{"photos.known", true}, {"photos.count", 2.0}, {"photos.with_view", 1.0}, {"photos.views", []string{"box-label"}}, {"photos.sellers", nil},
		{"seller.group_size", 1.0}, {"seller.listings", 1.0}, {"seller.quantity", 4.0},
		{"seller.account_days", 272.0}, // 1 January to 30 September 2026
		{"seller.feedback", nil}, {"seller.feedback_count", nil},
	}
	f, err := Build(batch, Options{AsOf: ownAsOf, Book: ownBook(t, "", "photos.known")})
	require.NoError(t, err)
	p := &Pass{Facts: f, N: 0, Listing: l, Market: f.Markets.Assess(0)}
	for _, c := range facts {
		i := 0
		for userrules.Facts[i].Name != c.name {
			i++
		}
		got, lack := p.fact(i)
		assert.Equal(t, c.want, got, c.name)
		assert.Equal(t, c.want == nil, lack != noNeed, c.name)
		if lack != noNeed {
			assert.NotEmpty(t, lack.String(), c.name)
		}
	}
}

// Each fact has a value of the type its table says, and a need of its own
// unless it is always known.
func TestEveryFactHasAValue(t *testing.T) {
	require.Less(t, int(lastNeed)+len(userrules.Facts)+1, int(itself), "a need is one byte")
	require.LessOrEqual(t, len(All)+userrules.MaxRules, maxRules, "a gap numbers rules in one byte")
	batch := append(marketOf("100", "200", "200", "210", "190", "200"), offer(6, nil))
	f, err := Build(batch, Options{AsOf: ownAsOf, Book: ownBook(t, "", "photos.known")})
	require.NoError(t, err)
	types := map[userrules.Type]any{userrules.Text: "", userrules.Number: 0.0, userrules.YesNo: false, userrules.Words: []string{}}
	for n, l := range batch {
		p := &Pass{Facts: f, N: n, Listing: l, Market: f.Markets.Assess(n)}
		for i := range userrules.Facts {
			fact := &userrules.Facts[i]
			v, lack := p.fact(i)
			if lack == noNeed {
				assert.IsType(t, types[fact.Type], v, fact.Name)
				continue
			}
			assert.NotEmpty(t, lack.String(), fact.Name)
			if lack == factNeed(i) {
				assert.Contains(t, lack.String(), "("+fact.Name+")")
				assert.False(t, lack.IsSetting())
				assert.Equal(t, fact.Ask, lack.Ask())
			} else {
				assert.Contains(t, ownFacts[i].needs, lack, fact.Name)
			}
		}
	}
	for i := range userrules.Facts {
		_, lack := (&Pass{Facts: f, N: 6, Listing: batch[6], Market: f.Markets.Assess(6)}).fact(i)
		assert.Equal(t, userrules.Facts[i].Lacks == "", lack == noNeed, "%s: the empty listing shows it, or nothing is said of what it lacks", userrules.Facts[i].Name)
	}
}

func TestOwnRule(t *testing.T) {
	batch := marketOf("100", "200", "200", "210", "190", "200")
	batch[1].Remove(listing.Price)
	book := ownBook(t, "off: [no-returns-new]\nthresholds: {price-ratio: 0.4}\n",
		`price.ratio < 0.6 && listing.claim == "genuine"`, `listing.warranty == "" or photos.known`, `price.listed / price.shipping > 2`)
	res, err := Audit(context.Background(), batch, Options{AsOf: ownAsOf, Book: book})
	require.NoError(t, err)
	assert.Len(t, res.Rules, len(All)-1+3)

	byKey := map[string]*Judged{}
	for _, j := range res.Ranked {
		byKey[j.Listing.Key] = j
		for _, g := range j.Gaps {
			assert.NotEmpty(t, g.Need.String(), res.Rules[g.Rule].ID)
		}
	}
	gap := func(key, id string) string {
		for _, g := range byKey[key].Gaps {
			if res.Rules[g.Rule].ID == id {
				return g.Need.String()
			}
		}
		return ""
	}
	found := findingOf(byKey["L-0"], "c-0")
	require.NotNil(t, found)
	assert.Equal(t, "Seller A: 100 EUR", found.Statement)
	assert.Equal(t, 4.0, found.WeightDB)
	require.Len(t, found.Evidence, 2, "the price once, the title for the claim, no warranty")
	assert.Equal(t, Evidence{File: "offers.csv", SHA256: "ab", Place: "row 2, column price", Quote: "100"}, found.Evidence[0])
	assert.Nil(t, findingOf(byKey["L-3"], "c-0"))
	assert.Empty(t, gap("L-3", "c-0"), "assessed and silent")

	assert.Contains(t, gap("L-1", "c-0"), "(price.ratio)")
	assert.Equal(t, "the field warranty (listing.warranty)", gap("L-0", "c-1"), "an 'or' does not help")
	assert.Contains(t, gap("L-0", "c-2"), "other than 0 to divide by")

	// The changed threshold is told where the rule is printed, and holds.
	assert.Nil(t, findingOf(byKey["L-0"], "price-low-outlier"))
	for _, r := range res.Rules {
		assert.NotEqual(t, "no-returns-new", r.ID)
		if r.ID == "price-low-outlier" {
			assert.Contains(t, r.Doc.Formula, "Changed in this run: threshold price-ratio is 0.4 instead of 0.6 (rules.yaml).")
		}
	}
	assert.NotContains(t, PriceLowOutlier.Doc.Formula, "Changed")
	plain, err := Audit(context.Background(), batch, Options{AsOf: ownAsOf})
	require.NoError(t, err)
	for _, j := range plain.Ranked {
		if j.Listing.Key == "L-0" {
			assert.NotNil(t, findingOf(j, "price-low-outlier"))
		}
	}
}

func findingOf(j *Judged, id string) *Finding {
	for i := range j.Findings {
		if j.Findings[i].Rule.ID == id {
			return &j.Findings[i]
		}
	}
	return nil
}

// What a reader must know of a price stands behind the user's sentence.
func TestOwnRuleRemarksOnPrices(t *testing.T) {
	batch := marketOf("100", "200", "200", "210", "190", "200")
	batch[0].Remove(listing.Shipping)
	res, err := Audit(context.Background(), batch, Options{AsOf: ownAsOf, Book: ownBook(t, "", "price.ratio < 0.6", "price.listed < 150")})
	require.NoError(t, err)
	for _, j := range res.Ranked {
		if j.Listing.Key == "L-0" {
			assert.Equal(t, "Seller A: 100 EUR (a lower bound: shipping not observed)", findingOf(j, "c-0").Statement)
			assert.Equal(t, "Seller A: 100 EUR", findingOf(j, "c-1").Statement)
		}
	}
}

// A user's weight for a rule of their own counts like any other, and takes
// part in the family's weighing.
func TestOwnRuleIsWeighed(t *testing.T) {
	book := ownBook(t, "", "photos.known == false", "price.listed > 1")
	batch := []*listing.Listing{offer(0, map[listing.Name]string{listing.Price: "5", listing.Currency: "EUR"})}
	res, err := Audit(context.Background(), batch, Options{AsOf: ownAsOf, Book: book, Weights: map[string]float64{"c-1": 10}})
	require.NoError(t, err)
	assert.Equal(t, 12.0, res.Ranked[0].EvidenceDB, "10 + 4/2")
}

// A run at the bounds of every threshold ends, and at the defaults it is the
// run without a file.
func TestBoundsOfThresholds(t *testing.T) {
	batch := marketOf("90", "91", "95", "100", "180", "190", "195", "200", "200", "200", "205", "210", "250", "300")
	for i, l := range batch {
		l.PhotosKnown = true
		l.Photos = []listing.Photo{{Fingerprint: 1<<i - 1, Mirror: ^uint64(0), Printed: true, SHA256: fmt.Sprint(i)}}
		text := fmt.Sprintf("A turbocharger for sale from lot %d, complete with actuator, in its box, never fitted, sent by courier on the next day from our own store", i)
		l.Set(listing.Field{Name: listing.Description, Value: text, Raw: text})
	}
	run := func(thresholds string) string {
		book, err := ReadRules("rules.yaml", []byte("thresholds: {"+thresholds+"}\n"))
		require.NoError(t, err, thresholds)
		res, err := Audit(context.Background(), batch, Options{AsOf: ownAsOf, Book: book})
		require.NoError(t, err, thresholds)
		out := ""
		for _, j := range res.Ranked {
			out += fmt.Sprintln(j.Listing.Key, j.EvidenceDB, len(j.Findings), len(j.Gaps))
		}
		return out
	}
	plain, all := run(""), ""
	for _, h := range userrules.ThresholdTable {
		for _, x := range []float64{h.Least, h.Most} {
			text := fmt.Sprintf("%s: %v", h.Name, x)
			if x == h.Most && (h.Name == "sellers-ratio" || h.Name == "sellers-weak") {
				text += ", sellers-full: 1000"
			}
			if x == h.Most && h.Name == "sellers-ratio" {
				text += ", sellers-weak: 1000"
			}
			run(text)
		}
		all += fmt.Sprintf("%s: %v,", h.Name, h.Default)
	}
	assert.Equal(t, plain, run(all))
	for _, text := range []string{"price-ratio: 0.05, price-gap: 10, main-ratio: 0.05", "photo-distance: 1", "sellers-ratio: 20, sellers-weak: 20, sellers-full: 20"} {
		assert.NotEqual(t, plain, run(text), text)
	}
}

// The rules that a threshold is said to concern exist.
func TestThresholdsNameRules(t *testing.T) {
	for _, h := range userrules.ThresholdTable {
		for _, id := range h.Rules {
			assert.Contains(t, IDs(), id, h.Name)
		}
	}
}

// A user's rule over 100,000 listings; facts built before.
func BenchmarkOwnRule(b *testing.B) {
	for name, when := range map[string]string{
		"numbers": `price.ratio < 0.5 && listing.claim == "genuine"`,
		"texts":   `lower(listing.title) contains "replica" or listing.title matches "(?i)1:1"`,
	} {
		b.Run(name, func(b *testing.B) {
			book := ownBook(b, "", when)
			var batch []*listing.Listing
			for n := range 100_000 {
				batch = append(batch, offer(n, map[listing.Name]string{listing.Title: "Genuine Halden turbocharger 712345-0012",
					listing.Seller: fmt.Sprint("Seller ", n/2000), listing.PartNumber: fmt.Sprintf("712345-%04d", n%2000),
					listing.Price: fmt.Sprint(100 + n%97), listing.Currency: "EUR", listing.Condition: listing.New}))
			}
			f, err := Build(batch, Options{AsOf: ownAsOf, Book: book})
			require.NoError(b, err)
			passes := make([]Pass, len(batch))
			for n, l := range batch {
				passes[n] = Pass{Facts: f, N: n, Listing: l, Market: f.Markets.Assess(n)}
			}
			own := RulesFor(book)
			rule := own[len(own)-1]
			b.ReportAllocs()
			for b.Loop() {
				for n := range passes {
					rule.Run(&passes[n])
				}
			}
		})
	}
}
