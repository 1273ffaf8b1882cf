package money

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func shortTexts() (list []string) {
	for sign := range shortSigns() {
		for _, n := range []string{"1", "9", "12", "412", "4120", "1000", "1.50", "12,50", "412.00", "9999,99", "105.05"} {
			list = append(list, sign+n, sign+" "+n, n+sign, n+" "+sign)
		}
	}
	return append(list, "€ 0.50", "€ 012", "€ 1.299", "€ 1.299,00", "12345 €", "€ 12.5", "€ 12.", "EUR EUR 12", "12 EUR/pc", "€12 €", "-12 €", "1 2 €", "€", "x 12")
}

// The short way must never say anything but the long one, which the published
// cases are held against.
func sameWay(t *testing.T, text string, h Hints) (short bool) {
	t.Helper()
	p, ok := parseShort(text, h)
	if !ok {
		return false
	}
	want, err := parseLong(text, h)
	assert.NoError(t, err, text)
	assert.Equal(t, want, p, text)
	return true
}

func TestShortWay(t *testing.T) {
	taken := 0
	for _, h := range []Hints{{}, {Currency: "CAD"}, {Host: "shop.example.com.au"}, {Language: "es-MX", DecimalMark: ','}, {CurrencyText: "USD", DecimalMark: '.'}} {
		for _, text := range shortTexts() {
			if sameWay(t, text, h) {
				taken++
			}
		}
	}
	require.Greater(t, taken, 4000)
}

func FuzzShortWay(f *testing.F) {
	for _, text := range shortTexts() {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		sameWay(t, text, Hints{})
		sameWay(t, text, Hints{Currency: "USD", Host: "shop.example.ca"})
	})
}
