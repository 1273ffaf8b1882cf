package compare_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/report/compare"
	"counterfoil/rules"
	"counterfoil/rules/settings"
)

// offer makes a listing from "field: value" lines; "photo: N" adds a picture
// whose fingerprint is made from N, "photo: N=view" one with a view, and "key: K"
// sets the key.
func offer(t testing.TB, file string, row int, lines string) *listing.Listing {
	t.Helper()
	l := &listing.Listing{File: file, SHA256: strings.Repeat("ab", 31) + fmt.Sprintf("%x", file[0]), Row: row, Key: fmt.Sprintf("%s row %d", file, row)}
	for line := range strings.Lines(lines) {
		name, value, ok := strings.Cut(strings.TrimSpace(line), ": ")
		if !ok {
			continue
		}
		switch name {
		case "photo":
			number, view, _ := strings.Cut(value, "=")
			var n uint64
			_, err := fmt.Sscan(number, &n)
			require.NoError(t, err)
			p := listing.Photo{File: number + ".jpg", SHA256: fmt.Sprintf("%064x", n), Fingerprint: n * 0x9e3779b97f4a7c15, Mirror: ^(n * 0x9e3779b97f4a7c15), Printed: true,
				Width: 800, Height: 600}
			if view != "" {
				p.Views = []listing.View{{Name: view, By: "tag", Text: view}}
			}
			l.Photos, l.PhotosKnown = append(l.Photos, p), true
		default:
			n := listing.NameOf(name)
			require.NotEqual(t, listing.NoField, n, name)
			l.Set(listing.Field{Name: n, Value: value, Raw: value, From: listing.Cell(row, name)})
		}
	}
	if id := l.Value(listing.ListingID); id != "" {
		l.Key = id
	}
	return l
}

const common = "title: Halden turbocharger 712345-0012\nbrand: Halden\npart_number: 712345-0012\ncondition: new\nunit_type: complete\ncurrency: EUR\nprice: 900.00\n"

func side(t testing.TB, file string, offers ...string) []*listing.Listing {
	var list []*listing.Listing
	for i, o := range offers {
		list = append(list, offer(t, file, i+2, common+o))
	}
	return list
}

// said prints the changes as "kind old>new".
func said(res *compare.Result) []string {
	var list []string
	for i := range res.Changes {
		c, a, b := &res.Changes[i], "", ""
		if c.Old != nil {
			a = c.Old.Key
		}
		if c.New != nil {
			b = c.New.Key
		}
		list = append(list, fmt.Sprintf("%s %s>%s", c.Kind, a, b))
	}
	slices.Sort(list)
	return list
}

func compared(t testing.TB, before, after []*listing.Listing, opt compare.Options) *compare.Result {
	t.Helper()
	opt.Rules.AsOf = asOf
	res, err := compare.Compare(before, after, opt)
	require.NoError(t, err)
	for i := range res.Changes {
		c := &res.Changes[i]
		assert.NotEmpty(t, c.Evidence, "%s %s", c.Kind, c.Statement)
		assert.NotEmpty(t, c.Kind.About().Innocent)
		for _, e := range c.Evidence {
			assert.NotEmpty(t, e.File)
			assert.NotEmpty(t, e.SHA256)
		}
	}
	return res
}

func TestChanges(t *testing.T) {
	const lane = "url: https://lane.example/"
	type looks = []string
	for name, c := range map[string]struct {
		before, after looks
		want          []string
	}{
		"nothing changed": {looks{"listing_id: 1\nseller: Alfa"}, looks{"listing_id: 1\nseller: Alfa"}, nil},
		"price in its own currency": {looks{"listing_id: 1\nseller: Alfa\ncurrency: JPY\nprice: 90000"}, looks{"listing_id: 1\nseller: Alfa\ncurrency: JPY\nprice: 45000"},
			[]string{"price-moved 1>1"}},
		"a bid is no price":                       {looks{"listing_id: 1\nseller: Alfa\nprice_kind: bid\nprice: 1.00"}, looks{"listing_id: 1\nseller: Alfa\nprice_kind: bid\nprice: 90.00"}, nil},
		"the lot changed, the unit price did not": {looks{"listing_id: 1\nseller: Alfa"}, looks{"listing_id: 1\nseller: Alfa\nprice: 1800.00\nlot_quantity: 2"}, nil},
		"one id at two marketplaces is two listings": {looks{"listing_id: 1\nseller: Alfa\n" + lane + "1"}, looks{"listing_id: 1\nseller: Beta\nurl: https://moor.example/1"},
			[]string{"first-looked-at >1", "not-looked-at 1>"}},
		"an id of rows at two sellers is two listings": {looks{"listing_id: 1\nseller: Alfa"}, looks{"listing_id: 1\nseller: Beta"}, []string{"gone 1>", "new >1"}},
		"on one marketplace an id is one listing":      {looks{"listing_id: 1\nseller: Alfa\n" + lane + "1"}, looks{"listing_id: 1\nseller: Beta\n" + lane + "1"}, []string{"seller-changed 1>1"}},
		"by address, without what tracks the visitor": {looks{"seller: Alfa\n" + lane + "i/7"}, looks{"seller: Alfa\nprice: 800.00\nurl: https://www.lane.example/i/7/?utm_source=x"},
			[]string{"price-moved b row 2>a row 2"}},
		"relisted by the same seller": {looks{"listing_id: 1\nseller: Alfa\nserial_number: K20418733"}, looks{"listing_id: 2\nseller: Alfa\nserial_number: K-20418733"}, []string{"relisted 1>2"}},
		"sold, then the serial again elsewhere": {looks{"listing_id: 1\nseller: Alfa\nserial_number: K20418733"},
			looks{"listing_id: 1\nseller: Alfa\nserial_number: K20418733\navailability: SoldOut", "listing_id: 2\nseller: Beta\nserial_number: K20418733\ncondition: used"},
			[]string{"account-with-old-material 1>2", "condition-edited 1>2", "ended 1>1", "serial-moved 1>2"}},
		"the serial elsewhere while the listing stands": {looks{"listing_id: 1\nseller: Alfa\nserial_number: K20418733", "listing_id: 9\nseller: Beta"},
			looks{"listing_id: 1\nseller: Alfa\nserial_number: K20418733", "listing_id: 9\nseller: Beta", "listing_id: 2\nseller: Beta\nserial_number: K20418733"},
			[]string{"new >2", "serial-also-elsewhere 1>2"}},
		"a filler is no serial": {looks{"listing_id: 1\nseller: Alfa\nserial_number: 000000"}, looks{"listing_id: 2\nseller: Beta\nserial_number: 000000"}, []string{"gone 1>", "new >2"}},
		"two units are not one": {looks{"listing_id: 1\nseller: Alfa\nserial_number: K20418733"}, looks{"listing_id: 2\nseller: Alfa\nserial_number: K20418799"}, []string{"gone 1>", "new >2"}},
		"the serial changed under the same photos": {looks{"listing_id: 1\nseller: Alfa\nserial_number: K20418733\nphoto: 5"}, looks{"listing_id: 1\nseller: Alfa\nserial_number: K20418799\nphoto: 5"},
			[]string{"serial-changed 1>1"}},
		"photos at another seller": {looks{"listing_id: 1\nseller: Alfa\nphoto: 5=serial-plate"}, looks{"listing_id: 2\nseller: Beta\nphoto: 5"},
			[]string{"account-with-old-material 1>2", "relisted-elsewhere 1>2"}},
		"photos swapped":                          {looks{"listing_id: 1\nseller: Alfa\nphoto: 5\nphoto: 6"}, looks{"listing_id: 1\nseller: Alfa\nphoto: 5\nphoto: 7"}, []string{"photos-changed 1>1"}},
		"photos not observed are not removed":     {looks{"listing_id: 1\nseller: Alfa\nphoto: 5"}, looks{"listing_id: 1\nseller: Alfa"}, nil},
		"a text not observed is no edit":          {looks{"listing_id: 1\nseller: Alfa\ndescription: genuine"}, looks{"listing_id: 1\nseller: Alfa"}, nil},
		"white space and letter case are no edit": {looks{"listing_id: 1\nseller: Alfa\ndescription: In  its box"}, looks{"listing_id: 1\nseller: Alfa\ndescription: in its Box"}, nil},
		"claim": {looks{"listing_id: 1\nseller: Alfa\ndescription: Made to fit, compatible with your engine"}, looks{"listing_id: 1\nseller: Alfa\ntitle: Genuine Halden turbocharger 712345-0012\ndescription: Genuine Halden part"},
			[]string{"claim-edited 1>1", "description-edited 1>1", "title-edited 1>1"}},
		"the last one": {looks{"listing_id: 1\nseller: Alfa\ndescription: Hurry, last one!"}, looks{"listing_id: 1\nseller: Alfa\ndescription: Hurry, last one!"}, []string{"still-last-one 1>1"}},
		"the last one, put up again": {looks{"listing_id: 1\nseller: Alfa\ndescription: letztes Stück"}, looks{"listing_id: 2\nseller: Alfa\ndescription: letztes Stück"},
			[]string{"relisted 1>2", "still-last-one 1>2"}},
		"like listings of one seller stay apart": {looks{"listing_id: 1\nseller: Alfa", "listing_id: 2\nseller: Alfa"}, looks{"listing_id: 3\nseller: Alfa", "listing_id: 4\nseller: Alfa"},
			[]string{"unclear 1>3"}},
		"the price tells like listings apart": {looks{"listing_id: 1\nseller: Alfa", "listing_id: 2\nseller: Alfa\nprice: 800.00"}, looks{"listing_id: 3\nseller: Alfa", "listing_id: 4\nseller: Alfa\nprice: 800.00"},
			[]string{"relisted 1>3", "relisted 2>4"}},
		"the serial is better evidence than the part": {looks{"listing_id: 1\nseller: Alfa\nserial_number: K20418733", "listing_id: 2\nseller: Alfa"},
			looks{"listing_id: 3\nseller: Alfa\nserial_number: K20418733", "listing_id: 4\nseller: Alfa"}, []string{"relisted 1>3", "relisted 2>4"}},
		"other fields": {looks{"listing_id: 1\nseller: Alfa\nwarranty: 12 months\nquantity_available: 3"}, looks{"listing_id: 1\nseller: Alfa\nwarranty: 24 months\nquantity_available: 1"},
			[]string{"field-edited 1>1", "quantity-moved 1>1"}},
		"an account renamed": {looks{"listing_id: 1\nseller: Alfa\nseller_id: a1\n" + lane + "1"}, looks{"listing_id: 1\nseller: Omega\nseller_id: a1\n" + lane + "1"}, []string{"seller-changed 1>1"}},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, c.want, said(compared(t, side(t, "b", c.before...), side(t, "a", c.after...), compare.Options{})))
		})
	}
}

// 900.00 to 562.50 is a fall by 337.50, 37.5 % of 900.
func TestPriceStatement(t *testing.T) {
	res := compared(t, side(t, "b", "listing_id: 1\nseller: Alfa"), side(t, "a", "listing_id: 1\nseller: Alfa\nprice: 562.50"), compare.Options{})
	require.Len(t, res.Changes, 1)
	assert.Equal(t, "The price fell by 337.50 EUR (-37.5 %) from 900.00 to 562.50 EUR.", res.Changes[0].Statement)
	assert.Equal(t, compare.StandsOut, res.Changes[0].Attention)
}

func TestDifferingPartIsQuoted(t *testing.T) {
	text := "description: We ship the same day to all countries. The unit is %s and comes in its box with studs and gaskets for fitting."
	res := compared(t, side(t, "b", "listing_id: 1\nseller: Alfa\n"+fmt.Sprintf(text, "a good replacement")),
		side(t, "a", "listing_id: 1\nseller: Alfa\n"+fmt.Sprintf(text, "brand new")), compare.Options{})
	require.Len(t, res.Changes, 1)
	assert.Equal(t, "The unit is a good replacement and comes in", res.Changes[0].OldPart)
	assert.Equal(t, "The unit is brand new and comes in", res.Changes[0].NewPart)
	assert.Equal(t, res.Changes[0].NewPart, res.Changes[0].Evidence[1].Quote)
}

func TestUndercut(t *testing.T) {
	own := []settings.OwnPrice{{Part: "712345-0012", Unit: listing.Complete, Condition: listing.New, Line: 2,
		Cost: listing.Amount{Minor: 60000, Currency: "EUR"}, List: listing.Amount{Minor: 85000, Currency: "EUR"}}}
	before := side(t, "b", "listing_id: 1\nseller: Alfa\nshipping: 0", "listing_id: 2\nseller: Beta\nprice: 800.00", "listing_id: 3\nseller: Me Ltd", "listing_id: 5\nseller: Eta\nprice: 700.00")
	after := side(t, "a", "listing_id: 1\nseller: Alfa\nprice: 590.00\nshipping: 5.00", "listing_id: 2\nseller: Beta\nprice: 800.00", "listing_id: 3\nseller: Me Ltd\nprice: 100.00",
		"listing_id: 4\nseller: Gamma\nprice: 840.00", "listing_id: 5\nseller: Eta\nprice: 690.00", "listing_id: 6\nseller: Zeta\nprice: 100.00\ncondition: used")
	res := compared(t, before, after, compare.Options{OwnPrices: own, Own: "me"})
	var got []string
	for i := range res.Changes {
		if c := &res.Changes[i]; c.Kind == compare.Undercut {
			got = append(got, c.New.Key+" "+c.Statement)
		}
	}
	assert.Equal(t, []string{ // 595 / 850 = 70 %
		"1 One unit costs 595.00 EUR landed, 70 % of your list price of 850.00 (own prices, line 2), and was not before. It is under your own cost of 600.00.",
		"4 One unit costs at least 840.00 EUR landed, 99 % of your list price of 850.00 (own prices, line 2), in a new listing.",
		"5 One unit costs at least 690.00 EUR landed, 81 % of your list price of 850.00 (own prices, line 2), and has come down further.",
	}, got)
}

func TestWarnings(t *testing.T) {
	b := side(t, "b", "listing_id: 1\nseller: Alfa\ncaptured_at: 2026-09-20")
	a := side(t, "a", "listing_id: 1\nseller: Alfa\ncaptured_at: 2026-09-01")
	a[0].SHA256 = b[0].SHA256
	text := strings.Join(compared(t, b, a, compare.Options{Own: "Nobody"}).Warnings, "\n")
	assert.Contains(t, text, "are the sides exchanged?")
	assert.Contains(t, text, `no listing is of the own seller "Nobody"`)
	assert.Contains(t, text, "same bytes on both sides")
	assert.Contains(t, strings.Join(compared(t, nil, a, compare.Options{}).Warnings, "\n"), "the earlier inputs hold no listing")
	assert.Equal(t, []string{"first-looked-at >1"}, said(compared(t, nil, a, compare.Options{})))
}

// A crowd of like listings costs no more than the bound.
func TestCrowd(t *testing.T) {
	var many []string
	for i := range 300 {
		many = append(many, fmt.Sprintf("listing_id: %d\nseller: Alfa", i))
	}
	before := side(t, "b", many...)
	for i := range many {
		many[i] = fmt.Sprintf("listing_id: x%d\nseller: Alfa", i)
	}
	res := compared(t, before, side(t, "a", many...), compare.Options{Rules: rules.Options{}})
	assert.Equal(t, 300, res.Kinds[compare.New])
	assert.Contains(t, strings.Join(res.Warnings, "\n"), "pairs of listings were not weighed")
}

func TestKindsAreDocumented(t *testing.T) {
	seen := map[compare.Kind]bool{}
	for _, k := range compare.Kinds {
		assert.False(t, seen[k.Kind])
		seen[k.Kind] = true
		for _, s := range []string{k.Title, k.Meaning, k.Innocent} {
			assert.NotEmpty(t, s)
			for _, word := range []string{"counterfeit", "fake", "safe"} {
				assert.NotContains(t, strings.ToLower(s), word)
			}
		}
	}
}
