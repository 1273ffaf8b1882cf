package market

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
)

func TestSetKeepsCurrenciesWithoutARateApart(t *testing.T) {
	var offers []Offer
	add := func(currency string, minor ...int64) {
		for _, m := range minor {
			offers = append(offers, Offer{Listing: len(offers), Part: "P", Unit: listing.Complete, Condition: listing.New,
				Claim: ClaimGenuine, Price: listing.Amount{Minor: m, Currency: currency}, SellerGroup: string(rune('a' + len(offers)))})
		}
	}
	add("EUR", 10000, 10200, 9900, 10100)
	add("PLN", 43000, 43900, 42600, 20000)
	add("CHF", 9600) // 100.80 EUR
	at := time.Date(2026, 9, 30, 0, 0, 0, 0, time.UTC)
	rates := NewRates([]Rate{{From: "CHF", To: "EUR", Value: 1.05, Date: at, Source: "x"}}, 0)
	s := BuildSet(offers, nil, rates, "EUR", at, Settings{})

	euro := s.Assess(0)
	assert.Equal(t, 4, euro.N, "three euro offers and the converted franc offer")
	assert.Equal(t, "EUR", euro.Median.Currency)
	zloty := s.Assess(7)
	assert.Equal(t, 3, zloty.N)
	assert.Equal(t, listing.Amount{Minor: 43000, Currency: "PLN"}, zloty.Median)
	assert.True(t, zloty.LowRatio)
	assert.Equal(t, "PLN", s.Apart())
	assert.Len(t, slices.Collect(s.Markets()), 2)
	assert.Equal(t, "PLN", s.Ladder(7, "P")[0].Median.Currency)
	assert.Equal(t, "EUR", s.Ladder(0, "P")[0].Median.Currency)
}
