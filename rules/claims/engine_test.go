package claims

import (
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

func TestBrandAndTitle(t *testing.T) {
	e := testEngine(t)
	for _, tc := range []struct {
		brand, title   string
		state, maker   string
		leading        string
		fits           []string
		brandedAsMaker bool
	}{
		{"Kestwyn", "Turbo for Kestwyn KT40", BrandMaker, "Kestwyn", "", []string{"Kestwyn"}, true},
		{"KESTWYN GmbH", "KT40", BrandMaker, "Kestwyn", "", nil, true},
		{"for Kestwyn", "Turbo fits Kestwyn", BrandOther, "", "", []string{"Kestwyn"}, false},
		{"Unbranded", "Genuine Kestwyn turbo", BrandUnbranded, "", "Kestwyn", nil, true},
		{"Does not apply", "Turbo", BrandUnbranded, "", "", nil, false},
		{"Nicht zutreffend", "Turbolader", BrandUnbranded, "", "", nil, false},
		{"无品牌", "增压器", BrandUnbranded, "", "", nil, false},
		{"Bolwerk", "Kestwyn KT40 turbo", BrandOther, "", "Kestwyn", nil, true},
		{"Bolwerk", "Turbo für Kestwyn und Orvane", BrandOther, "", "", []string{"Kestwyn"}, false},
		{"", "Orvane turbo for Kestwyn engine", BrandAbsent, "", "Orvane", []string{"Kestwyn"}, true},
		{"", "凯斯文增压器", BrandAbsent, "", "Kestwyn", nil, true},
		{"", "Aftermarket Kestwyn turbo", BrandAbsent, "", "", []string{"Kestwyn"}, false},
	} {
		texts := []Text{{listing.Title, tc.title}}
		if tc.brand != "" {
			texts = append(texts, Text{listing.Brand, tc.brand})
		}
		r := e.Read(texts, Options{})
		name := tc.brand + " | " + tc.title
		assert.Equal(t, tc.state, r.BrandState, name)
		assert.Equal(t, tc.maker, r.Brand, name)
		assert.Equal(t, tc.leading, r.Leading, name)
		assert.Equal(t, tc.fits, r.For, name)
		assert.Equal(t, tc.brandedAsMaker, r.BrandAsMaker(), name)
	}
}

// A claim bound to a kit is the claim of the item when a kit is sold.
func TestUnitTypeDecidesScope(t *testing.T) {
	e := testEngine(t)
	texts := []Text{{listing.Title, "Genuine Kestwyn gasket kit"}}
	assert.Equal(t, ClaimSilent, e.Read(texts, Options{}).Claim)
	assert.Equal(t, ClaimSilent, e.Read(texts, Options{UnitType: listing.Complete}).Claim)
	assert.Equal(t, ClaimGenuine, e.Read(texts, Options{UnitType: listing.Kit}).Claim)
	texts[0].Raw = "Genuine Kestwyn actuator"
	assert.Equal(t, ClaimGenuine, e.Read(texts, Options{UnitType: listing.Component}).Claim)
}

// A genuine part fits vehicles too: only the claimed maker's own name after
// "for" stands against the claim.
func TestGenuineAndFits(t *testing.T) {
	e := testEngine(t)
	for text, want := range map[string]string{
		"Genuine Kestwyn turbo for Vireon 2.0":               ClaimGenuine,
		"Genuine Orvane turbo for Kestwyn engines":           ClaimGenuine,
		"Genuine Kestwyn turbo, compatible with Vireon":      ClaimGenuine,
		"Genuine turbo for Kestwyn KT40":                     ClaimContradictory,
		"Genuine Kestwyn turbo, compatible with Kestwyn KT4": ClaimContradictory,
		"Genuine Kestwyn turbo, aftermarket":                 ClaimContradictory,
		"Genuine Kestwyn turbo and aftermarket gasket kit":   ClaimGenuine,
		"Genuine look, 1:1 copy of Kestwyn":                  ClaimCopy,
		"Kestwyn turbo. Compatible with: Vireon, Solmara":    ClaimSilent,
	} {
		assert.Equal(t, want, e.Read([]Text{{listing.Title, text}}, Options{}).Claim, text)
	}
}

func TestPhraseOfItem(t *testing.T) {
	r := testEngine(t).Read([]Text{{listing.Title, "Rebuilt turbo, cleaned bearings"}}, Options{})
	require.Len(t, r.Phrases, 2)
	assert.True(t, r.Phrases[0].OfItem())
	assert.False(t, r.Phrases[1].OfItem())
}

func TestTextsOfListing(t *testing.T) {
	l := &listing.Listing{}
	l.Set(listing.Field{Name: listing.Description, Value: "cleaned", Raw: " as read "})
	l.Set(listing.Field{Name: listing.Title, Value: "value only"})
	l.Set(listing.Field{Name: listing.Price, Value: "1"})
	assert.Equal(t, []Text{{listing.Title, "value only"}, {listing.Description, " as read "}}, Texts(l))
}

func TestBounds(t *testing.T) {
	e := testEngine(t)
	r := e.Read([]Text{{listing.Description, strings.Repeat("genuine. ", MaxText/9+10)}}, Options{})
	assert.True(t, r.Cut)
	assert.Len(t, r.Phrases, MaxPhrases)
	assert.Equal(t, ClaimGenuine, r.Claim)
}

func TestMakersThatCannotBeFound(t *testing.T) {
	_, err := New([]Maker{{Name: "Kestwyn", Also: []string{"®"}}})
	assert.EqualError(t, err, `maker name "®" cannot be searched for: want 1 to 12 words`)
}

// Engines are shared by all workers and reuse memory between texts.
func TestConcurrentReadsAgree(t *testing.T) {
	e := testEngine(t)
	all := readLabelled(t, "listings.tsv")
	want := make([]Result, len(all))
	for i, l := range all {
		want[i] = e.Read(l.texts(), Options{})
	}
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for i, l := range all {
				assert.Equal(t, want[i], e.Read(l.texts(), Options{}))
			}
		})
	}
	wg.Wait()
}

func FuzzRead(f *testing.F) {
	e := testEngine(f)
	for _, l := range readLabelled(f, "listings.tsv")[:40] {
		f.Add(l.title, l.text)
	}
	f.Add("K\u200be s t w y n\xff\n原装", "réf. n° d'\u0301origine — №…?!")
	f.Fuzz(func(t *testing.T, title, text string) {
		texts := []Text{{listing.Title, title}, {listing.Brand, text}, {listing.Description, text}}
		r := e.Read(texts, Options{})
		require.Contains(t, Claims, r.Claim)
		for _, p := range r.Phrases {
			raw := title
			if p.Field != listing.Title {
				raw = text
			}
			require.Contains(t, Stances, p.Stance)
			require.True(t, 0 <= p.Start && p.Start < p.End && p.End <= len(raw))
			require.Equal(t, raw[p.Start:p.End], p.Quote)
			if utf8.ValidString(raw) {
				require.True(t, utf8.ValidString(p.Quote))
			}
		}
		require.Equal(t, r, e.Read(texts, Options{}))
		l := &listing.Listing{}
		for _, of := range texts {
			l.Set(listing.Field{Name: of.Field, Value: of.Raw, Raw: of.Raw})
		}
		held := NewBatch(1)
		held.Put(0, &r)
		require.Equal(t, &r, held.Result(0, l))
		for _, d := range e.Disguised(text) {
			require.True(t, d.Start < d.End)
			require.Equal(t, text[d.Start:d.End], d.Quote)
		}
	})
}
