package market

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

func on(date string) time.Time {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		panic(err)
	}
	return t
}

func table(maxDays int) *Rates {
	return NewRates([]Rate{
		{From: "EUR", To: "USD", Value: 1.25, Date: on("2026-02-01"), Source: "bank"},
		{From: "EUR", To: "USD", Value: 1.20, Date: on("2026-01-01"), Source: "bank"},
		{From: "USD", To: "EUR", Value: .75, Date: on("2026-02-20"), Source: "bank"},
		{From: "CHF", To: "EUR", Value: 1.05, Date: on("2026-02-10")},
		{From: "GBP", To: "USD", Value: 1.30, Date: on("2026-02-15")},
		{From: "CHF", To: "GBP", Value: .90, Date: on("2026-01-15")},
		{From: "PLN", To: "CZK", Value: 5.80, Date: on("2026-02-15")},
		{From: "JPY", To: "EUR", Value: .006, Date: on("2026-02-15")},
		{From: "EUR", To: "SEK", Value: 0}, {From: "EUR", To: "NOK", Value: math.NaN()},
		{From: "DKK", To: "EUR", Value: math.Inf(1)}, {From: "EUR", To: "EUR", Value: 2},
	}, maxDays)
}

// All expected amounts are worked by hand from the table.
func TestConvert(t *testing.T) {
	for _, c := range []struct {
		name, at, want, rate string
		minor                int64
		from, to             string
	}{
		{"nothing to do", "2026-02-25", "100.00 EUR", "", 10000, "EUR", "EUR"},
		{"latest not after the day", "2026-02-05", "125.00 USD", "1 EUR = 1.25 USD (2026-02-01, bank)", 10000, "EUR", "USD"},
		{"on the day itself", "2026-02-01", "125.00 USD", "1 EUR = 1.25 USD (2026-02-01, bank)", 10000, "EUR", "USD"},
		{"earlier rate", "2026-01-31", "120.00 USD", "1 EUR = 1.2 USD (2026-01-01, bank)", 10000, "EUR", "USD"},
		{"later inverse rate", "2026-02-25", "133.33 USD", "1 USD = 0.75 EUR (2026-02-20, bank, inverse)", 10000, "EUR", "USD"},
		{"inverse only", "2026-02-25", "95.24 CHF", "1 CHF = 1.05 EUR (2026-02-10, inverse)", 10000, "EUR", "CHF"},
		{"minor units differ", "2026-02-25", "16667 JPY", "1 JPY = 0.006 EUR (2026-02-15, inverse)", 10000, "EUR", "JPY"},
		{"from a currency without decimals", "2026-02-25", "60.00 EUR", "1 JPY = 0.006 EUR (2026-02-15)", 10000, "JPY", "EUR"},
		// Over CHF the older rate is of 15 January, over USD of 15 February.
		{"cross by the younger pair", "2026-02-25", "97.50 EUR",
			"1 GBP = 1.3 USD (2026-02-15); 1 USD = 0.75 EUR (2026-02-20, bank)", 10000, "GBP", "EUR"},
	} {
		got, used, err := table(0).Convert(listing.Amount{Minor: c.minor, Currency: c.from}, c.to, on(c.at))
		require.NoError(t, err, c.name)
		assert.Equal(t, c.want, got.String()+" "+got.Currency, c.name)
		assert.Equal(t, c.rate, used.String(), c.name)
		assert.Empty(t, used.Warnings)
	}
}

func TestConvertWithoutRate(t *testing.T) {
	for _, c := range [][3]string{
		{"EUR", "USD", "2025-12-31"}, // before the first rate
		{"PLN", "EUR", "2026-02-25"}, // not connected
		{"EUR", "SEK", "2026-02-25"}, {"EUR", "NOK", "2026-02-25"}, {"DKK", "EUR", "2026-02-25"},
	} {
		_, _, err := table(0).Convert(listing.Amount{Minor: 1, Currency: c[0]}, c[1], on(c[2]))
		assert.Equal(t, NoRateError{c[0], c[1]}, err)
	}
	var none *Rates
	_, _, err := none.Convert(eur(1), "USD", asOf)
	assert.EqualError(t, err, "no rate EUR to USD")
	same, _, err := none.Convert(eur(1), "EUR", asOf)
	assert.NoError(t, err)
	assert.Equal(t, eur(1), same)

	_, _, err = NewRates([]Rate{{From: "EUR", To: "JPY", Value: 1e12, Date: asOf}}, 0).
		Convert(eur(math.MaxInt64/4), "JPY", asOf)
	assert.Error(t, err)
}

func TestOldRatesWarn(t *testing.T) {
	_, used, err := table(30).Convert(listing.Amount{Minor: 100, Currency: "CHF"}, "EUR", on("2026-03-12"))
	require.NoError(t, err)
	assert.Empty(t, used.Warnings, "30 days")
	_, used, _ = table(30).Convert(listing.Amount{Minor: 100, Currency: "CHF"}, "EUR", on("2026-03-13"))
	assert.Equal(t, []string{"rate CHF to EUR of 2026-02-10 is 31 days old"}, used.Warnings)

	offers := offersAt(1000)
	offers[0].Price.Currency = "CHF"
	a := Build(offers, nil, table(1), "EUR", asOf, Settings{}).Assess(0)
	assert.Equal(t, "1050.00", a.Price.String())
	assert.Equal(t, "1000.00", a.Listed.String())
	assert.Contains(t, a.Warnings, "rate CHF to EUR of 2026-02-10 is 19 days old")
}
