package values

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// set reads one field into an empty listing.
func set(n listing.Name, raw string, h *Hints) (*listing.Listing, []listing.Problem) {
	l := &listing.Listing{File: "parts.csv", Row: 2}
	return l, Set(l, n, raw, listing.Cell(2, n.String()), h)
}

// checkValues reads each text and compares the value; "!" expects a Partial
// problem and no value, "" expects neither.
func checkValues(t *testing.T, n listing.Name, h *Hints, cases map[string]string) {
	t.Helper()
	for raw, want := range cases {
		l, problems := set(n, raw, h)
		if want == "!" {
			assert.False(t, l.Has(n), "%s %q gave %q", n, raw, l.Value(n))
			if assert.NotEmpty(t, problems, "%s %q", n, raw) {
				p := problems[len(problems)-1]
				assert.Equal(t, listing.Partial, p.Severity, raw)
				assert.Equal(t, "parts.csv", p.File)
				assert.Equal(t, n, p.Field)
				assert.Equal(t, listing.Shorten(raw, listing.RawLimit), p.Raw)
			}
			continue
		}
		assert.Equal(t, want, l.Value(n), "%s %q", n, raw)
		assert.Empty(t, problems, "%s %q", n, raw)
		if want != "" {
			f, _ := l.Get(n)
			assert.Equal(t, raw, f.Raw)
			assert.Equal(t, listing.Cell(2, n.String()), f.From)
		}
	}
}

func TestEveryFieldHasAReader(t *testing.T) {
	for _, n := range listing.Names() {
		if assert.Less(t, int(n), len(readers), n.String()) {
			assert.NotNil(t, readers[n], n.String())
		}
	}
}

func TestSums(t *testing.T) {
	checkValues(t, listing.Price, nil, map[string]string{
		"312.40": "312.40", "EUR 312,40": "312.40", " 1.234,50 € ": "1234.50", "12,5O": "!", "0.00": "!", "-5 EUR": "!",
		"3,49 zł 1,75 zł": "!", "12x de R$ 44,00": "!", "up to 5 EUR": "!", "599 EUR pro kg": "!", "n/a": "", "": "", " - ": "",
		"Preis auf Anfrage": "", "ab 120 EUR": "120",
	})
	checkValues(t, listing.Shipping, nil, map[string]string{
		"Free": "0", "kostenlos": "0", "Livraison gratuite": "0", "envío gratis": "0", "spedizione gratuita": "0",
		"darmowa wysyłka": "0", "бесплатно": "0", "包邮": "0", "5,90 €": "5.90", "+ 5,90 € Versand": "5.90", "5.90 shipping": "5.90",
		"0.00": "0.00", "calculated at checkout": "!", "not free": "!",
	})
	checkValues(t, listing.CoreDeposit, nil, map[string]string{
		"150 EUR": "150", "no core charge": "0", "ohne Altteilpfand": "0", "refundable": "!", "core charge $150": "150",
	})
	checkValues(t, listing.PriceWas, nil, map[string]string{"UVP 599,00 €": "599.00", "abc": "!"})
}

func TestPriceSidelines(t *testing.T) {
	l, problems := set(listing.Price, "ab 120,00 € pro Stück inkl. MwSt.", nil)
	assert.Empty(t, problems)
	assert.Equal(t, "120.00", l.Value(listing.Price))
	assert.Equal(t, "EUR", l.Value(listing.Currency))
	assert.Equal(t, listing.PriceFrom, l.Value(listing.PriceKind))
	assert.Equal(t, listing.TaxIncluded, l.Value(listing.PriceTax))
	assert.Equal(t, "1", l.Value(listing.LotQuantity))
	f, _ := l.Get(listing.Currency)
	assert.Equal(t, "€", f.Raw)

	l, problems = set(listing.Price, "price on request", nil)
	assert.Empty(t, problems)
	assert.Equal(t, listing.PriceRequest, l.Value(listing.PriceKind))

	l, problems = set(listing.Price, "1.234", nil)
	require.Len(t, problems, 1)
	assert.Equal(t, listing.Notice, problems[0].Severity)
	assert.Equal(t, "1234", l.Value(listing.Price))
	l, problems = set(listing.Price, "1.234", &Hints{DecimalMark: '.'})
	assert.Empty(t, problems)
	assert.Equal(t, "1.234", l.Value(listing.Price))
}

func TestCurrencyOrder(t *testing.T) {
	for _, order := range [][]listing.Name{{listing.Price, listing.Currency}, {listing.Currency, listing.Price}} {
		l := &listing.Listing{File: "parts.csv"}
		var problems []listing.Problem
		for i, n := range order {
			raw := map[listing.Name]string{listing.Price: "$12.00 USD", listing.Currency: "EUR"}[n]
			problems = append(problems, Set(l, n, raw, listing.Cell(2, order[i].String()), nil)...)
		}
		assert.Equal(t, "USD", l.Value(listing.Currency), "the currency beside the price wins")
		require.Len(t, problems, 1)
		assert.Equal(t, listing.Notice, problems[0].Severity)
		require.Len(t, l.Disagreements, 1)
		assert.Equal(t, "EUR", l.Disagreements[0].Other.Value)
	}
	checkValues(t, listing.Currency, nil, map[string]string{"EUR": "EUR", "eur": "EUR", "€": "EUR", "Euro": "EUR", "zł": "PLN", "руб.": "RUB",
		"$": "!", "kr": "!", "XYZ": "!", "DEM": "!", "lei": "RON"})
	checkValues(t, listing.Currency, &Hints{Language: "sv"}, map[string]string{"kr": "SEK"})
}

func TestKindAndTax(t *testing.T) {
	checkValues(t, listing.PriceKind, nil, map[string]string{"fixed": "fixed", "Sofort-Kaufen": "fixed", "auction": "bid", "ab": "from", "面议": "request", "x": "!"})
	checkValues(t, listing.PriceTax, nil, map[string]string{"included": "included", "inkl. MwSt.": "included", "zzgl. MwSt.": "excluded", "TTC": "included", "без НДС": "excluded", "19": "!"})
}

func TestCounts(t *testing.T) {
	checkValues(t, listing.QuantityAvailable, nil, map[string]string{
		"5": "5", "more than 10": "10", "Mehr als 10 verfügbar": "10", "10+": "10", "> 10": "10", "1,000": "1000", "1 200 szt": "1200",
		"3 available / 12 sold": "3", "last one": "1", "in stock": "", "1.5": "!", "-3": "!", "2 of 7": "!", "5k": "!", "abc": "!", "已售 12": "12",
	})
	l, _ := set(listing.QuantityAvailable, "auf Lager", nil)
	assert.Equal(t, listing.InStock, l.Value(listing.Availability))
	checkValues(t, listing.LotQuantity, nil, map[string]string{"1": "1", "lot of 2": "2", "2 Stück": "2", "pair": "2", "0": "!", "abc": "!"})
	checkValues(t, listing.MinimumOrder, nil, map[string]string{"10": "10", "MOQ: 10 pcs": "10", "ab 5 Stück": "5"})
	checkValues(t, listing.SellerFeedbackCount, nil, map[string]string{"1204": "1204", "(1,204)": "1204", "1.2k": "!"})
}

func TestFeedback(t *testing.T) {
	checkValues(t, listing.SellerFeedback, nil, map[string]string{
		"98.7%": "98.7", "98,7 %": "98.7", "98.7% (1204)": "98.7", "100% positive feedback": "100", "98.7": "98.7", "(1204)": "",
		"4.8": "!", "4.8 out of 5 stars": "!", "1204": "!", "good": "!", "0": "0", "120%": "!",
	})
	l, _ := set(listing.SellerFeedback, "98,7 % positive Bewertungen (1.204)", nil)
	assert.Equal(t, "98.7", l.Value(listing.SellerFeedback))
	assert.Equal(t, "1204", l.Value(listing.SellerFeedbackCount))
}

// RFC 3339, section 5.6; CLDR month names and short formats.
func TestDates(t *testing.T) {
	checkValues(t, listing.CapturedAt, nil, map[string]string{
		"2025-12-31": "2025-12-31", "2025-12-31T14:05:06Z": "2025-12-31T14:05:06Z", "2025-12-31T14:05:06+01:00": "2025-12-31T14:05:06+01:00",
		"2025-12-31T14:05:06.123Z": "2025-12-31T14:05:06Z", "2025-12-31 14:05 UTC": "2025-12-31T14:05:00Z", "2025-12-31 14:05": "2025-12-31",
		"31.12.2025": "2025-12-31", "3.4.2025": "2025-04-03", "31.12.25": "2025-12-31", "31.12.2025, 14:05 Uhr": "2025-12-31",
		"12/31/2025": "2025-12-31", "31/12/2025": "2025-12-31", "03/04/2025": "!", "04/04/2025": "2025-04-04", "03-04-2025": "!",
		"20251231": "2025-12-31", "2025/12/31": "2025-12-31", "2025年12月31日": "2025-12-31",
		"31 Dec 2025": "2025-12-31", "December 31, 2025": "2025-12-31", "31. Dezember 2025": "2025-12-31", "31 décembre 2025": "2025-12-31",
		"31 de diciembre de 2025": "2025-12-31", "31 dicembre 2025": "2025-12-31", "31 grudnia 2025": "2025-12-31", "31 декабря 2025 г.": "2025-12-31",
		"1 Mai 2025": "2025-05-01", "5 août 2025": "2025-08-05", "Dec 31, 2025 2:05 PM UTC": "2025-12-31T14:05:00Z",
		"2025-02-30": "!", "31.02.2025": "!", "2025-13-01": "!", "yesterday": "!", "1735689600": "!", "2025": "!", "12:30": "!", "0000-00-00": "!",
		// Leap years: ISO 8601 and its Gregorian calendar. The years that are believed are our own.
		"2024-02-29": "2024-02-29", "2023-02-29": "!", "2000-02-29": "2000-02-29", "1900-02-29": "!", "2025-04-31": "!",
		"1900-01-01": "1900-01-01", "1899-12-31": "!", "2200-12-31": "2200-12-31", "2201-01-01": "!", "2025-1-2": "2025-01-02", "2025-06": "!",
	})
	checkValues(t, listing.CapturedAt, &Hints{DateOrder: DayFirst}, map[string]string{"03/04/2025": "2025-04-03"})
	checkValues(t, listing.CapturedAt, &Hints{DateOrder: MonthFirst}, map[string]string{"03/04/2025": "2025-03-04", "13/04/2025": "2025-04-13"})
	checkValues(t, listing.CapturedAt, &Hints{Language: "fr"}, map[string]string{"03/04/2025": "2025-04-03"})
	checkValues(t, listing.CapturedAt, &Hints{Language: "en"}, map[string]string{"03/04/2025": "!"})
	checkValues(t, listing.SellerSince, nil, map[string]string{
		"2015": "2015", "2015-03": "2015-03", "Member since Mar 2015": "2015-03", "Mitglied seit 12.03.2015": "2015-03-12", "seit März 2015": "2015-03",
		"membre depuis 2015": "2015", "на сайте с 2015": "2015", "2015年3月": "2015-03", "5 years": "!",
		// Month and year in digits: the short forms of CLDR for Spanish (M/y), French (MM/y) and Polish (MM.y); from memory.
		"3/2015": "2015-03", "Membre depuis 03/2015": "2015-03", "na portalu od 03.2015": "2015-03", "13/2015": "!", "03/15": "!",
		"2015-12": "2015-12", "2015-13": "!", "2015-00": "!", "1899-12": "!", "2201-01": "!", "2015-02-28": "2015-02-28",
	})
}

func TestConditions(t *testing.T) {
	checkValues(t, listing.Condition, nil, map[string]string{
		"new": "new", "https://schema.org/NewCondition": "new", "http://schema.org/UsedCondition": "used", "RefurbishedCondition": "rebuilt",
		"https://schema.org/DamagedCondition": "core", "New old stock": "new-old-stock", "Brand New": "new", "Neu": "new", "neuf": "new", "Nuevo": "new",
		"nuovo": "new", "Fabrycznie nowy": "new", "Новый": "new", "全新": "new", "Remanufactured": "remanufactured", "Austauschteil": "remanufactured",
		"échange standard": "remanufactured", "de intercambio": "remanufactured", "再制造": "remanufactured", "rebuilt": "rebuilt", "generalüberholt": "rebuilt",
		"Generalüberholter": "rebuilt", "remis à neuf": "rebuilt", "reconstruido": "rebuilt", "rigenerato": "rebuilt", "po regeneracji": "rebuilt",
		"восстановленный": "rebuilt", "翻新": "rebuilt", "Used": "used", "gebraucht": "used", "d'occasion": "used", "usado": "used", "usato": "used",
		"używany": "used", "Б/У": "used", "контрактная": "used", "二手": "used", "wie neu": "used", "comme neuf": "used", "For parts or not working": "core",
		"als Ersatzteil / defekt": "core", "pour pièces": "core", "na części": "core", "на запчасти": "core", "旧件": "core", "unknown": "unknown",
		"see description": "unknown", "Remanufactured, with new bearings": "remanufactured", "neu oder gebraucht": "!", "blue": "!", "3000": "!",
	})
}

func TestUnitTypes(t *testing.T) {
	checkValues(t, listing.UnitType, nil, map[string]string{
		"complete": "complete", "Turbocharger": "complete", "Turbolader": "complete", "turbocompresseur": "complete", "турбина в сборе": "complete",
		"CHRA": "chra", "Rumpfgruppe": "chra", "cartouche": "chra", "картридж": "chra", "机芯": "chra", "Core assy": "chra", "Gasket kit": "kit",
		"Dichtungssatz": "kit", "ремкомплект": "kit", "actuator": "component", "Stellmotor": "component", "siłownik": "component", "执行器": "component", "banana": "!",
	})
}

// Source of the values: schema.org, ItemAvailability.
func TestAvailability(t *testing.T) {
	checkValues(t, listing.Availability, nil, map[string]string{
		"https://schema.org/InStock": "InStock", "http://schema.org/OutOfStock": "OutOfStock", "SoldOut": "SoldOut", "PreOrder": "PreOrder",
		"https://schema.org/BackOrder": "BackOrder", "Discontinued": "Discontinued", "LimitedAvailability": "LimitedAvailability", "InStoreOnly": "InStoreOnly",
		"OnlineOnly": "OnlineOnly", "in stock": "InStock", "nicht verfügbar": "OutOfStock", "verfügbar": "InStock", "rupture de stock": "OutOfStock",
		"disponible": "InStock", "no disponible": "OutOfStock", "esaurito": "OutOfStock", "niedostępny": "OutOfStock", "нет в наличии": "OutOfStock",
		"в наличии": "InStock", "缺货": "OutOfStock", "现货": "InStock", "ausverkauft": "SoldOut", "продано": "SoldOut", "3": "InStock", "0": "OutOfStock", "ja": "InStock", "No": "OutOfStock", "no": "OutOfStock", "maybe": "!",
	})
}

// ISO 3166-1 alpha-2 codes; names from CLDR.
func TestCountries(t *testing.T) {
	checkValues(t, listing.CountryOfOrigin, nil, map[string]string{
		"DE": "DE", "DEU": "DE", "Germany": "DE", "Deutschland": "DE", "Allemagne": "DE", "Alemania": "DE", "Germania": "DE", "Niemcy": "DE",
		"Германия": "DE", "德国": "DE", "USA": "US", "UK": "GB", "Great Britain": "GB", "P.R. China": "CN", "中国": "CN", "Made in Germany": "DE",
		"Сделано в Германии": "DE", "Germany or China": "Germany or China", "imported": "imported", "Tschechien": "CZ", "Czech Republic": "CZ", "South Korea": "KR",
	})
	checkValues(t, listing.ShipsFrom, nil, map[string]string{"Exampletown, Germany": "DE", "Exampletown": "Exampletown", "香港": "HK"})
	checkValues(t, listing.SellerLocation, nil, map[string]string{"Exampletown, Germany": "Exampletown, Germany", "Germany": "DE"})
}

func TestIdentifiersAndText(t *testing.T) {
	checkValues(t, listing.SerialNumber, nil, map[string]string{" 00123 ": "00123", "N/A": "", "1.23457E+11": "!", "'000123": "000123", "7.1E5X": "7.1E5X"})
	checkValues(t, listing.PartNumber, nil, map[string]string{"712345-5001S": "712345-5001S", "does not apply": "", "7,12345E+09": "!"})
	checkValues(t, listing.GTIN, nil, map[string]string{"6291041500213": "6291041500213", "6 291041 500213": "6291041500213", "EAN: 6291041500213": "6291041500213",
		"629104150021": "629104150021", "62910415002": "!", "abc": "!", "0000000000000": "", "６２９１０４１５００２１３": "6291041500213"})
	checkValues(t, listing.OENumbers, nil, map[string]string{"03X253016T, 03X253010A": "03X253016T; 03X253010A", "03X 253 016 T;03X253016T": "03X 253 016 T",
		"1234567/1234568": "1234567; 1234568", "12345/1": "12345/1", ";;": "!"})
	checkValues(t, listing.Brand, nil, map[string]string{"does not apply": "does not apply", " Example  Turbo\n": "Example Turbo"})
	checkValues(t, listing.PhotoFiles, nil, map[string]string{"a.jpg; b, c.jpg ;": "a.jpg; b, c.jpg"})
	checkValues(t, listing.PhotoViews, nil, map[string]string{"Serial-Plate, box-label": "serial-plate; box-label"})
	checkValues(t, listing.URL, nil, map[string]string{"https://shop.example/a?b=1": "https://shop.example/a?b=1", "javascript:alert(1)": "!", "no url": "!"})
	checkValues(t, listing.Language, nil, map[string]string{"de": "de", "en_GB": "en-GB", "zh-hans": "zh-Hans", "german!": "!"})
	l, problems := set(listing.Title, strings.Repeat("ä", 5000), nil)
	assert.LessOrEqual(t, len(l.Value(listing.Title)), maxLine)
	require.Len(t, problems, 1)
	assert.Equal(t, listing.Notice, problems[0].Severity)
}

func FuzzSet(f *testing.F) {
	for i, s := range []string{"1.234,50 €", "98.7% (1204)", "03/04/2025", "lot of 2", "https://schema.org/NewCondition", "Made in Germany", "EAN 6291041500213", "31 grudnia 2025 14:05 UTC", "a\xff; b=", "9E+99"} {
		f.Add(uint8(i), s, "de", 44)
	}
	f.Fuzz(func(t *testing.T, name uint8, raw, language string, mark int) {
		names := listing.Names()
		n := names[int(name)%len(names)]
		h := &Hints{Language: language, DecimalMark: rune(mark)}
		l := &listing.Listing{File: "f"}
		problems := Set(l, n, raw, listing.Cell(2, "c"), h)
		problems = append(problems, Derive(l, h)...)
		for _, p := range problems {
			require.NotEmpty(t, p.Reason)
		}
		if l.Has(listing.Price) {
			_, err := listing.ParseAmount(l.Value(listing.Price), "EUR")
			require.NoError(t, err)
		}
	})
}

// The wordings are common practice, no source; what they say is read off.
func TestSumsBesideThePrice(t *testing.T) {
	for text, want := range map[string]string{
		"was 150.00 EUR now 99.00 EUR":             "price=99.00 currency=EUR price_was=150.00",
		"99,00 € statt 150,00 €":                   "price=99.00 currency=EUR price_was=150.00",
		"99,00 € (UVP: 150,00 €)":                  "price=99.00 currency=EUR price_was=150.00",
		"99.00 EUR + 5.00 EUR shipping":            "price=99.00 currency=EUR shipping=5.00",
		"99.00 EUR shipping included":              "price=99.00 currency=EUR",
		"99.00 EUR plus shipping":                  "price=99.00 currency=EUR",
		"99,00 € zzgl. 4,90 € Versand":             "price=99.00 currency=EUR shipping=4.90",
		"300 EUR + 120 EUR core charge":            "price=300 currency=EUR core_deposit=120",
		"120.00 EUR / lot of 10":                   "price=120.00 currency=EUR lot_quantity=10",
		"120.00 EUR for 10 pcs":                    "price=120.00 currency=EUR lot_quantity=10",
		"12.50 EUR each, 10 pcs available":         "price=12.50 currency=EUR lot_quantity=1",
		"99.00 EUR excl. VAT":                      "price=99.00 currency=EUR price_tax=excluded",
		"150.00 EUR, list price 99.00 EUR":         "price=150.00 currency=EUR",
		"Aktueller Preis 1.234,50 EUR inkl. MwSt.": "price=1234.50 currency=EUR price_tax=included",
	} {
		l := &listing.Listing{}
		Set(l, listing.Price, text, listing.Place{}, nil)
		got := ""
		for _, f := range l.Fields() {
			got += f.Name.String() + "=" + f.Value + " "
		}
		assert.Equal(t, want, strings.TrimSpace(got), text)
	}
}
