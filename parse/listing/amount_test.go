package listing

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Source: ISO 4217 list one, column 'minor unit'. Some libraries give HUF no
// decimals; the standard gives it two.
func TestMinorUnitsISO4217(t *testing.T) {
	for code, want := range map[string]int{"JPY": 0, "ISK": 0, "CLP": 0, "KWD": 3,
		"BHD": 3, "CLF": 4, "UYW": 4, "HUF": 2, "MGA": 2, "EUR": 2, "USD": 2} {
		got, ok := MinorUnits(code)
		assert.True(t, ok, code)
		assert.Equal(t, want, got, code)
	}
	for _, code := range []string{"", "EU", "ABC", "eur", "ED ", "D A", "EURO"} {
		_, ok := MinorUnits(code)
		assert.False(t, ok, "%q", code)
	}
}

// Debian's iso-codes lists every code of the standard, without minor units.
func TestMinorUnitsAgainstIsoCodes(t *testing.T) {
	data, err := os.ReadFile("/usr/share/iso-codes/json/iso_4217.json")
	if err != nil {
		if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
			t.Fatal("install the Debian package iso-codes")
		}
		t.Skip("needs the Debian package iso-codes")
	}
	var list struct {
		Codes []struct {
			Code string `json:"alpha_3"`
			Name string `json:"name"`
		} `json:"4217"`
	}
	require.NoError(t, json.Unmarshal(data, &list))
	require.NotEmpty(t, list.Codes)
	known := 0
	for _, c := range list.Codes {
		if _, ok := MinorUnits(c.Code); ok {
			known++
			continue
		}
		// Precious metals, bond units, test codes and the like are no money a
		// listing can be priced in.
		assert.Contains(t, "XAG XAU XBA XBB XBC XBD XDR XPD XPT XSU XTS XUA XXX", c.Code, c.Name)
	}
	assert.Greater(t, known, 150)
}

func TestParseAmount(t *testing.T) {
	for _, c := range []struct {
		text, currency, want string
		minor                int64
	}{
		{"312.40", "EUR", "312.40", 31240},
		{"312", "EUR", "312.00", 31200},
		{"0.05", "EUR", "0.05", 5},
		{"-5.5", "USD", "-5.50", -550},
		{"1999", "JPY", "1999", 1999},
		{"1999.5", "JPY", "2000", 2000},
		{"7.1255", "KWD", "7.126", 7126},
		{"0.125", "EUR", "0.13", 13},
		{"0.1249", "EUR", "0.12", 12},
	} {
		a, err := ParseAmount(c.text, c.currency)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.minor, a.Minor, c.text)
		assert.Equal(t, c.want, a.String(), c.text)
	}
	for _, bad := range []string{"", "-", ".", "1.", ".5", "1e3", "1,5", "12,5O", "+3", "NaN", " 1", "9999999999999999"} {
		_, err := ParseAmount(bad, "EUR")
		assert.Error(t, err, "%q", bad)
	}
	_, err := ParseAmount("1", "XYZ")
	assert.Error(t, err)
}
