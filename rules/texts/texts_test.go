package texts

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const template = "Complete turbocharger for the engines named below, taken from our own stock and packed by hand. " +
	"Part number %s, serial %s. Every unit is measured on the bench before it leaves our hall, with a printed sheet of " +
	"the balance run in the box. Please send the number of your old plate with the order so that we can compare it."

func TestGroups(t *testing.T) {
	other := "Used exhaust manifold from a dismantled van, some rust on the flanges, studs present, no cracks found when " +
		"it was washed, collection from the yard possible on workdays after a telephone call."
	x := Build([]Doc{
		{Listing: 0, Seller: "a", Part: "p1", Text: fmt.Sprintf(template, "712345-0012", "K2304-12345")},
		{Listing: 4, Seller: "b", Part: "p2", Text: strings.ToUpper(fmt.Sprintf(template, "7891 2345", "Q999"))},
		{Listing: 2, Seller: "c", Part: "p2", Text: other},
		{Listing: 3, Seller: "c", Part: "p2", Text: fmt.Sprintf(template, "1", "2") + " Thank you."},
		{Listing: 5, Seller: "d", Text: "Turbo, new."},
		{Listing: 6, Seller: "e", Text: "  "},
	})
	require.Len(t, x.Groups(), 1)
	g := x.Groups()[0]
	assert.Equal(t, []int{0, 3, 4}, members(g))
	assert.Equal(t, 3, g.Sellers)
	assert.Equal(t, 2, g.Parts)
	assert.Equal(t, 1.0, g.Members[slices.IndexFunc(g.Members, func(m Member) bool { return m.Listing == g.Medoid })].Jaccard)
	assert.Equal(t, 0, g.Medoid)
	assert.Equal(t, 1.0, g.Members[2].Jaccard) // other numbers, other letter case: the same set
	assert.Less(t, g.Members[1].Jaccard, 1.0)
	assert.True(t, strings.HasPrefix(g.Common, "Every unit is measured"), g.Common)
	assert.LessOrEqual(t, utf8.RuneCountInString(g.Common), CommonLimit)
	assert.Same(t, x.Of(0), x.Of(4))
	assert.Nil(t, x.Of(2))
	assert.Nil(t, x.Of(77))
	assert.True(t, x.Assessed(2))
	assert.False(t, x.Assessed(5))
	assert.Empty(t, x.Warnings())
	assert.Empty(t, Build(nil).Groups())

	strict := Options{KeepNumbers: true, Threshold: .99}.Build([]Doc{
		{Listing: 0, Seller: "a", Text: fmt.Sprintf(template, "712345-0012", "K2304-12345")},
		{Listing: 1, Seller: "b", Text: fmt.Sprintf(template, "712345-0013", "K2304-12346")}})
	assert.Empty(t, strict.Groups())
}

// Both sides of the threshold: 60 different words make 58 shingles; a new word
// at the end adds one, a new word in the middle replaces three.
func TestThreshold(t *testing.T) {
	words := make([]string, 60)
	for i := range words {
		words[i] = "word" + strings.Repeat(string(rune('a'+i%26)), 1+i/26)
	}
	changed := func(n int) string {
		w := slices.Clone(words)
		for k := range n {
			w[5+10*k] = "other" + string(rune('a'+k))
		}
		return strings.Join(w, " ")
	}
	for n, want := range map[int]float64{0: 1, 1: 55.0 / 61, 2: 52.0 / 64, 3: 49.0 / 67} {
		x := Build([]Doc{{Listing: 0, Seller: "a", Text: strings.Join(words, " ")}, {Listing: 1, Seller: "b", Text: changed(n)}})
		if want < Threshold {
			assert.Empty(t, x.Groups())
			continue
		}
		require.Len(t, x.Groups(), 1, n)
		assert.InDelta(t, want, x.Groups()[0].Members[1].Jaccard, 1e-9)
	}
}

func TestUnspacedAndShortTexts(t *testing.T) {
	zh := "本店全新涡轮增压器总成，每台出厂前均经过动平衡检测，附检测报告，下单前请提供旧件铭牌照片以便核对型号，编号%s"
	ru := "Турбина новая, в заводской упаковке, проверена на стенде, отправка сегодня, номер %s"
	x := Build([]Doc{
		{Listing: 0, Seller: "a", Text: fmt.Sprintf(zh, "K2304")}, {Listing: 1, Seller: "b", Text: fmt.Sprintf(zh, "Ｑ７７７")},
		{Listing: 2, Seller: "c", Text: fmt.Sprintf(ru, "K2304")}, {Listing: 3, Seller: "d", Text: fmt.Sprintf(ru, "77-88 99")},
	})
	require.Len(t, x.Groups(), 2)
	assert.Equal(t, []int{0, 1}, members(x.Groups()[0]))
	assert.Equal(t, []int{2, 3}, members(x.Groups()[1]))
	assert.True(t, strings.HasPrefix(x.Groups()[0].Common, "本店全新涡轮"), x.Groups()[0].Common)
}

// Texts of 19 to 26 words: the bounds between characters and words do
// not part near-copies.
func TestLengthBounds(t *testing.T) {
	long := "alpha bravo charlie delta echo foxtrot golf hotel india juliett kilo lima mike november oscar papa quebec romeo sierra " +
		"tango uniform victor whiskey xray yankee zulu"
	words := strings.Fields(long)
	cut := func(n int) string { return strings.Join(words[:n], " ") }
	x := Build([]Doc{{Listing: 0, Seller: "a", Text: cut(19)}, {Listing: 1, Seller: "b", Text: cut(21)}})
	require.Len(t, x.Groups(), 1)
	x = Build([]Doc{{Listing: 0, Seller: "a", Text: cut(23)}, {Listing: 1, Seller: "b", Text: cut(26)}})
	require.Len(t, x.Groups(), 1)
	x = Build([]Doc{{Listing: 0, Seller: "a", Text: cut(22)}, {Listing: 1, Seller: "b", Text: cut(22)}})
	require.Len(t, x.Groups(), 1, "compared both ways, told once")
	x = Build([]Doc{{Listing: 0, Seller: "a", Text: cut(19)}, {Listing: 1, Seller: "b", Text: cut(22)}, {Listing: 2, Seller: "c", Text: cut(26)}})
	require.Len(t, x.Groups(), 2)
	assert.Equal(t, []int{0, 1}, members(x.Groups()[0]))
	assert.Equal(t, []int{1, 2}, members(x.Groups()[1]))
	assert.Equal(t, []int{0, 1}, members(*x.Of(1)))
}

// A chain of texts, each near the next, is not one group.
func TestMedoidGuard(t *testing.T) {
	words := make([]string, 60)
	for i := range words {
		words[i] = "start" + strings.Repeat(string(rune('a'+i%26)), 1+i/26)
	}
	var docs []Doc
	for n := range 20 {
		docs = append(docs, Doc{Listing: n, Seller: fmt.Sprint("s", n), Text: strings.Join(words, " ")})
		words[3*n] = "changed" + string(rune('a'+n))
	}
	x := Build(docs)
	assert.Greater(t, len(x.Groups()), 3)
	for _, g := range x.Groups() {
		for _, m := range g.Members {
			assert.GreaterOrEqual(t, m.Jaccard, Threshold)
		}
	}
}

// A passage that more than a quarter of 60 sellers use does not make their
// texts near.
func TestBoilerplate(t *testing.T) {
	common := "All orders are covered by the buyer promise of this market place. Returns are accepted within the time that the " +
		"law gives, in the state in which the goods were received, and the refund is sent by the way the payment came in. "
	rng := rand.New(rand.NewPCG(5, 6))
	var docs []Doc
	for i := range 60 {
		text := randomText(rng, 25)
		if i < 40 {
			text = common + text
		}
		docs = append(docs, Doc{Listing: i, Seller: fmt.Sprintf("s%02d", i), Text: text})
	}
	docs = append(docs, Doc{Listing: 60, Seller: "s00", Text: common})
	docs = append(docs, Doc{Listing: 61, Seller: "s61", Text: docs[3].Text})
	x := Build(docs)
	require.Len(t, x.Groups(), 1)
	assert.Equal(t, []int{3, 61}, members(x.Groups()[0]))
	assert.InDelta(t, 0.6, x.Boilerplate(3), .1)
	assert.Zero(t, x.Boilerplate(50))
	assert.Equal(t, 1.0, x.Boilerplate(60))
	assert.False(t, x.Assessed(60))

	// In a batch of few sellers nothing is boilerplate: ten of ten copy a text.
	for i := range docs[:10] {
		docs[i].Text = common
	}
	assert.Len(t, Build(docs[:10]).Of(0).Members, 10)
}

func TestRareShared(t *testing.T) {
	var docs []Doc
	for i := range 40 {
		docs = append(docs, Doc{Listing: i, Seller: fmt.Sprintf("s%02d", i), Text: "turbocharger with gasket and guarantee, genuine condition"})
	}
	docs[4].Text = "turbochagrer with gasket and guarantee"   // exchange of neighbours
	docs[9].Text = "Turbochagrer in gaskets; garantee, hallo" // inflection is no misspelling
	docs[7].Text = "garantee"
	docs[8].Text = "genunie only here"
	x := Build(docs)
	assert.Equal(t, []Shared{
		{Token: "garantee", Like: "guarantee", Sellers: 2, Listings: []int{7, 9}},
		{Token: "turbochagrer", Like: "turbocharger", Sellers: 2, Listings: []int{4, 9}},
	}, x.RareShared(9))
	assert.Empty(t, x.RareShared(8))
	assert.Empty(t, x.RareShared(0))

	for _, i := range []int{10, 11, 12} { // five sellers are not few
		docs[i].Text = "garantee"
	}
	assert.Len(t, Build(docs).RareShared(9), 1)
	assert.Empty(t, Build(docs[:15]).RareShared(9), "too few sellers to call a token rare")
}

// Levenshtein distances of Winkler 2006 with exchanged neighbours counted once,
// recomputed with the Debian package python3-jellyfish.
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"SHACKLEFORD", "SHACKELFORD", 1}, {"MARHTA", "MARTHA", 1}, {"DIXON", "DICKSONX", 4}, {"", "AB", 2}, {"A", "", 1}} {
		assert.Equal(t, c.want, distance([]rune(c.a), []rune(c.b)), c.a)
	}
}

func TestSharedPassage(t *testing.T) {
	a := "Hello! EVERY unit —  is\u00a0tested by us, K2304."
	b := "We say: every unit is tested. By hand, ＥＶＥＲＹ unit"
	p, ok := SharedPassage(a, b)
	require.True(t, ok)
	assert.Equal(t, "EVERY unit —  is\u00a0tested by", p.QuoteA)
	assert.Equal(t, "every unit is tested. By", p.QuoteB)
	assert.Equal(t, 5, p.Words)
	assert.Equal(t, p.QuoteA, a[p.StartA:p.EndA])
	assert.Equal(t, p.QuoteB, b[p.StartB:p.EndB])
	_, ok = SharedPassage("one two", "three")
	assert.False(t, ok)
	_, ok = SharedPassage("", "three")
	assert.False(t, ok)
	p, _ = SharedPassage("x y", "y x y x y")
	assert.Equal(t, []int{0, 3, 2, 5}, []int{p.StartA, p.EndA, p.StartB, p.EndB})
	assert.Equal(t, "eins zwei", cutPassage("eins zwei drei", 11))
}

func TestSameAnswerWhateverTheOrder(t *testing.T) {
	docs := synthetic(3000)
	one := Options{Workers: 1}.Build(docs)
	assert.NotEmpty(t, one.Groups())
	slices.Reverse(docs)
	assert.Equal(t, one, Options{Workers: 5}.Build(docs))
}

// lastSet gives the last set of a text: by characters, or by words if it is long.
func (f *folder) lastSet(text string) (out []uint32) {
	f.fold(text)
	f.shingles(func(set []uint32) { out = slices.Clone(set) })
	return out
}

func members(g Group) []int {
	var out []int
	for _, m := range g.Members {
		out = append(out, m.Listing)
	}
	return out
}

// lexicon holds invented words whose frequencies fall like those of a language.
var lexicon = func() []string {
	rng := rand.New(rand.NewPCG(7, 8))
	out := make([]string, 4000)
	for i := range out {
		w := make([]byte, 3+rng.IntN(9))
		for k := range w {
			w[k] = "aeioubcdfghklmnprstvwz"[rng.IntN(22)]
		}
		out[i] = string(w)
	}
	return out
}()

func randomText(rng *rand.Rand, words int) string {
	var sb strings.Builder
	for range words {
		x := rng.Float64()
		sb.WriteString(lexicon[int(x*x*float64(len(lexicon)))])
		sb.WriteByte(' ')
	}
	return sb.String()
}

// synthetic writes descriptions of about 60 words: a third near-copies of one of
// many templates with another number and a changed word, the rest their own.
func synthetic(n int) []Doc {
	rng := rand.New(rand.NewPCG(9, 10))
	templates := make([]string, n/50+1)
	for i := range templates {
		templates[i] = randomText(rng, 55)
	}
	docs := make([]Doc, n)
	for i := range docs {
		text := randomText(rng, 58)
		if i%3 == 0 {
			text = templates[rng.IntN(len(templates))] + lexicon[rng.IntN(len(lexicon))]
		}
		docs[i] = Doc{Listing: i, Seller: fmt.Sprint("s", i%(n/40+1)), Text: fmt.Sprintf("%s number %d-%d", text, 700000+rng.IntN(9999), rng.IntN(99))}
	}
	return docs
}

func BenchmarkBuild100k(b *testing.B) { benchmarkBuild(b, 100_000) }

func BenchmarkBuild1M(b *testing.B) { benchmarkBuild(b, 1_000_000) }

func benchmarkBuild(b *testing.B, n int) {
	docs := synthetic(n)
	b.ReportAllocs()
	for b.Loop() {
		b.ReportMetric(float64(len(Build(docs).Groups())), "groups")
	}
}

func FuzzFold(f *testing.F) {
	for _, s := range []string{fmt.Sprintf(template, "1", "2"), "本店全新涡轮增压器", "\xff\xfe a1", "ǅ ﬁ Ａ１", "ก็", "a\u0301"} {
		f.Add(s, "unit tested by us")
	}
	f.Fuzz(func(t *testing.T, a, b string) {
		fo := folder{}
		set := fo.lastSet(a)
		if !slices.IsSorted(set) || !utf8.Valid(fo.text) {
			t.Fatalf("fold(%q)", a)
		}
		if len(set) > 0 {
			var s signature
			s.sketch(set)
		}
		if p, ok := SharedPassage(a, b); ok && (p.QuoteA != a[p.StartA:p.EndA] || p.QuoteB != b[p.StartB:p.EndB] || p.Words < 1) {
			t.Fatalf("SharedPassage(%q, %q) = %+v", a, b, p)
		}
		x := Build([]Doc{{Listing: 0, Seller: "a", Text: a}, {Listing: 1, Seller: "b", Text: a}, {Listing: 2, Seller: "c", Text: b}})
		if x.Assessed(0) && (x.Of(0) == nil || x.Of(0) != x.Of(1)) {
			t.Fatalf("a copy of %q is not found", a)
		}
	})
}
