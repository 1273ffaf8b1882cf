package gtin

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Ranges as in the public list of GS1 prefixes; check digits do not matter
// here.
func TestRestricted(t *testing.T) {
	for gtin, want := range map[string]bool{
		"0201234567890": true, "0301234567890": false, "0401234567890": true, "0601234567890": false,
		"2001234567890": true, "2991234567890": true, "1991234567890": false, "3001234567890": false,
		"9521234567890": true, "9511234567890": false, "9531234567890": false, "9781234567890": true,
		"9771234567890": true, "9761234567890": false, "9801234567890": true, "9851234567890": false, "9991234567890": true,
		"212345678901": true, "412345678901": true, "712345678901": false, // GTIN-12: 02, 04 and 07
		"12012345678900": true, "20123456": true, "01234567": true, "40123456": false,
	} {
		what, ok := Restricted(gtin)
		assert.Equal(t, want, ok, gtin)
		assert.Equal(t, want, what != "", gtin)
	}
}

func TestHas(t *testing.T) {
	assert.True(t, Has("1550013188466", []string{"999", " 155 0013"}))
	assert.False(t, Has("1550013188466", []string{"5500", ""}))
	assert.True(t, Has("614141000036", []string{"614141"}))
	assert.True(t, Has("614141000036", []string{"0614141"}))
	assert.True(t, Has("10614141000033", []string{"0614141"}))
}

func TestIndex(t *testing.T) {
	x := Build([]Use{
		{0, "a", "p", "1550013188466"}, {1, "b", "p", "1550013188466"}, {2, "b", "p", "1550013188466"},
		{3, "c", "p", "4000000000006"}, {4, "c", "q", "4000000000006"}, {5, "d", "q", "614141000036"}, {6, "e", "r", "0614141000036"},
	})
	a := x.Agreed("p")
	assert.Equal(t, Agreed{GTIN: "155001318846", Sellers: 2, Of: 3, Use: Use{0, "a", "p", "155001318846"}}, a)
	assert.Len(t, x.Parts("4000000000006"), 2)
	assert.Len(t, x.Parts("614141000036"), 2, "a GTIN-12 and its 13-digit form are one")
	assert.Empty(t, x.Parts("1234567890128"))
	assert.Zero(t, x.Agreed("z").Sellers)
}
