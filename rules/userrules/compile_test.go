package userrules

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestConditionsThatAreRefused(t *testing.T) {
	for _, c := range []struct {
		text string
		at   int // runes
		want string
	}{
		{`price.ratio < 0.5 &&`, 19, "the condition ends too early"},
		{``, 0, "the condition ends too early"},
		{`'open`, 5, "literal not terminated"},
		{`price.ratio < "a"`, 12, "mismatched types number and text"},
		{`listing.price < 5`, 14, "mismatched types text and number"},
		{`listing.price == 5`, 14, "mismatched types text and number"},
		{`price.ratio == true`, 12, "mismatched types number and yes or no"},
		{`price.ratio`, 0, "expected yes or no, but got number"},
		{`photos.known and price.raito < 1`, 17, `no fact is called "price.raito"; those of price are listed, `},
		{`pric.e < 1`, 0, "the groups are listing, price, market"},
		{`warranty == "none"`, 0, `no fact is called "warranty"`},
		{`"ratio" in price`, 11, `no fact is called "price"`},
		{`$env.price.ratio < 1`, 11, "not part of the language"},
		{`let x = 1; x < 2`, 4, "not part of the language"},
		{`price.ratio < 1; true`, 12, "not part of the language"},
		{`now() > 1`, 0, "there is no such function; the functions are abs, ceil"},
		{`sum([1]) > price.ratio`, 0, "there is no such function"},
		{`all(photos.views, # == "a")`, 0, "there is no such function"},
		{`divide(1, 2) > price.ratio`, 0, "there is no such function"},
		{`price.ratio == nil`, 15, "an unknown fact cannot be asked for"},
		{`(price.ratio ?? 1) < 2`, 13, `"??" is not part of the language`},
		{`listing?.title == "a"`, 9, "not part of the language"},
		{`price.ratio < 1 ? true : false`, -1, "'?' is not part of the language"},
		{`photos.views[0] == "a"`, 12, "not part of the language"},
		{`listing.title[0:2] == "a"`, 13, "not part of the language"},
		{`1..1000000 == price.ratio`, 1, `".." is not part of the language`},
		{`2 ** 8 > price.ratio`, 2, `"**" is not part of the language`},
		{`photos.count % 2 == 0`, 13, `"%" is not part of the language`},
		{`price.ratio in [1, 2]`, 16, "a list holds texts only"},
		{`price.ratio in ["a"]`, 12, "cannot use number as type text in array"},
		{`photos.views == ["a"]`, 16, "a list may stand behind 'in' only"},
		{`listing.title matches "("`, 22, "missing closing )"},
		{`listing.title matches listing.brand`, 30, "a pattern is written out"},
		{`listing.title matches "(a{30}){30}"`, 22, "the patterns of the condition are too large"},
		{`listing.title + listing.brand == "b"`, 14, "texts cannot be joined"},
		{`price.ratio / 0 > 1`, 14, "a division by 0"},
		{`1 < 2`, 0, "the condition names no fact"},
		{`price.ratio < 99999999999999999999`, 33, "invalid integer literal"},
		{`lower(price.ratio) == "a"`, 12, "cannot use number as argument (type text) to call lower"},
		{strings.Repeat("not ", 50) + "photos.known", -1, "nested deeper than 40 levels"},
		{strings.Repeat("photos.known and ", 240) + "photos.known", -1, "exceeds maximum allowed nodes"},
		{strings.Repeat(" ", MaxCondition) + "photos.known", 0, "longer than 4096 bytes"},
	} {
		_, err := compile(c.text)
		var m mistake
		if !assert.ErrorAs(t, err, &m, c.text) {
			continue
		}
		assert.Contains(t, m.reason, c.want, c.text)
		if c.at >= 0 {
			assert.Equal(t, c.at, m.at, "%s: %s", c.text, m.reason)
		}
	}
}

func TestConditionsThatRun(t *testing.T) {
	values := map[string]any{"price.ratio": 0.4, "price.z": -4.5, "price.was": 0.0, "listing.title": "Turbo Äther XL",
		"listing.condition": "new", "photos.views": []string{"serial-plate"}, "photos.known": true, "photos.count": 3.0}
	for text, want := range map[string]bool{
		`price.ratio < 0.5 && listing.condition == "new"`:       true,
		`price.ratio > 0.5 or price.z <= -3.5`:                  true,
		`0.1 < price.ratio < 0.5`:                               true,
		`abs(price.z) - 4 == 0.5`:                               true,
		`price.ratio * 10 + 1 == 5`:                             true,
		`photos.count / 2 == 1.5`:                               true,
		`1 / 2 > price.ratio`:                                   true, // 0.5, not the 0 of whole numbers
		`-price.z > round(4.4)`:                                 true,
		`listing.condition in ["new", "used"]`:                  true,
		`listing.condition not in ["used"]`:                     true,
		`"serial-plate" in photos.views`:                        true,
		`not ("box-label" in photos.views)`:                     true,
		`len(photos.views) > 1`:                                 false,
		`lower(listing.title) contains "äther"`:                 true,
		`listing.title contains "äther"`:                        false,
		`listing.title startsWith "Turbo"`:                      true,
		`listing.title endsWith "XL" and !photos.known`:         false,
		`listing.title matches "(?i)\\bxl$"`:                    true,
		`len(listing.title) == 14`:                              true, // characters
		`listing["condition"] == "new" /* a remark */`:          true,
		`(listing.condition == "new") == (price.ratio < 0.5)`:   true,
		"price.ratio < 0.5\n  and\n  photos.known // remark\n":  true,
		`trim(" new ") == listing.condition`:                    true,
		`photos.known and (price.ratio < 0.3 or price.z < -10)`: false,
	} {
		c, err := compile(text)
		if assert.NoError(t, err, text) {
			got, err := c.holds(values)
			assert.NoError(t, err, text)
			assert.Equal(t, want, got, text)
		}
	}
	c, err := compile(`price.ratio / price.was > 1`)
	require.NoError(t, err)
	_, err = c.holds(values)
	assert.ErrorContains(t, err, "division by 0")
}

// Every fact of the table can be named, with its type and no other, and
// nothing else can.
func TestFactsAndEnvironmentAgree(t *testing.T) {
	ends := map[Type]string{Text: ` == ""`, Number: ` < 1.5`, YesNo: ``, Words: ` not contains ""`}
	ends[Words] = ""
	assert.Len(t, environment, len(Facts), "a name stands in the table twice")
	for i := range Facts {
		f := &Facts[i]
		require.Contains(t, sample, f.Type, f.Name)
		assert.NotEmpty(t, f.Meaning, f.Name)
		text := f.Name + ends[f.Type]
		if f.Type == Words {
			text = `"a" in ` + f.Name
		}
		c, err := compile(text)
		if assert.NoError(t, err, text) {
			assert.Equal(t, []int{i}, c.uses, text)
		}
		for other, end := range ends {
			if other != f.Type && other != Words {
				_, err := compile(f.Name + end)
				assert.Error(t, err, "%s%s", f.Name, end)
			}
		}
	}
}

func TestStatements(t *testing.T) {
	for _, c := range []struct {
		text string
		at   int
		want string
	}{
		{"Price {price", 6, "a brace without its partner"},
		{"Price } x", 6, "a brace without its partner"},
		{"é {sellers}", 3, `"sellers" may mean serial.sellers or photos.sellers`},
		{"{}", 1, `no fact is called ""`},
		{"a {price.n} b", 3, `no fact is called "price.n"`},
		{"{price.z_percent}", 1, "price.z is no share"},
	} {
		_, err := parseStatement(c.text)
		var m mistake
		if assert.True(t, errors.As(err, &m), c.text) {
			assert.Contains(t, m.reason, c.want)
			assert.Equal(t, c.at, m.at, c.text)
		}
	}
	pieces, err := parseStatement("{price} at\n{listing.seller}: {ratio_percent}, {price.ratio}, {price.landed}, {photos.known}, {views}, {warranty}")
	require.NoError(t, err)
	values := map[string]any{"listing.price": "3.5", "listing.seller": "Alfa", "price.ratio": 0.456, "price.landed": 12.3,
		"photos.known": true, "photos.views": []string{"box-label", "serial-plate"}}
	r := Rule{pieces: pieces}
	assert.Equal(t, "3.5 at Alfa: 46 %, 0.46, 12.30 EUR, yes, box-label, serial-plate, (not observed)",
		r.Statement(func(fact int) (any, string, bool) {
			v, ok := values[Facts[fact].Name]
			return v, "EUR", ok
		}))
}
