package table

import (
	"encoding/json"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/parse/values"
)

func read(t *testing.T, text string, opt Options) Result {
	t.Helper()
	return Read([]byte(text), "parts.csv", "00ff", opt)
}

func TestCanonicalTable(t *testing.T) {
	var header, row []string
	cells := map[listing.Name]string{listing.Price: "312.40", listing.Currency: "EUR", listing.Condition: "new", listing.UnitType: "complete",
		listing.CapturedAt: "2025-12-31", listing.SellerSince: "2015", listing.GTIN: "6291041500213", listing.Shipping: "5.00", listing.CoreDeposit: "100",
		listing.PriceWas: "400", listing.QuantityAvailable: "5", listing.LotQuantity: "1", listing.MinimumOrder: "1", listing.SellerFeedback: "98.7",
		listing.SellerFeedbackCount: "1204", listing.Availability: "InStock", listing.PriceKind: "fixed", listing.PriceTax: "included",
		listing.Language: "de", listing.CountryOfOrigin: "DE", listing.ShipsFrom: "DE", listing.URL: "https://shop.example/1"}
	for _, n := range listing.Names() {
		cell, ok := cells[n]
		if !ok {
			cell = "x" + n.String()
		}
		header, row = append(header, n.String()), append(row, cell)
	}
	res := read(t, strings.Join(header, ",")+"\n"+strings.Join(row, ",")+"\n", Options{})
	assert.Empty(t, res.Problems)
	require.Len(t, res.Listings, 1)
	l := res.Listings[0]
	assert.Equal(t, 2, l.Row)
	assert.Equal(t, "00ff", l.SHA256)
	assert.Equal(t, "xlisting_id", l.Key)
	assert.True(t, l.PhotosKnown)
	for i, n := range listing.Names() {
		f, ok := l.Get(n)
		if assert.True(t, ok, n) {
			assert.Equal(t, row[i], f.Value)
			assert.Equal(t, listing.Cell(2, n.String()), f.From)
		}
		assert.Equal(t, ByName, res.Columns[i].How)
	}
}

// Common practice, no source.
func TestSynonyms(t *testing.T) {
	for field, headers := range map[listing.Name]string{
		listing.Price:         "Preis, prix, PRECIO, prezzo, cena, цена, 价格, Unit Price, Preis (EUR), price_eur, Preis in EUR, itemPrice",
		listing.Title:         "Titel, titre, título, titolo, tytuł, название, 标题, Product Name",
		listing.PartNumber:    "Part No., Part#, MPN, Teile-Nr., Teilenummer, numéro de pièce, número de pieza, numer części, номер детали, 零件号, partNumber, PartNo",
		listing.SerialNumber:  "S/N, Serien-Nr., Seriennummer, N° de série, número de serie, matricola, numer seryjny, серийный номер, 序列号",
		listing.OENumbers:     "OE-Nummern, OEM, oe_numbers, OE/OEM number",
		listing.Shipping:      "Versandkosten, frais de port, gastos de envío, spedizione, koszt wysyłki, доставка, 运费, shipping_cost",
		listing.CoreDeposit:   "core charge, Altteilpfand, consigne, casco, cauzione, kaucja, залог, 押金",
		listing.Seller:        "Verkäufer, vendeur, vendedor, venditore, sprzedawca, продавец, 卖家, Store Name",
		listing.Condition:     "Zustand, état, estado, condizione, stan, состояние, 成色",
		listing.PhotoFiles:    "Bilder, photos, zdjęcia, фото, 图片",
		listing.GTIN:          "EAN, UPC, Barcode, EAN-13",
		listing.PriceWas:      "UVP, RRP, list price, prix barré, stara cena, старая цена, 原价",
		listing.Price + 200:   "Artikelnummer, Spalte 7, foo, ''",
		listing.ShipsFrom:     "ships from, Versand aus, 发货地",
		listing.URL:           "URL, Link, 链接, ссылка",
		listing.Description:   "Beschreibung, opis, 描述",
		listing.Availability:  "Verfügbarkeit, availability, наличие",
		listing.SellerSince:   "member since, Mitglied seit",
		listing.PlateSerial:   "plate_serial, serial on plate",
		listing.LotQuantity:   "lot size, Packungsgröße",
		listing.MinimumOrder:  "MOQ, Mindestbestellmenge",
		listing.SellerID:      "seller_id, SellerID, Verkäufer-ID",
		listing.DateCode:      "date code, Herstellungsdatum",
		listing.BoxSerial:     "box serial, BoxSerial",
		listing.Warranty:      "Garantie, guarantee",
		listing.Returns:       "Rückgabe, returns",
		listing.SellerID + 99: "Bemerkung intern",
	} {
		for _, h := range strings.Split(headers, ", ") {
			m := MatchColumns([]string{h}, nil)[0]
			if field > 100 {
				assert.Equal(t, listing.NoField, m.Field, h)
				assert.NotEmpty(t, m.Reason, h)
				continue
			}
			assert.Equal(t, field, m.Field, "%s: %s", h, m.Reason)
		}
	}
}

// Common practice, no source: articles and prepositions dropped, several words
// for 'number', two names in one header, and 'country' beside a clearer column.
func TestLooserNames(t *testing.T) {
	for header, want := range map[string]listing.Name{
		"Titre de l'annonce": listing.Title, "N° de l'annonce": listing.ListingID, "Identifiant de l'annonce": listing.ListingID,
		"Country of the seller": listing.SellerLocation, "Réf. OE": listing.OENumbers, "Nr sprzedawcy": listing.SellerID,
		"EAN/UPC": listing.GTIN, "Hersteller / Marke": listing.Brand, "Na portalu od": listing.SellerSince,
		"EAN/Preis": listing.NoField, "No.": listing.NoField, "Country": listing.CountryOfOrigin,
	} {
		assert.Equal(t, want, MatchColumns([]string{header}, nil)[0].Field, header)
	}
	var got []listing.Name
	for _, m := range MatchColumns([]string{"Country", "Made in"}, nil) {
		got = append(got, m.Field)
		assert.Equal(t, BySynonym, m.How)
	}
	assert.Equal(t, []listing.Name{listing.SellerLocation, listing.CountryOfOrigin}, got)
}

// Both go by the name of feedback; a share cannot be over 100.
func TestLearnedFeedback(t *testing.T) {
	res := read(t, "id,title,feedback\n1,A,1204\n2,B,47\n3,C,98.7% (31)\n", Options{})
	require.Len(t, res.Listings, 3)
	require.Empty(t, res.Problems)
	for i, want := range []string{"1204", "47", "31"} {
		assert.Equal(t, want, res.Listings[i].Value(listing.SellerFeedbackCount))
	}
	assert.False(t, res.Listings[1].Has(listing.SellerFeedback), "47 ratings, not 47 %")
	assert.Equal(t, "98.7", res.Listings[2].Value(listing.SellerFeedback))
	assert.Contains(t, res.Columns[2].Learned, "numbers of ratings")

	res = read(t, "id,title,feedback\n1,A,98\n2,B,47\n", Options{})
	require.Len(t, res.Listings, 2)
	assert.Equal(t, "47", res.Listings[1].Value(listing.SellerFeedback))

	res = read(t, "id;title;Bewertungen\n1;A;99,2 %\n", Options{})
	require.Len(t, res.Listings, 1)
	assert.Equal(t, "99.2", res.Listings[0].Value(listing.SellerFeedback))
}

func TestSimilarNames(t *testing.T) {
	for header, want := range map[string]listing.Name{
		"condtion": listing.Condition, "desciption": listing.Description, "part_nmber": listing.PartNumber, "Verkäuffer": listing.Seller,
		"serial numbr": listing.SerialNumber, "pricee": listing.Price,
		"prize": listing.NoField, "notes": listing.NoField, "prices per hour": listing.NoField, "seller mood": listing.NoField,
	} {
		m := MatchColumns([]string{header}, nil)[0]
		assert.Equal(t, want, m.Field, "%s: %s", header, m.Reason)
		if want != listing.NoField {
			assert.Equal(t, BySpell, m.How, header)
		}
	}
}

func TestTwinColumns(t *testing.T) {
	list := MatchColumns([]string{"price", "Preis", "cost"}, nil)
	assert.Equal(t, listing.Price, list[0].Field, "the canonical name is the stronger right")
	assert.Equal(t, listing.NoField, list[1].Field)
	list = MatchColumns([]string{"Preis", "Prix"}, nil)
	assert.Equal(t, listing.NoField, list[0].Field)
	assert.Equal(t, listing.NoField, list[1].Field)
	assert.Contains(t, list[0].Reason, `"Prix" is price too`)
	list = MatchColumns([]string{"Preis", "Prix"}, map[string]listing.Name{"Prix": listing.Price})
	assert.Equal(t, listing.Price, list[1].Field)
	list = MatchColumns([]string{"Preis", "Prix"}, map[string]listing.Name{"prix": listing.NoField})
	assert.Equal(t, listing.Price, list[0].Field)
	assert.Equal(t, "the columns file says so", list[1].Reason)
}

func TestRowsAndProblems(t *testing.T) {
	res := read(t, strings.Join([]string{
		"Angebots-ID;Titel;Preis;Währung;Bemerkung",
		"1;Turbo A;312,40;EUR;x",
		"2;Turbo B;12,5O;EUR;x",
		"",
		"3;Turbo C;99,00;EUR",
		"1;Turbo D;100,00;EUR;x",
		`4;"Turbo ""E""`,
		`zweite Zeile";1.234;EUR;x`,
		";;;;",
		"5;Turbo F;1.234,00;EUR;x",
	}, "\r\n"), Options{})
	require.Len(t, res.Listings, 4)
	assert.Equal(t, 4, res.Rows)
	var rows []int
	for _, l := range res.Listings {
		rows = append(rows, l.Row)
	}
	assert.Equal(t, []int{2, 3, 7, 10}, rows)
	assert.Equal(t, "312.40", res.Listings[0].Value(listing.Price))
	assert.False(t, res.Listings[1].Has(listing.Price))
	assert.Equal(t, "Turbo \"E\" zweite Zeile", res.Listings[2].Value(listing.Title))
	assert.Equal(t, "1234", res.Listings[2].Value(listing.Price), "the column has decimal commas")
	assert.Equal(t, "decimal comma, seen in 4 cells", res.Columns[2].Learned)
	var lines []string
	for _, p := range res.Problems {
		lines = append(lines, fmt.Sprintf("%s %s", p.Severity, p.Error()))
	}
	assert.Equal(t, []string{
		`partial parts.csv: row 1, column Bemerkung: column "Bemerkung" is not used: no field has such a name`,
		`partial parts.csv: row 3, column Preis: "12,5O" is not a number`,
		`refused parts.csv: row 5: 4 cells, the header has 5`,
		`refused parts.csv: row 6, column Angebots-ID: listing_id "1" stands in row 2 already`,
	}, lines)
}

func TestLearnedDates(t *testing.T) {
	res := read(t, "id,title,captured_at\n1,A,03/04/2025\n2,B,25/04/2025\n", Options{})
	require.Len(t, res.Listings, 2)
	assert.Equal(t, "2025-04-03", res.Listings[0].Value(listing.CapturedAt))
	assert.Contains(t, res.Columns[2].Learned, "day first")
	res = read(t, "id,title,captured_at\n1,A,03/04/2025\n2,B,25/04/2025\n3,C,04/25/2025\n", Options{})
	assert.False(t, res.Listings[0].Has(listing.CapturedAt))
	assert.Equal(t, "2025-04-25", res.Listings[1].Value(listing.CapturedAt))
}

func TestHeaderTellsCurrencyAndTax(t *testing.T) {
	res := read(t, "Titel;Preis netto (EUR)\nTurbo;312,40\n", Options{})
	require.Len(t, res.Listings, 1)
	l := res.Listings[0]
	assert.Equal(t, "EUR", l.Value(listing.Currency))
	f, _ := l.Get(listing.Currency)
	assert.Equal(t, listing.Cell(1, "Preis netto (EUR)"), f.From)
	assert.Equal(t, listing.TaxExcluded, l.Value(listing.PriceTax))
	assert.Equal(t, "the header names EUR; the header says tax excluded; decimal comma, seen in 1 cells", res.Columns[1].Learned)
}

func TestHeaderBelowATitleRow(t *testing.T) {
	res := read(t, "Export,of,March\n\ntitle,price,currency\nTurbo,12.00,EUR\n", Options{})
	require.Len(t, res.Listings, 1)
	assert.Equal(t, 4, res.Listings[0].Row)
	require.Len(t, res.Problems, 1)
	assert.Equal(t, listing.Notice, res.Problems[0].Severity)
}

func TestNoTable(t *testing.T) {
	for _, text := range []string{"", "\n\n", "foo,bar\n1,2\n", "just a text", "\x00\x01\x02"} {
		res := read(t, text, Options{})
		assert.Empty(t, res.Listings)
		require.NotEmpty(t, res.Problems, "%q", text)
		assert.Equal(t, listing.Refused, res.Problems[len(res.Problems)-1].Severity)
	}
}

func TestPhotos(t *testing.T) {
	res := read(t, "title,photo_files\nA,\"a.jpg; b,1.jpg=serial-plate+box-label;c=d.jpg\"\nB,\n", Options{})
	require.Len(t, res.Listings, 2)
	l := res.Listings[0]
	assert.True(t, l.PhotosKnown)
	require.Len(t, l.Photos, 3)
	assert.Equal(t, "b,1.jpg", l.Photos[1].File)
	assert.Equal(t, []listing.View{{Name: "serial-plate", By: "tag", Text: "serial-plate"}, {Name: "box-label", By: "tag", Text: "box-label"}}, l.Photos[1].Views)
	assert.Equal(t, "c=d.jpg", l.Photos[2].File)
	assert.Equal(t, "a.jpg; b,1.jpg; c=d.jpg", l.Value(listing.PhotoFiles))
	assert.False(t, res.Listings[1].PhotosKnown, "an empty cell shows nothing")
}

func TestTextIsKept(t *testing.T) {
	res := read(t, "title,serial_number,part_number,gtin\nA,000123456789012345,007123455001,0012345678905\n", Options{})
	l := res.Listings[0]
	assert.Equal(t, "000123456789012345", l.Value(listing.SerialNumber))
	assert.Equal(t, "007123455001", l.Value(listing.PartNumber))
	assert.Equal(t, "0012345678905", l.Value(listing.GTIN))
}

func TestProblemsAreCounted(t *testing.T) {
	var b strings.Builder
	b.WriteString("title,price\n")
	for range 3000 {
		b.WriteString("Turbo,12,5O\n")
	}
	res := read(t, strings.ReplaceAll(b.String(), "12,5O", "12.5O"), Options{})
	assert.Len(t, res.Listings, 3000)
	assert.Len(t, res.Problems, keepEach+1)
	assert.Contains(t, res.Problems[keepEach].Reason, "last of 2000 further ones")
}

func TestReadColumns(t *testing.T) {
	columns, err := ReadColumns("columns.yaml", []byte("columns:\n  \"Preis brutto\": price\n  Notes: none\n"))
	require.NoError(t, err)
	assert.Equal(t, map[string]listing.Name{"Preis brutto": listing.Price, "Notes": listing.NoField}, columns)
	for text, want := range map[string]string{
		"":                                "columns.yaml: the file is empty",
		"columns:\n  A: pric\n":           `columns.yaml:2:6: "pric" is no field`,
		"columns:\n  A: price\n  A: url":  `columns.yaml:3:3: column "A" stands twice`,
		"colums:\n  A: price\n":           `columns.yaml:1:1: unknown key "colums"`,
		"columns: [a]\n":                  "columns.yaml:1:10:",
		"- a\n":                           "columns.yaml:1:1: expected the key 'columns'",
		"columns:\n  A: price\n---\nx: 1": "more than one document",
		"columns:\n\tA: price\n":          "columns.yaml: yaml: line 2",
		"columns:\n  A: x\n  B: y\n":      `columns.yaml:3:6: "y" is no field`,
	} {
		_, err := ReadColumns("columns.yaml", []byte(text))
		if assert.Error(t, err, text) {
			assert.Contains(t, err.Error(), want)
		}
	}
}

func TestStreamLines(t *testing.T) {
	res := read(t, "listing_id,title,price,currency\n1,Turbo 712345-5001S new,312.40,EUR\n", Options{})
	line, err := json.Marshal(listing.ToLine(res.Listings[0]))
	require.NoError(t, err)
	var list []*listing.Listing
	got := StreamLines(strings.NewReader(string(line)+"\n\n{\"Titel\":\"Turbo\",\"Preis\":99.5,\"Währung\":\"EUR\",\"x\":{}}\n{broken\n[1]\n{\"y\":1}\n"), "lines.ndjson", Options{},
		func(l *listing.Listing) { list = append(list, l) })
	require.Len(t, list, 2)
	assert.Equal(t, listing.ToLine(res.Listings[0]), listing.ToLine(list[0]))
	assert.Equal(t, "99.5", list[1].Value(listing.Price))
	assert.Equal(t, "EUR", list[1].Value(listing.Currency))
	assert.Equal(t, 3, list[1].Row)
	refused := 0
	for _, p := range got.Problems {
		if p.Severity == listing.Refused {
			refused++
		}
	}
	assert.Equal(t, 3, refused)
}

// The order of the listings and of the problems must not hang on the workers.
func TestStreamIsDeterministic(t *testing.T) {
	table := bigTable(5000)
	one := read(t, table, Options{})
	before := runtime.GOMAXPROCS(1)
	two := read(t, table, Options{})
	runtime.GOMAXPROCS(before)
	require.Len(t, one.Listings, 5000)
	assert.Equal(t, one.Problems, two.Problems)
	for i := range one.Listings {
		require.Equal(t, listing.ToLine(one.Listings[i]), listing.ToLine(two.Listings[i]))
	}
}

// bigTable writes a table of a usual export: 20 columns, all text plain.
func bigTable(rows int) string {
	var b strings.Builder
	b.WriteString("listing_id,url,captured_at,title,brand,part_number,oe_numbers,gtin,condition,unit_type,price,currency,shipping,quantity_available,seller,seller_feedback,ships_from,country_of_origin,serial_number,description\n")
	for i := range rows {
		fmt.Fprintf(&b, "%d,https://shop.example/%d,2025-12-%02d,\"Turbocharger 71%04d-5001S for 1.9 diesel, new\",Exampleturbo,71%04d-5001S,03X%06dT,,new,complete,%d.%02d,EUR,9.90,%d,seller%d,98.%d%%,DE,Germany,X%07d,\"Tested on the bench. Ships the same day, with gasket kit and invoice.\"\n",
			i, i, i%28+1, i%9999, i%9999, i%999999, 200+i%300, i%100, i%40, i%200, i%10, i)
	}
	return b.String()
}

func BenchmarkRead(b *testing.B) {
	const rows = 20_000
	data := []byte(bigTable(rows))
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for range b.N {
		res := Read(data, "parts.csv", "", Options{})
		if len(res.Listings) != rows {
			b.Fatal(len(res.Listings))
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/rows, "ns/row")
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"title,price\nTurbo,12.00\n", "titel;preis\n\"a\nb\";\"1,5\"\n", "\xff\xfet\x00", "sep=|\ntitle|price\n1|2\n", "title,price\n\"open\n2,3\n",
		"photo_files\na=b+c;d\n", "title,captured_at\na,03/04/2025\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		res := Read(data, "f.csv", "", Options{Hints: values.Hints{}})
		last := 0
		for _, l := range res.Listings {
			require.Greater(t, l.Row, last)
			last = l.Row
		}
		for _, p := range res.Problems {
			require.NotEmpty(t, p.Reason)
		}
		require.Equal(t, len(res.Listings), res.Rows)
	})
}
