package savedpage

import (
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/parse/money"
)

// reference gives a folder of the reference library, or skips the test.
func reference(t testing.TB, name string) string {
	t.Helper()
	dir := filepath.Join("..", "..", "..", "shared", "reference", name)
	if _, err := os.Stat(dir); err != nil {
		if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
			t.Fatalf("the reference library is absent: %v", err)
		}
		t.Skipf("the reference library is absent (%s): put it beside the project", name)
	}
	return dir
}

// TestReferencePages measures against the annotated pages of a published product
// extraction benchmark (github.com/scrapinghub/product-extraction-benchmark,
// MIT licence). A prediction counts as right when it equals one of the
// accepted values:
//
//   - price: equal as a decimal number. The annotation is text as shown on the
//     page and is read by package money with the page's own hints.
//   - currency: the annotated sign or code is one that the predicted ISO 4217
//     code is written with.
//   - availability: in stock or out of stock, as the benchmark knows only these
//     two: every word but OutOfStock, SoldOut and Discontinued is in stock.
//   - sku, mpn, gtin: equal after case and everything but letters and digits
//     is dropped, leading zeros of a gtin too. After the benchmark's own rule a
//     gtin or another identifier that the page uses is accepted as sku only
//     when the annotation lists it. Its sku is whatever number the page goes
//     by; here that of the item and that of the listing are two fields, so the
//     latter is taken where the page shows no item number.
//   - brand: equal after case folding, without marks and spaces.
//
// A prediction where the annotation has no value counts as wrong for price,
// availability and sku, which the benchmark annotates on every page that shows
// them; for the other fields, which were annotated only where visible, it is
// counted apart ("extra") and as wrong in the strict F1.
func TestReferencePages(t *testing.T) {
	dir := reference(t, "pages")
	truth := readTruth(t, filepath.Join(dir, "truth.json"))
	scores := map[string]*score{}
	for _, f := range scoredFields {
		scores[f.name] = &score{}
	}
	ids := make([]string, 0, len(truth))
	for id := range truth {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	for _, id := range ids {
		doc, _, _ := Decode(readGzip(t, filepath.Join(dir, "html", id+".html.gz")), "")
		res := Read(doc, id+".html", "", nil, Options{})
		var l *listing.Listing
		if len(res.Listings) == 1 {
			l = res.Listings[0]
		} else {
			t.Logf("%.8s %s, %d listings", id, res.Kind, len(res.Listings))
			l = &listing.Listing{}
		}
		for _, f := range scoredFields {
			got, want := predicted(l, f.field), accepted(truth[id][f.name])
			if line := scores[f.name].count(f, got, want, l); line != "" {
				t.Logf("%.8s %-12s %s", id, f.name, line)
			}
		}
	}
	t.Log("field         right wrong missed extra  precision recall     F1  strict")
	for _, f := range scoredFields {
		s := scores[f.name]
		t.Logf("%-13s %5d %5d %6d %5d      %.3f  %.3f  %.3f   %.3f", f.name, s.right, s.wrong, s.missed, s.extra,
			s.precision(), s.recall(), s.f1(), s.strict())
		assert.GreaterOrEqual(t, s.f1(), f.floor, f.name)
	}
}

// predicted gives what is compared with the annotation of a field.
func predicted(l *listing.Listing, n listing.Name) string {
	if n == listing.SKU && !l.Has(n) {
		return l.Value(listing.ListingID)
	}
	return l.Value(n)
}

type scoredField struct {
	name  string
	field listing.Name
	same  func(got, want string, l *listing.Listing) bool
	all   bool // annotated on every page: an extra value is wrong
	floor float64
}

var scoredFields = []scoredField{
	{"price", listing.Price, samePrice, true, 0.89},
	{"currency", listing.Currency, sameCurrency, false, 0.97},
	{"availability", listing.Availability, sameStock, true, 0.95},
	{"brand", listing.Brand, sameWord, false, 0.9},
	{"sku", listing.SKU, sameWord, true, 0.93},
	{"gtin", listing.GTIN, sameGTIN, false, 0.97},
	{"mpn", listing.PartNumber, sameWord, false, 0.9},
}

type score struct{ right, wrong, missed, extra int }

func (s *score) count(f scoredField, got string, want []string, l *listing.Listing) string {
	if len(want) == 0 {
		switch {
		case got == "":
			return ""
		case f.all:
			s.wrong++
		default:
			s.extra++
		}
		return fmt.Sprintf("got %q, none annotated", got)
	}
	if got == "" {
		s.missed++
		return fmt.Sprintf("got nothing, want %q", want)
	}
	for _, w := range want {
		if f.same(got, w, l) {
			s.right++
			return ""
		}
	}
	s.wrong++
	s.missed++
	c, _ := l.Get(f.field)
	return fmt.Sprintf("got %q (%s), want %q", got, c.From, want)
}

func ratio(a, b int) float64 {
	if b == 0 {
		return 1
	}
	return float64(a) / float64(b)
}

func (s *score) precision() float64 { return ratio(s.right, s.right+s.wrong) }
func (s *score) recall() float64    { return ratio(s.right, s.right+s.missed) }
func (s *score) f1() float64        { return ratio(2*s.right, 2*s.right+s.wrong+s.missed) }
func (s *score) strict() float64    { return ratio(2*s.right, 2*s.right+s.wrong+s.missed+s.extra) }

func samePrice(got, want string, l *listing.Listing) bool {
	if sameNumber(got, strings.TrimSpace(want)) {
		return true
	}
	p, err := money.Parse(want, money.Hints{Currency: l.Value(listing.Currency)})
	return err == nil && sameNumber(got, p.Amount)
}

// signs are the ways in which the currencies of the reference pages are
// written, after the Unicode CLDR.
var signs = map[string]string{"€": "EUR", "£": "GBP", "₹": "INR", "zł": "PLN", "lei": "RON", "원~": "KRW", "тг.": "KZT",
	"$": "USD CAD AUD NZD CLP ARS MXN TWD SGD HKD COP"}

func sameCurrency(got, want string, _ *listing.Listing) bool {
	return strings.EqualFold(got, want) || strings.Contains(signs[strings.ToLower(want)], got)
}

func sameStock(got, want string, _ *listing.Listing) bool {
	out := got == listing.OutOfStock || got == listing.SoldOut || got == listing.Discontinued
	return out == (want == "OutOfStock")
}

func sameWord(got, want string, _ *listing.Listing) bool { return bare(got) == bare(want) }

func sameGTIN(got, want string, _ *listing.Listing) bool {
	return strings.TrimLeft(bare(got), "0") == strings.TrimLeft(bare(want), "0")
}

func bare(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
}

// accepted takes a value or a list of values.
func accepted(raw json.RawMessage) []string {
	var list []string
	if json.Unmarshal(raw, &list) != nil {
		var one string
		if json.Unmarshal(raw, &one) == nil && one != "" {
			list = []string{one}
		}
	}
	return list
}

func readTruth(t *testing.T, file string) map[string]map[string]json.RawMessage {
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	out := map[string]map[string]json.RawMessage{}
	require.NoError(t, json.Unmarshal(data, &out))
	return out
}

func readGzip(t testing.TB, file string) []byte {
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	z, err := gzip.NewReader(f)
	require.NoError(t, err)
	data, err := io.ReadAll(z)
	require.NoError(t, err)
	return data
}
