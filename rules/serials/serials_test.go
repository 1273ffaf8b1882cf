package serials

import (
	"fmt"
	"slices"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

func TestCanonical(t *testing.T) {
	for in, want := range map[string]string{
		"k2304-12345":              "K230412345",
		" S/N: K2304 12345 ":       "K230412345",
		"Serial No. K2304/12345":   "K230412345",
		"Seriennummer K2304.12345": "K230412345",
		"SN:1234X":                 "1234X",
		"SN 12X45":                 "SN12X45", // SN may belong to the serial
		"Ｋ２３０４１２３４５":               "K230412345",
		"(K230412345)":             "K230412345",
		"К230412345":               "К230412345", // Cyrillic Ka is not exchanged for a Latin K
		"K2304***45":               "K2304***45",
		"序列号：K230412345":           "K230412345",
		"K2304-12345 (see photo)":  "K230412345",
		"K2304(1)":                 "K23041", // may belong to the serial
		" - ":                      "",
		"":                         "",
	} {
		assert.Equal(t, want, Canonical(in), in)
	}
}

// Which values are fillers is common practice, no source.
func TestPlaceholder(t *testing.T) {
	for in, want := range map[string]string{
		"":              "it holds no letter or digit",
		"---":           "it holds no letter or digit",
		"****":          "it holds no letter or digit",
		"N/A":           "the words stand for an unknown serial",
		"see photo":     "the words stand for an unknown serial",
		"siehe Foto":    "the words stand for an unknown serial",
		"см. фото":      "the words stand for an unknown serial",
		"见图":            "the words stand for an unknown serial",
		"Serial Number": "the words stand for an unknown serial",
		"xxxx":          "one character is repeated",
		"000000":        "one character is repeated",
		"K2304XXXXX":    "part of it is masked",
		"K2304***45":    "part of it is masked",
		"K23":           "it is too short to tell units apart",
		"1234":          "it is too short to tell units apart",
		"123456":        "it is a counting row",
		"12345-67890":   "it is a counting row",
		"987654321":     "it is a counting row",
		"ABCDEF":        "it is a counting row",
		"abc123":        "it is a counting row",
		"SN12345":       "it is a counting row",
		"qwerty":        "it is a row of keys",
		"poiuy":         "it is a row of keys",
		"йцукен":        "it is a row of keys",
		"121212":        "a short pattern is repeated",
		"123123":        "a short pattern is repeated",
		"000001":        "it is zeros and one digit",
		"turbolader":    "it holds no digit",
		"K230412345":    "",
		"serial stands on the plate, photo 4 shows it close": "it is too long for a serial",
		"12346":    "",
		"A12346":   "",
		"K1234":    "", // four digits in a row after a letter happen
		"K123450":  "",
		"100000":   "",
		"NA230411": "",
	} {
		why, ok := Placeholder(in)
		assert.Equal(t, want, why, in)
		assert.Equal(t, want != "", ok, in)
	}
}

func TestFold(t *testing.T) {
	assert.Equal(t, Fold("K0158212345"), Fold("KOISBZIZ34S"))
	assert.NotEqual(t, Fold("K230412345"), Fold("K230412346"))
}

func sight(l int, seller, part, serial string) Sighting {
	return Sighting{Listing: l, Seller: seller, Part: part, Serial: serial, Field: listing.SerialNumber, Quantity: 1}
}

func TestRepeats(t *testing.T) {
	plate := sight(0, "a.example/1", "P1", "K230412345")
	plate.Field = listing.PlateSerial
	in := []Sighting{
		sight(3, "b.example/2", "P2", "k2304 12345"),
		sight(0, "a.example/1", "P1", "K2304-12345"), plate,
		sight(5, "", "", "K230412345, K999000111"),
		sight(6, "c.example/3", "P1", "K23O412345"),
		sight(7, "c.example/3", "P1", "N/A"),
		sight(8, "b.example/2", "P1", "n/a"),
		sight(9, "b.example/2", "maker|712345-0012|complete", "712345 0012"),
		sight(1, "a.example/1", "P1", "  "),
		sight(2, "a.example/1", "P1", "K5550001"), sight(2, "a.example/1", "P1", "K555-0001"),
	}
	before := slices.Clone(in)
	x := Build(in)
	assert.Equal(t, before, in)

	reps := x.Repeats()
	require.Len(t, reps, 1)
	r := reps[0]
	assert.Equal(t, "K230412345", r.Serial)
	assert.Equal(t, []string{"K2304-12345", "K230412345", "k2304 12345"}, r.Spellings)
	assert.Equal(t, []int{3, 2, 2}, []int{r.Listings, r.Sellers, r.Parts})
	assert.Equal(t, []int{0, 0, 3, 5}, listings(r.Sightings))

	again, ok := x.Repeat("k2304 12345")
	assert.True(t, ok)
	assert.Equal(t, r, again)
	_, ok = x.Repeat("K999000111")
	assert.False(t, ok)

	assert.Equal(t, []int{5}, listings(x.Of("k999-000-111")))
	assert.Empty(t, x.Of("N/A"))
	assert.Equal(t, []int{6}, listings(x.Near("K230412345")))
	assert.Equal(t, []int{0, 0, 3, 5}, listings(x.Near("K23O412345")))
	assert.Empty(t, x.Near("K999000111"))

	require.Len(t, x.Excluded(), 2)
	assert.Equal(t, "7123450012", x.Excluded()[0].Serial)
	assert.Equal(t, "the part number stands in the serial's place", x.Excluded()[0].Why)
	assert.Equal(t, []int{7, 8}, listings(x.Excluded()[1].Sightings))
	assert.Equal(t, 2, x.Excluded()[1].Listings)
}

func TestOrderDoesNotMatter(t *testing.T) {
	var in []Sighting
	for i := range 40 {
		in = append(in, sight(i, fmt.Sprint("s", i%3), fmt.Sprint("p", i%5), fmt.Sprint("K7", 1000+i/2)))
	}
	want := Build(in)
	slices.Reverse(in)
	assert.Equal(t, want, Build(in))
}

func TestRuns(t *testing.T) {
	x := Build([]Sighting{
		sight(0, "a", "P", "K2304099"), sight(1, "a", "P", "K2304100"), sight(2, "a", "P", "K2304101"),
		sight(2, "a", "P", "K2304102"),
		sight(3, "a", "P", "K2304104"), sight(4, "a", "P", "K2304105"), // two are no run
		sight(5, "b", "P", "K2304103"),   // another seller does not close the gap
		sight(6, "b", "P", "M2304104"),   // another prefix
		sight(7, "b", "P", "M023040105"), // another width
		sight(8, "", "P", "Q2304101"), sight(8, "", "P", "Q2304102"), sight(8, "", "P", "Q2304103"),
	})
	require.Len(t, x.Runs(), 1)
	r := x.Runs()[0]
	assert.Equal(t, "a", r.Seller)
	assert.Equal(t, "K", r.Prefix)
	assert.Equal(t, "K2304099", r.First)
	assert.Equal(t, "K2304102", r.Last)
	assert.Equal(t, 3, r.Listings)
	assert.Equal(t, []int{0, 1, 2, 2}, listings(r.Sightings))

	// Closing digits beyond 18 count as part of the prefix.
	long := "9999999999999999999"
	assert.Len(t, Build([]Sighting{sight(0, "a", "", "1"+long+"1"), sight(0, "a", "", "1"+long+"2"),
		sight(0, "a", "", "1"+long+"3")}).Runs(), 1)
	assert.Empty(t, Build(nil).Runs())
}

func listings(list []Sighting) []int {
	var out []int
	for _, s := range list {
		out = append(out, s.Listing)
	}
	return out
}

func FuzzCanonical(f *testing.F) {
	for _, s := range []string{"S/N: K2304-12345", "S N:5", "Ｋ２３", "xxxx", "\xff", "ŉ123456", "123456", "序列号：1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c := Canonical(s)
		if !utf8.ValidString(c) || Canonical(c) != c {
			t.Fatalf("Canonical(%q) = %q, then %q", s, c, Canonical(c))
		}
		why, ok := Placeholder(s)
		if ok != (why != "") {
			t.Fatalf("Placeholder(%q) = %q, %v", s, why, ok)
		}
		x := Build([]Sighting{sight(0, "a", "", s), sight(1, "b", "", s)})
		for _, r := range x.Repeats() {
			if len(x.Of(r.Serial)) == 0 || len(x.Near(r.Serial)) != 0 && len(x.Repeats()) == 1 {
				t.Fatalf("%q is not found again", r.Serial)
			}
		}
	})
}

func BenchmarkBuild100k(b *testing.B) {
	in := make([]Sighting, 100_000)
	for i := range in {
		in[i] = sight(i, fmt.Sprint("s", i%900), fmt.Sprint("p", i%500), fmt.Sprintf("K%02d-%06d", i%30, i*7919%90000))
	}
	for b.Loop() {
		Build(in)
	}
}
