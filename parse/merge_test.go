package parse

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// made makes a listing from "file#row field=value …"; a field's blanks are
// written as underscores.
func made(text string) *listing.Listing {
	words := strings.Fields(text)
	l := &listing.Listing{SHA256: "sha of " + words[0]}
	l.File, _, _ = strings.Cut(words[0], "#")
	if _, row, ok := strings.Cut(words[0], "#"); ok {
		_, _ = fmt.Sscan(row, &l.Row)
	}
	for _, w := range words[1:] {
		if w == "brief" {
			l.Brief = true
			continue
		}
		key, value, _ := strings.Cut(w, "=")
		value = strings.ReplaceAll(value, "_", " ")
		l.Set(listing.Field{Name: nameOf(key), Value: value, Raw: value})
	}
	return l
}

func nameOf(short string) listing.Name {
	return map[string]listing.Name{"id": listing.ListingID, "url": listing.URL, "at": listing.CapturedAt, "t": listing.Title,
		"pn": listing.PartNumber, "p": listing.Price, "s": listing.Seller, "sid": listing.SellerID, "sku": listing.SKU}[short]
}

// joined merges the lines, each from a source of its own, and gives for each
// listing its key, what counts and what hangs on it.
func joined(order []int, lines []string) string {
	var read [][]*listing.Listing
	for _, i := range order {
		read = append(read, []*listing.Listing{made(lines[i])})
	}
	kept, _ := merge(read)
	var out []string
	for _, l := range kept {
		s := l.Key + " = " + whence(l)
		for _, a := range l.Also {
			s += " + " + whence(&listing.Listing{File: a.File, Row: a.Row})
		}
		for _, d := range l.Disagreements {
			s += fmt.Sprintf(" [%s %s, %s in %s]", d.Kept.Name, d.Kept.Value, d.Other.Value, d.In.File)
		}
		out = append(out, s)
	}
	return strings.Join(out, "\n")
}

func TestMerge(t *testing.T) {
	for name, c := range map[string]struct {
		lines []string
		want  string
	}{
		"newest by address": {[]string{"a url=https://m.example/1 at=2026-08-01 p=9.00", "b url=https://www.m.example/1/?ref=x at=2026-09-01 p=8.00"},
			"m.example/1 = b + a [price 8.00, 9.00 in a]"},
		"newest across time zones": {[]string{"a url=https://m.example/1 at=2026-09-01T23:30:00-05:00", "b url=https://m.example/1 at=2026-09-02T01:00:00Z"},
			"m.example/1 = a + b"},
		"three captures": {[]string{"a url=https://m.example/1 at=2026-08-01 p=9.00", "b url=https://m.example/1 at=2026-09-01 p=8.00", "c url=https://m.example/1 at=2026-08-15 p=9.00"},
			"m.example/1 = b + a + c [price 8.00, 9.00 in a]"},
		"id on one marketplace": {[]string{"a id=7 url=https://m.example/x?a=1 s=Alfa", "b id=7 url=https://m.example/y s=Alfa"}, "7 = a + b"},
		"id on two marketplaces": {[]string{"a id=7 url=https://m.example/7", "b id=7 url=https://n.example/7"},
			"m.example/7 = a\nn.example/7 = b"},
		"id of two sellers":                {[]string{"a id=7 s=Alfa t=T", "b id=7 s=Beta t=T"}, "a = a\nb = b"},
		"two sellers at one address":       {[]string{"a url=https://m.example/1 s=Alfa", "b url=https://m.example/1 s=Beta"}, "a = a\nb = b"},
		"one seller under two names":       {[]string{"a id=7 sid=s1 s=Alfa", "b id=7 sid=s1 s=Alfa_Parts"}, "7 = a + b [seller Alfa, Alfa Parts in b]"},
		"two sellers, each captured twice": {[]string{"a id=7 s=Alfa t=T", "b id=7 s=Beta t=T", "c id=7 s=Alfa t=T", "d id=7 s=Beta t=T"}, "a = a + c\nb = b + d"},
		"a seller unknown, one possible":   {[]string{"a id=7 s=Alfa t=T", "b id=7 t=T"}, "7 = a + b"},
		"a seller unknown, two possible":   {[]string{"a id=7 s=Alfa t=T", "b id=7 s=Beta t=T", "c id=7 t=T"}, "a = a\nb = b\nc = c"},
		"row numbers are no ids":           {[]string{"a#2 id=1 t=Turbo_A pn=1", "b#2 id=1 t=Turbo_B pn=2"}, "a, row 2 = a, row 2\nb, row 2 = b, row 2"},
		"result page, newer": {[]string{"a url=https://m.example/1 at=2026-08-01 p=9.00 t=A_whole_title", "b brief url=https://m.example/1 at=2026-09-01 p=8.00 t=A_whole…"},
			"m.example/1 = a + b [price 9.00, 8.00 in b]"},
		"the shop's address in all rows": {[]string{"a#2 url=https://m.example/ t=A", "a#3 url=https://m.example/ t=A", "a#4 url=https://m.example t=A"},
			"a, row 2 = a, row 2\na, row 3 = a, row 3\na, row 4 = a, row 4"},
		"a search in all rows": {[]string{"a#2 url=https://m.example/s?q=t t=A", "a#3 url=https://m.example/s?q=t t=B", "a#4 url=https://m.example/s?q=t t=A pn=5"},
			"a, row 2 = a, row 2\na, row 3 = a, row 3\na, row 4 = a, row 4"},
		"one table's history": {[]string{"a#2 url=https://m.example/1 t=A p=9.00 at=2026-08-01", "a#3 url=https://m.example/1 t=A p=8.00 at=2026-08-02"},
			"m.example/1 = a, row 3 + a, row 2 [price 8.00, 9.00 in a]"},
		"one address, two prices": {[]string{"a#2 url=https://m.example/1 t=A p=9.00", "a#3 url=https://m.example/1 t=A p=8.00"},
			"a, row 2 = a, row 2\na, row 3 = a, row 3"},
		"copies of one file": {[]string{"a t=A p=1.00", "a t=A p=1.00"}, "a = a"},
		"address bridges id": {[]string{"a url=https://m.example/1", "b id=7 t=T", "c url=https://m.example/1 id=7 t=T"}, "7 = c + a + b"},
	} {
		t.Run(name, func(t *testing.T) {
			order := make([]int, len(c.lines))
			for i := range order {
				order[i] = i
			}
			got := joined(order, c.lines)
			assert.Equal(t, c.want, got)
			for seed := range uint64(10) {
				rand.New(rand.NewPCG(seed, 0)).Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
				assert.Equal(t, got, joined(order, c.lines), "another order")
			}
		})
	}
}

// Variants that one page shows at its address stay apart; one that is shown
// twice is one.
func TestMergeWithinOnePage(t *testing.T) {
	list := []*listing.Listing{made("a url=https://m.example/1 t=T p=5.00"), made("a url=https://m.example/1 t=T p=6.00"), made("a url=https://m.example/1 t=T p=5.00")}
	kept, problems := merge([][]*listing.Listing{list})
	require.Len(t, kept, 2)
	assert.Len(t, problems, 1)
	assert.NotEqual(t, kept[0].Key, kept[1].Key)
}

// What one run joined stays joined in the next one.
func TestMergeOfMerged(t *testing.T) {
	a, b, c := "a url=https://m.example/1 at=2026-08-01 p=9.00", "b url=https://m.example/1 at=2026-08-02 p=8.00", "c url=https://m.example/1 at=2026-08-03 p=7.00"
	whole, _ := merge([][]*listing.Listing{{made(a)}, {made(b)}, {made(c)}})
	part, _ := merge([][]*listing.Listing{{made(a)}, {made(b)}})
	again, _ := merge([][]*listing.Listing{part, {made(c)}})
	require.Len(t, again, 1)
	assert.ElementsMatch(t, whole[0].Also, again[0].Also)
	assert.ElementsMatch(t, whole[0].Disagreements, again[0].Disagreements)
	assert.Equal(t, whole[0].Key, again[0].Key)
}

// What only an older capture shows is kept and says where it stands; what
// changes with time is kept as a difference.
func TestMergeTakesOver(t *testing.T) {
	at := func(l *listing.Listing, n listing.Name, value, path string) *listing.Listing {
		l.Set(listing.Field{Name: n, Value: value, Raw: value, From: listing.Place{Source: "page", Path: path, Start: 3, End: 9}})
		return l
	}
	lines := func(read ...[]*listing.Listing) (*listing.Listing, string) {
		kept, problems := merge(read)
		require.Len(t, kept, 1)
		var out []string
		for _, p := range problems {
			out = append(out, p.File+": "+p.Reason)
		}
		return kept[0], strings.Join(out, "\n")
	}
	oldest := at(at(made("a url=https://m.example/1 at=2026-08-01 pn=A-1 p=9.00"), listing.SerialNumber, "S-1", "b"), listing.Brand, "Acme", "i")
	old := at(made("b url=https://m.example/1 at=2026-08-02 pn=A-1"), listing.SerialNumber, "S-2", "p")
	old.Photos, old.PhotosKnown = []listing.Photo{{File: "b_files/1.jpg"}}, true
	newest := made("c url=https://m.example/1 at=2026-08-03 t=Turbocharger pn=A-1")
	whole, said := lines([]*listing.Listing{oldest}, []*listing.Listing{old}, []*listing.Listing{newest})
	assert.Equal(t, "Turbocharger", whole.Value(listing.Title))
	serial, _ := whole.Get(listing.SerialNumber)
	assert.Equal(t, "S-2", serial.Value, "the newer of the two")
	assert.Equal(t, "capture b: page p, bytes 3-9", serial.From.String())
	assert.Equal(t, "Acme", whole.Value(listing.Brand))
	assert.False(t, whole.Has(listing.Price))
	assert.Contains(t, whole.Disagreements, listing.Disagreement{Kept: listing.Field{Name: listing.Price},
		Other: listing.Field{Name: listing.Price, Value: "9.00", Raw: "9.00"}, In: oldest.Ref()})
	assert.Equal(t, "b_files/1.jpg", whole.Photos[0].File)
	assert.True(t, whole.PhotosKnown)
	assert.Equal(t, "a: the same listing as in c; that capture counts, differing values kept: 1; taken from here, as that one does not show it: brand\n"+
		"b: the same listing as in c; that capture counts, differing values kept: 0; taken from here, as that one does not show it: serial_number, photos", said)

	back, err := listing.FromLine(mustLine(t, whole))
	require.NoError(t, err)
	again, _ := lines([]*listing.Listing{back}, []*listing.Listing{made("d url=https://m.example/1 at=2026-08-04 pn=A-1")})
	serial, _ = again.Get(listing.SerialNumber)
	assert.Equal(t, "capture b: page p, bytes 3-9", serial.From.String(), "also after an extraction of its own")
}

func mustLine(t *testing.T, l *listing.Listing) []byte {
	t.Helper()
	line, err := json.Marshal(listing.ToLine(l))
	require.NoError(t, err)
	return line
}

func TestKeysAreUnique(t *testing.T) {
	var list []*listing.Listing
	for i := range 50 {
		list = append(list, made(fmt.Sprintf("a p=%d.00", i)), made(fmt.Sprintf("a,_offer_2 p=%d.00", i)), made(fmt.Sprintf("b#%d id=%d", i+2, i/5)))
	}
	kept, _ := merge([][]*listing.Listing{list})
	seen := map[string]bool{}
	for _, l := range kept {
		assert.False(t, seen[l.Key], l.Key)
		seen[l.Key] = true
	}
}

// Many listings of one id or address must not cost their square.
func BenchmarkMerge(b *testing.B) {
	for _, c := range []struct{ name, line string }{
		{"apart", "f#%[1]d id=%[1]d t=T s=S%[1]d"}, {"one id", "f#%[1]d id=1 t=T s=S%[1]d"}, {"one address", "f#%[1]d url=https://m.example/1 t=T%[1]d"},
		{"one listing", "f%[1]d url=https://m.example/1 id=1 p=%[1]d.00"},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				list := make([]*listing.Listing, 20_000)
				for i := range list {
					list[i] = made(fmt.Sprintf(c.line, i))
				}
				b.StartTimer()
				merge([][]*listing.Listing{list})
			}
		})
	}
}
