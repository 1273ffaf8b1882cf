package partno

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/internal/phrase"
)

// texts joins what was found with its style: "6+4 123456-5001S".
func texts(list []Candidate) string {
	var parts []string
	for _, c := range list {
		part := c.Text
		if c.Style != "" {
			part = string(c.Style) + " " + part
		}
		parts = append(parts, part)
	}
	return strings.Join(parts, "; ")
}

// Common practice, no source; all numbers are invented.
func TestNumbers(t *testing.T) {
	for text, want := range map[string]string{
		"Turbo 712345-5001S new":                                 "6+4 712345-5001S",
		"Turbo 712345-1":                                         "6+4 712345-1",
		"Turbo 712345 0001":                                      "6+4 712345 0001",
		"Turbolader 52341234567 neu":                             "11-digit 52341234567",
		"Turbolader 5234 123 4567":                               "11-digit 5234 123 4567",
		"turbo 5234-123-4567":                                    "11-digit 5234-123-4567",
		"Turbo 41234-05678 / 41234-05679":                        "5+5 41234-05678; 5+5 41234-05679",
		"turbina X03-0123":                                       "frame X03-0123",
		"turbina XD04L-13T":                                      "frame XD04L-13T",
		"Turbo 712345-0002/712345-0004/712345-5005S":             "6+4 712345-0002; 6+4 712345-0004; 6+4 712345-5005S",
		"turbo 41Z34-05678":                                      "5+5 41Z34-05678",
		"turbo 10012345678":                                      "11-digit 10012345678",
		"call 18005551234, 18005551234":                          "",
		"P/N: AB12345C":                                          "labelled AB12345C",
		"Part No. 712345-5001S":                                  "6+4 712345-5001S",
		"Teilenummer 03X 253 016 T, neu":                         "labelled 03X 253 016 T",
		"numer części: 7123455001":                               "labelled 7123455001",
		"каталожный номер 7123455001":                            "labelled 7123455001",
		"零件号：AB123456":                                           "labelled AB123456",
		"OE: 03X253016T, 03X253010A":                             "oe 03X253016T; oe 03X253010A",
		"Vergleichsnummern 03X 253 016 T / 03X 253 010 A":        "oe 03X 253 016 T; oe 03X 253 010 A",
		"réf. d'origine 8200123456":                              "oe 8200123456",
		"７１２３４５－５００１S full width":                                "6+4 ７１２３４５－５００１S",
		"Call 5234 123 4567":                                     "",
		"Tel. 52341234567":                                       "",
		"+52341234567":                                           "",
		"Messenger +49 171 2345678":                              "",
		"tel: 712345 0001":                                       "",
		"0171 234 5678":                                          "",
		"built 2004-2009, 2012/2015":                             "",
		"size 120x80x45 mm, 12345 km":                            "",
		"price 712345 0001 €":                                    "",
		"EUR 12345-67890":                                        "",
		"certified ISO9001-2015 and IATF16949-2016":              "",
		"A4-2004 1.9 100 hp 74 kW":                               "",
		"31.12.2025 and 12/31/2025":                              "",
		"Part No. new":                                           "",
		"Part no. 12345 105 PS":                                  "labelled 12345",
		"part number on request":                                 "",
		"DIN 912-1234":                                           "",
		"order no 712345-5001":                                   "",
		"http://shop.example/712345-5001/":                       "",
		"Turbo 712345-5001S, also sold as 712345-5001S":          "6+4 712345-5001S",
		"Turbo for 1.9 diesel 105 PS 712345-5001S 03X 253 016 T": "6+4 712345-5001S",
	} {
		assert.Equal(t, want, texts(Numbers(text)), text)
	}
}

func TestCandidatePlace(t *testing.T) {
	text := "Turbolader für 712345‑5001S, geprüft"
	found := Numbers(text)
	require.Len(t, found, 1)
	assert.Equal(t, "7123455001S", found[0].Canonical)
	assert.Equal(t, found[0].Text, text[found[0].Start:found[0].End])
	assert.Equal(t, "712345‑5001S", found[0].Text)
}

func TestSerials(t *testing.T) {
	for text, want := range map[string]string{
		"S/N: X12345678":               "X12345678",
		"SN X1234567 tested":           "X1234567",
		"SN 5W-30 oil":                 "",
		"Serial No. A-1234.56":         "A-1234.56",
		"serial number is ABC1234":     "ABC1234",
		"Serien-Nr. X123456":           "X123456",
		"Seriennummer: 123456":         "123456",
		"n° de série : X123456":        "X123456",
		"Nº de serie X123456":          "X123456",
		"matricola X123456":            "X123456",
		"numer seryjny X123456":        "X123456",
		"серийный номер: X123456":      "X123456",
		"зав. № 123456":                "123456",
		"序列号：X123456 正品":               "X123456",
		"s/n A12345, B12346, C12347":   "A12345; B12346; C12347",
		"serial plate in photo 2":      "",
		"with serial plate and box":    "",
		"our serial 2 products 123456": "",
		"no serial":                    "",
		"S/N X12345 P/N 712345-5001S":  "X12345",
	} {
		assert.Equal(t, want, texts(Serials(text)), text)
	}
	assert.Equal(t, "6+4 712345-5001S", texts(Numbers("S/N X12345 P/N 712345-5001S")))
	assert.Empty(t, Numbers("serial no. 712345-5001"), "a serial is no part number")
}

// Source: GS1 General Specifications; 9780471117094 and 98412345678908 are
// valid worked examples, 6291041500213 is the one with check digit 3.
func TestGTINs(t *testing.T) {
	for text, want := range map[string]string{
		"9780471117094":                 "9780471117094",
		"box 6291041500213 sealed":      "6291041500213",
		"box 6291041500214 sealed":      "",
		"EAN: 6291041500214":            "6291041500214",
		"GTIN-14 98412345678908":        "98412345678908",
		"EAN 73513537":                  "73513537",
		"73513537":                      "",
		"UPC 6 29104 150021 3":          "6 29104 150021 3",
		"条形码 6291041500213":             "6291041500213",
		"tel 6291041500213":             "",
		"+6291041500213":                "",
		"000000000000":                  "",
		"6291041500213-1":               "",
		"EAN 9780471117094 und 1234567": "9780471117094",
	} {
		assert.Equal(t, want, texts(GTINs(text)), text)
	}
}

// Common practice, no source.
func TestLotSize(t *testing.T) {
	for text, want := range map[string]string{
		"lot of 2 turbos":          "lot of 2",
		"Set of 4":                 "set of 4",
		"2 Stück Turbolader":       "2 stück",
		"2 Stk. Turbolader":        "2 stk.",
		"4er-Set Turbolader":       "4er-set",
		"2 pcs":                    "2 pcs",
		"turbo 10pcs":              "10pcs",
		"2x Turbo":                 "2x",
		"2 x Turbolader":           "2 x",
		"Turbo x 2":                "x 2",
		"Turbo (x2)":               "x2",
		"turbo × 4":                "× 4",
		"pair of turbos":           "pair of",
		"lot de 2 turbos":          "lot de 2",
		"lote de 3":                "lote de 3",
		"lotto di 3":               "lotto di 3",
		"zestaw 2 szt":             "zestaw 2",
		"комплект из 2 турбин":     "комплект из 2",
		"2 шт":                     "2 шт",
		"增压器 2台":                   "2台",
		"一对 增压器":                   "一对",
		"qty: 3":                   "qty: 3",
		"for off-road 4x4":         "",
		"car x3 2.0d turbo":        "",
		"size 2 x 80 mm":           "",
		"10 pcs available":         "",
		"5 Stück verfügbar":        "",
		"12 шт в наличии":          "",
		"库存 5件":                    "",
		"in stock: 5 pcs":          "",
		"with 4 pcs studs":         "",
		"incl. 2 Stück Dichtungen": "",
		"1.5 pcs":                  "",
		"turbo 712345-5001":        "",
		"minimum 2 units":          "",
		"XT1749 pcs":               "",
		"0 pcs":                    "",
		"99999 pcs":                "",
		"$12/2 pcs":                "",
		"Turbo":                    "",
	} {
		_, i, j, ok := LotSize(text)
		assert.Equal(t, want != "", ok, text)
		assert.Equal(t, want, strings.ToLower(text[i:j]), text)
	}
	n, _, _, _ := LotSize("lot of 12")
	assert.Equal(t, 12, n)
}

func TestCanonical(t *testing.T) {
	for in, want := range map[string]string{
		"712345-5001S":   "7123455001S",
		" 712345 5001s ": "7123455001S",
		"03x.253/016_t":  "03X253016T",
		"７１２３４５‐５００１ｓ":   "7123455001S",
		"٧١٢٣٤٥":         "712345",
		"AB‑12\u200b34":  "AB1234",
		"":               "",
		"№ 5":            "NO5",
	} {
		assert.Equal(t, want, Canonical(in), in)
	}
}

func FuzzNumbers(f *testing.F) {
	for _, s := range []string{"Turbo 712345-5001S lot of 2", "S/N: X1, OE: 03X 253 016 T / 8200123456", "EAN 6291041500213", "ＰＮ ７１２３４５−５００１", "2x (x2) × 4", "a\u0301-1\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		found := In(phrase.Fold(text))
		for _, list := range [][]Candidate{found.Numbers(), found.Serials(), found.GTINs()} {
			for _, c := range list {
				require.Equal(t, c.Text, text[c.Start:c.End])
				require.NotEmpty(t, c.Canonical)
				require.Equal(t, c.Canonical, Canonical(c.Canonical))
			}
		}
		lot := found.Lot()
		require.True(t, lot.N >= 0 && lot.Start <= lot.End && lot.End <= len(text))
	})
}

func BenchmarkSearch(b *testing.B) {
	b.ReportAllocs()
	for range b.N {
		s := In(phrase.Fold("Turbolader 712345-5001S für 1.9 Diesel 105 PS, generalüberholt, OE 03X253016T, 2 Stück"))
		s.Numbers()
		s.Lot()
	}
}
