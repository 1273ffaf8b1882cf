package money

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// The number formats of CLDR locales, and wordings of common practice.
func TestParse(t *testing.T) {
	for _, c := range []struct {
		text, amount, currency string
	}{
		{"1.234,50 €", "1234.50", "EUR"},
		{"€1,234.50", "1234.50", "EUR"},
		{"1 234,50 €", "1234.50", "EUR"},
		{"1\u00a0234,50\u00a0€", "1234.50", "EUR"},
		{"1\u202f234,50 €", "1234.50", "EUR"},
		{"CHF 1'234.50", "1234.50", "CHF"},
		{"CHF 1’234.50", "1234.50", "CHF"},
		{"₹12,34,567.50", "1234567.50", "INR"},
		{"INR 1,00,000", "100000", "INR"},
		{"٣١٢٫٤٠ د.إ", "312.40", "AED"},
		{"１，２３４．５０ EUR", "1234.50", "EUR"},
		{"EUR 312,40", "312.40", "EUR"},
		{"312,40EUR", "312.40", "EUR"},
		{"US $312.40", "312.40", "USD"},
		{"$312.40 USD", "312.40", "USD"},
		{"USD $312.40", "312.40", "USD"},
		{"1250€60", "1250.60", "EUR"},
		{"1.250€60", "1250.60", "EUR"},
		{"129,- €", "129", "EUR"},
		{"KWD 1.234", "1.234", "KWD"},
		{"¥12,000 JPY", "12000", "JPY"},
		{"JPY 12.000", "12000", "JPY"},
		{"12 500 ₽", "12500", "RUB"},
		{"12500 рублей", "12500", "RUB"},
		{"1 299,00 zł", "1299.00", "PLN"},
		{"￥1280元", "1280", "CNY"},
		{"Turbo XT1749 – 499,00 €", "499.00", "EUR"},
		{"3 Ausgaben für nur 14,85 EUR", "14.85", "EUR"},
		{"Set of 2: €299", "299", "EUR"},
		{"$1,299.00 CAD", "1299.00", "CAD"},
		{"299 US-Dollar", "299", "USD"},
		{"312.40", "312.40", ""},
		{"312", "312", ""},
		{"0.5", "0.5", ""},
	} {
		p, err := Parse(c.text, Hints{})
		require.NoError(t, err, c.text)
		assert.Equal(t, c.amount, p.Amount, c.text)
		assert.Equal(t, c.currency, p.Currency, c.text)
		assert.Empty(t, p.Doubts, c.text)
		assert.Equal(t, listing.PriceFixed, p.Kind, c.text)
	}
}

func TestParseRefuses(t *testing.T) {
	for _, text := range []string{
		"", "   ", "-", "abc", "12,5O", "12,5O €", "€12,5O", "1e3", "1.2.3", "12.05.2024", "2024-05-12",
		"1,23,45", "1234.567,89,1", "25-09", "-5", "-5,00 €", "$-5.00", "-$5.00", "(1.234,50)", "00123", "0045,10 €",
		"12345678901234", "1.1234567", "Art. 4711", "XT1749", "12½ €", "99p", "12:30", "40% OFF", "1'23", "N/A",
		"Code 884", "12 34 EUR!5O", "∞ €", strings.Repeat("9", 2000),
	} {
		p, err := Parse(text, Hints{})
		assert.True(t, err != nil || p.Has(SeveralAmounts), "%q read as %s, %v", text, p.Amount, p.Doubts)
	}
}

func TestParseAmbiguous(t *testing.T) {
	p, err := Parse("1.234", Hints{})
	require.NoError(t, err)
	assert.Equal(t, "1234", p.Amount)
	assert.True(t, p.Has(OneSeparator))

	p, _ = Parse("1.234", Hints{DecimalMark: '.'})
	assert.Equal(t, "1.234", p.Amount)
	assert.Empty(t, p.Doubts)

	p, _ = Parse("1.234", Hints{DecimalMark: ','})
	assert.Equal(t, "1234", p.Amount)
	assert.Empty(t, p.Doubts)

	p, _ = Parse("0.234", Hints{})
	assert.Equal(t, "0.234", p.Amount)
}

func TestAmbiguousCurrency(t *testing.T) {
	for _, c := range []struct {
		text, want string
		hints      Hints
	}{
		{"$12.00", "", Hints{}},
		{"$12.00", "CAD", Hints{Currency: "CAD"}},
		{"$12.00", "CAD", Hints{CurrencyText: "CAD"}},
		{"$12.00", "AUD", Hints{Host: "shop.example.au"}},
		{"$12.00", "USD", Hints{Language: "en-US"}},
		{"$12.00", "", Hints{Language: "en"}},
		{"$12.00", "", Hints{Currency: "EUR"}},
		{"120 kr", "", Hints{}},
		{"120 kr", "SEK", Hints{Language: "sv"}},
		{"120 kr", "NOK", Hints{Host: "shop.example.no"}},
		{"¥120", "JPY", Hints{Language: "ja"}},
		{"¥120", "CNY", Hints{Language: "zh-Hans"}},
		{"£12.00", "GBP", Hints{}},
		{"£12.00", "EGP", Hints{Host: "shop.example.eg"}},
		{"12,00 DEM", "", Hints{}},
		{"12.00", "EUR", Hints{CurrencyText: "€"}},
	} {
		p, err := Parse(c.text, c.hints)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, p.Currency, "%s %+v", c.text, c.hints)
		assert.Equal(t, p.Currency == "" && p.CurrencyText != "DEM", p.Ambiguous, c.text)
	}
}

func TestKindTaxAndUnit(t *testing.T) {
	for _, c := range []struct {
		text, amount, high, kind, tax string
		perUnit                       bool
		lot                           int
	}{
		{"from $12.00", "12.00", "", listing.PriceFrom, "", false, 0},
		{"ab 12,00 €", "12.00", "", listing.PriceFrom, "", false, 0},
		{"à partir de 12,00 € TTC", "12.00", "", listing.PriceFrom, listing.TaxIncluded, false, 0},
		{"desde 12,00 € sin IVA", "12.00", "", listing.PriceFrom, listing.TaxExcluded, false, 0},
		{"da 12,00 € IVA inclusa", "12.00", "", listing.PriceFrom, listing.TaxIncluded, false, 0},
		{"od 120 zł netto", "120", "", listing.PriceFrom, listing.TaxExcluded, false, 0},
		{"от 1 200 руб. без НДС", "1200", "", listing.PriceFrom, listing.TaxExcluded, false, 0},
		{"1200元起 含税", "1200", "", listing.PriceFrom, listing.TaxIncluded, false, 0},
		{"26 to 50 €", "26", "50", listing.PriceFrom, "", false, 0},
		{"$29.99 – $74.99", "29.99", "74.99", listing.PriceFrom, "", false, 0},
		{"12,00 € bis 15,00 €", "12.00", "15.00", listing.PriceFrom, "", false, 0},
		{"Current bid: £45.00", "45.00", "", listing.PriceBid, "", false, 0},
		{"Preis auf Anfrage", "", "", listing.PriceRequest, "", false, 0},
		{"价格面议", "", "", listing.PriceRequest, "", false, 0},
		{"цена по запросу", "", "", listing.PriceRequest, "", false, 0},
		{"312,40 € zzgl. MwSt.", "312.40", "", listing.PriceFixed, listing.TaxExcluded, false, 0},
		{"312,40 € inkl. 19% MwSt.", "312.40", "", listing.PriceFixed, listing.TaxIncluded, false, 0},
		{"€312.40 + VAT", "312.40", "", listing.PriceFixed, listing.TaxExcluded, false, 0},
		{"CAD 12.00", "12.00", "", listing.PriceFixed, "", false, 0},
		{"$426.20/EA", "426.20", "", listing.PriceFixed, "", true, 0},
		{"120 € pro Stück", "120", "", listing.PriceFixed, "", true, 0},
		{"2200.00元/台", "2200.00", "", listing.PriceFixed, "", true, 0},
		{"240 € / 2 Stk", "240", "", listing.PriceFixed, "", false, 2},
		{"Was $120.00 Now $60.00", "60.00", "", listing.PriceFixed, "", false, 0},
		{"UVP 120,00 € 60,00 €", "60.00", "", listing.PriceFixed, "", false, 0},
		{"AED 8000 (USD 2179)", "8000", "", listing.PriceFixed, "", false, 0},
		{"59,90 EUR 599,00 EUR pro Kilogramm", "59.90", "", listing.PriceFixed, "", false, 0},
	} {
		p, err := Parse(c.text, Hints{})
		require.NoError(t, err, c.text)
		assert.Equal(t, c.amount, p.Amount, c.text)
		assert.Equal(t, c.high, p.High, c.text)
		assert.Equal(t, c.kind, p.Kind, c.text)
		assert.Equal(t, c.tax, p.Tax, c.text)
		assert.Equal(t, c.perUnit, p.PerUnit, c.text)
		assert.Equal(t, c.lot, p.Lot, c.text)
		assert.Empty(t, p.Doubts, c.text)
	}
}

func TestDoubts(t *testing.T) {
	for text, want := range map[string]Doubt{
		"3,49 zł 1,75 zł":             SeveralAmounts,
		"12,00 € + 5,90 € Versand":    SeveralAmounts,
		"12x de R$ 44,00 sem juros":   Instalment,
		"$30.56/Month":                Instalment,
		"up to $4.70":                 UpperBound,
		"599,00 EUR pro Kilogramm":    OtherUnit,
		"73,460 €":                    OneSeparator,
		"1250€ 60":                    SeveralAmounts,
		"125,00 € statt UVP 1.234 €?": OneSeparator,
	} {
		p, err := Parse(text, Hints{})
		require.NoError(t, err, text)
		if want == OneSeparator && strings.Contains(text, "statt") {
			assert.Empty(t, p.Doubts, text) // the other amount is a list price
			continue
		}
		assert.Contains(t, p.Doubts, want, text)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"1.234,50 €", "from $12 to $15", "12x de R$ 44,00", "119. 95", "1250€60", "٣١٢٫٤٠", "価格面議", "-$5", "(1)", "№ 5\u0301"} {
		f.Add(s, "€", "en-US", 0)
	}
	f.Fuzz(func(t *testing.T, text, currency, language string, mark int) {
		p, err := Parse(text, Hints{CurrencyText: currency, Language: language, DecimalMark: rune(mark)})
		if err != nil {
			assert.Empty(t, p.Amount)
			return
		}
		if p.Kind == listing.PriceRequest {
			assert.Empty(t, p.Amount)
			return
		}
		_, err = listing.ParseAmount(p.Amount, "EUR")
		require.NoError(t, err, "%q gave %q", text, p.Amount)
		again, err := Parse(p.Amount, Hints{DecimalMark: '.'})
		require.NoError(t, err, p.Amount)
		assert.Equal(t, p.Amount, again.Amount)
	})
}

func BenchmarkParse(b *testing.B) {
	for _, text := range []string{"312.40", "1.234,50 €"} {
		b.Run(text, func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				_, _ = Parse(text, Hints{})
			}
		})
	}
}

func TestManyNumbers(t *testing.T) {
	_, err := Parse(strings.Repeat("1 €", 250), Hints{})
	assert.Error(t, err)
}
