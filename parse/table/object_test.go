package table

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

func readJSON(text string) (list []*listing.Listing, res Result) {
	res = StreamLines(strings.NewReader(text), "export.json", Options{}, func(l *listing.Listing) { list = append(list, l) })
	return list, res
}

func reasonsOf(res Result) string {
	var all []string
	for _, p := range res.Problems {
		all = append(all, p.Error())
	}
	return strings.Join(all, "\n")
}

func TestJSONArray(t *testing.T) {
	list, res := readJSON(`  [
  {"title": "Halden turbocharger", "price": {"value": 900.50, "currency": "EUR"}, "seller": {"name": "Alfa", "id": "s-1"},
   "photo_files": ["a.jpg=serial-plate", "b.jpg"]},
  {"offer": {"title": "Halden CHRA", "price": "55,00 EUR"}, "nothing": null}
]
`)
	require.Len(t, list, 2, reasonsOf(res))
	a, b := list[0], list[1]
	assert.Equal(t, 1, a.Row)
	assert.Equal(t, "900.50", a.Value(listing.Price))
	assert.Equal(t, "EUR", a.Value(listing.Currency))
	assert.Equal(t, "Alfa", a.Value(listing.Seller))
	assert.Equal(t, "s-1", a.Value(listing.SellerID))
	seller, _ := a.Get(listing.Seller)
	assert.Equal(t, "row 1, column seller.name", seller.From.String())
	require.Len(t, a.Photos, 2)
	assert.Equal(t, "a.jpg", a.Photos[0].File)
	assert.True(t, a.Photos[0].Shows(listing.ViewSerialPlate))
	assert.Equal(t, 2, b.Row)
	assert.Equal(t, "Halden CHRA", b.Value(listing.Title))
	assert.Equal(t, "55.00", b.Value(listing.Price))
	assert.Empty(t, reasonsOf(res))
}

// An inner id is no listing id, and the second key of one field is named.
func TestJSONKeysAreNotGuessed(t *testing.T) {
	list, res := readJSON(`[{"title":"Turbo","category":{"id":"77"},"price":"10.00","amount":{"price":"5.00"},"preis":"9.00","currency":"EUR"}]`)
	require.Len(t, list, 1)
	assert.False(t, list[0].Has(listing.ListingID))
	assert.Equal(t, "10.00", list[0].Value(listing.Price))
	assert.Contains(t, reasonsOf(res), `key "category.id" is not used`)
	assert.Contains(t, reasonsOf(res), `key "preis" is not used: "price" is price too`)
}

func TestJSONArrayDamaged(t *testing.T) {
	const good = `{"title":"Turbo","price":"1.00","currency":"EUR"}`
	for name, c := range map[string]struct {
		text   string
		rows   int
		reason string
	}{
		"cut in an object":    {"[" + good + `,{"title":"Tu`, 1, "stopped at its object 2"},
		"cut behind one":      {"[" + good, 1, "unexpected EOF"},
		"a stray word":        {"[" + good + ", x]", 1, "stopped at its object 2"},
		"text behind the end": {"[" + good + "] x", 1, "behind the end of the array"},
		"a second array":      {"[" + good + "]\n[" + good + "]", 1, "behind the end of the array"},
		"values, no objects":  {"[1, " + good + "]", 1, "not a JSON object"},
		"empty":               {"[]", 0, ""},
		"a bracket":           {"[", 0, "unexpected EOF"},
		"a million brackets":  {strings.Repeat("[", 1_000_000), 0, "exceeded max depth"},
		"a million braces":    {strings.Repeat(`{"a":`, 1_000_000), 0, "exceeded max depth"},
		"deep, but sound":     {"[" + strings.Repeat(`{"a":`, 5000) + `"x"` + strings.Repeat("}", 5000) + "," + good + "]", 1, "too deeply nested"},
	} {
		t.Run(name, func(t *testing.T) {
			list, res := readJSON(c.text)
			assert.Len(t, list, c.rows)
			if c.reason == "" {
				assert.Empty(t, reasonsOf(res))
			} else {
				assert.Contains(t, reasonsOf(res), c.reason)
			}
		})
	}
}

// endless gives a text for ever.
type endless string

func (e endless) Read(p []byte) (int, error) { return copy(p, e), nil }

func TestJSONArrayIsStreamedAndBounded(t *testing.T) {
	r := io.MultiReader(strings.NewReader(`[{"title":"`), endless(strings.Repeat("x", 4096)))
	res := StreamLines(r, "export.json", Options{}, func(*listing.Listing) { t.Error("a listing of an object without end") })
	assert.Contains(t, reasonsOf(res), "more than eight megabytes")

	var many strings.Builder
	many.WriteString("[")
	for i := range 20_000 {
		fmt.Fprintf(&many, "%s{\"listing_id\":\"n%d\",\"title\":\"%s\"}", []string{"", ","}[min(i, 1)], i, strings.Repeat("t", 500))
	}
	many.WriteString("]")
	n := 0
	res = StreamLines(strings.NewReader(many.String()), "export.json", Options{}, func(*listing.Listing) { n++ })
	assert.Equal(t, 20_000, n, reasonsOf(res))
}

func TestNamedEncoding(t *testing.T) {
	const header = "title;price;currency\n"
	title := func(text, encoding string) (string, string) {
		var got string
		res := Stream(strings.NewReader(text), "t.csv", Options{Encoding: encoding}, func(l *listing.Listing) { got = l.Value(listing.Title) })
		return got, reasonsOf(res)
	}
	got, said := title(header+"\xd2\xf3\xf0\xe1\xee;5.00;EUR\n", "windows-1251")
	assert.Equal(t, "Турбо", got)
	assert.Empty(t, said)
	got, said = title(header+"Z\u00fcndung;5.00;EUR\n", "latin1")
	assert.Equal(t, "Z\u00c3\u00bcndung", got)
	assert.Contains(t, said, "its letters are UTF-8, but it was read as windows-1252")
	got, _ = title("\xef\xbb\xbf"+header+"Z\u00fcndung;5.00;EUR\n", "latin1")
	assert.Equal(t, "Z\u00fcndung", got, "a byte order mark counts more")
	_, said = title(header+"T\x81\x20\xff;5.00;EUR\n", "shift_jis")
	assert.Contains(t, said, "could not be decoded")
	_, said = title(header, "klingon")
	assert.Contains(t, said, "no encoding")
}

// A replacement character may lie across two reads.
func TestLossCounter(t *testing.T) {
	text := "a\uFFFDb\uFFFD\uFFFD"
	for size := 1; size < 12; size++ {
		c := &lossCounter{r: strings.NewReader(text)}
		for buf := make([]byte, size); ; {
			if _, err := c.Read(buf); err != nil {
				break
			}
		}
		assert.Equal(t, 3, c.n, "reads of %d bytes", size)
	}
}

// Any bytes as JSON: no panic, each listing has a field, and what is read is
// read again alike.
func FuzzLines(f *testing.F) {
	for _, s := range []string{"", "[", "[{}]", `{"record":"problem","severity":"refused","file":"a","place":"row 2, column x","field":"price","reason":"b"}`, `[{"title":"T","price":{"value":"1,00","currency":"EUR"}}]`, `{"title":"T"}` + "\n" + `{"photo_files":["a.jpg=box-label",{"x":[1,null,true]}]}`,
		`{"listing":"a","file":"b","sha256":"","fields":{"price":{"value":"1.00","raw":"1","from":"row 1"}},"photos":null}`, `[{"a":` + strings.Repeat(`{"a":`, 20) + "1",
		`{"n":1,"data":{"items":[{"node":{"title":"T","price":"1"}},2]},"x":[{}]} {"title":"U"}`, "{\n\"title\": \"T\",\n\"offers\": [{\"price\": 1}]\n}"} {
		f.Add([]byte(s), "")
		f.Add([]byte(s), "utf-16le")
	}
	f.Fuzz(func(t *testing.T, data []byte, encoding string) {
		if len(data) > 1<<16 {
			return
		}
		once := func() string {
			var b strings.Builder
			res := StreamLines(strings.NewReader(string(data)), "f", Options{Encoding: encoding}, func(l *listing.Listing) {
				fmt.Fprintln(&b, listing.ToLine(l))
			})
			return b.String() + reasonsOf(res) + fmt.Sprint(res.Told)
		}
		assert.Equal(t, once(), once())
	})
}
