package sellers

import (
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

type found struct {
	kind      Kind
	canonical string
	raw       string
	check     Check
}

func findIn(text string, field listing.Name, country string) []found {
	var out []found
	for _, c := range Find(text, field, country, Options{Messengers: []string{"Pigeon Post"}}) {
		out = append(out, found{c.Kind, c.Canonical, c.Raw, c.Check})
	}
	return out
}

// Numbers of ITU-T E.123 (the two examples of its first clause, from memory) and
// RFC 3966, section 6; the others are invented or from the ranges that national
// regulators keep for drama (from memory).
func TestPhones(t *testing.T) {
	for _, c := range []struct{ text, country, canonical, raw string }{
		{"Telephone: (0607) 123 4567", "", "06071234567", "(0607) 123 4567"},
		{"+22 607 123 4567", "", "+226071234567", "+22 607 123 4567"},
		{"tel:+1-201-555-0123", "", "+12015550123", "+1-201-555-0123"},
		{"write or ring +358-555-1234567 any time", "", "+3585551234567", "+358-555-1234567"},
		{"Tel. 030 / 23125 000", "DE", "", ""}, // a blank on each side of the slash ends a number
		{"Tel. 030/23125 000", "DE", "+493023125000", "030/23125 000"},
		{"Tel.-Nr.: 030-23125000", "DE", "+493023125000", "030-23125000"},
		{"call us on 020 7946 0123 today", "GB", "+442079460123", "020 7946 0123"},
		{"+44 (0)20 7946 0123", "", "+442079460123", "+44 (0)20 7946 0123"},
		{"(+44) 20 7946 0123", "", "+442079460123", "(+44) 20 7946 0123"},
		{"phone 0044 20 7946 0123", "", "+442079460123", "0044 20 7946 0123"},
		{"Telefono 06 555 01234", "IT", "+390655501234", "06 555 01234"}, // the zero belongs to the number
		{"telefon 12 345 67 89", "PL", "+48123456789", "12 345 67 89"},
		{"тел. 8 (916) 555-01-23", "RU", "+79165550123", "8 (916) 555-01-23"},
		{"电话：138 0013 8000", "CN", "+8613800138000", "138 0013 8000"},
		{"(030) 23125 000", "DE", "+493023125000", "(030) 23125 000"},
		{"Pigeon Post 0171 5550123", "DE", "+491715550123", "0171 5550123"},
		{"messenger: 0171 5550123", "DE", "+491715550123", "0171 5550123"},

		// Not phone numbers.
		{"part 712345-0012, 0445 110 183 and 5304 970 0001", "DE", "", ""},
		{"OE no. (044) 5110183", "DE", "", ""},
		{"serial K2304-1234567", "DE", "", ""},
		{"Tel. 712", "DE", "", ""},
		{"+5.00 EUR, +12345, +999 123 456 789", "DE", "", ""},
		{"+1 555 0123", "US", "", ""},
		{"built 2019-2024, 1.200.000 km", "DE", "", ""},
		{"call before 2024-05-01", "DE", "", ""},
		{"tel 12345678901234567", "DE", "", ""},
		{"tel 0301234567A", "DE", "", ""},
	} {
		var want []found
		if c.canonical != "" {
			want = []found{{Phone, c.canonical, c.raw, NotTested}}
		}
		assert.Equal(t, want, findIn(c.text, listing.Description, c.country), c.text)
	}
}

func TestContactField(t *testing.T) {
	assert.Equal(t, []found{{Phone, "+493023125000", "030 23125000", NotTested}}, findIn("030 23125000", listing.Contact, "DE"))
	assert.Empty(t, findIn("030 23125000", listing.Description, "DE"))
	assert.Empty(t, findIn("since 01.02.2024; https://shop.example/item/123456789", listing.Contact, "DE"))
	assert.Empty(t, findIn("part no. 712345-0012x, order no. 7123450012", listing.Contact, "DE"))
	assert.Equal(t, []found{{VAT, "DE136695976", "DE136695976", CheckHolds}}, findIn("DE136695976", listing.Contact, ""))
}

func TestMailsAndHandles(t *testing.T) {
	for _, c := range []struct {
		text string
		want []found
	}{
		{"Write to Sales.Desk+eu@Shop-One.example.", []found{{Mail, "sales.desk+eu@shop-one.example", "Sales.Desk+eu@Shop-One.example", NotTested}}},
		{"<a@b.example>, c@d.co.example", []found{{Mail, "a@b.example", "a@b.example", NotTested}, {Mail, "c@d.co.example", "c@d.co.example", NotTested}}},
		{"desk (at) shop (dot) example", []found{{Mail, "desk@shop.example", "desk (at) shop (dot) example", NotTested}}},
		{"desk[AT]shop.example", []found{{Mail, "desk@shop.example", "desk[AT]shop.example", NotTested}}},
		{"photo@2x.png, 5 @ 12 EUR, @, x@y, (at) noon", nil},
		{"messenger @Turbo_Desk77 or chat: desk.two", []found{{Messenger, "turbo_desk77", "@Turbo_Desk77", NotTested}, {Messenger, "desk.two", "desk.two", NotTested}}},
		{"Pigeon Post ID: bench_99", []found{{Messenger, "bench_99", "bench_99", NotTested}}},
		{"chat with us about turbochargers, find @home", nil},
	} {
		assert.Equal(t, c.want, findIn(c.text, listing.Description, ""), c.text)
	}
}

// DE136695976 is the worked example of the German tax office's description of
// its check digit, ATU10223006 that of the Austrian one; DE89 3704 0044 0532 0130
// 00 and BE68 5390 0754 7034 stand in the ISO 13616 register. All from memory.
func TestIdentifiers(t *testing.T) {
	for _, c := range []struct {
		text string
		want []found
	}{
		{"USt-IdNr.: DE 136 695 976", []found{{VAT, "DE136695976", "DE 136 695 976", CheckHolds}}},
		{"Ust-ID 136695976", []found{{VAT, "DE136695976", "136695976", CheckHolds}}},
		{"VAT No. DE136695977", []found{{VAT, "DE136695977", "DE136695977", CheckFails}}},
		{"UID: ATU10223006", []found{{VAT, "ATU10223006", "ATU10223006", CheckHolds}}},
		{"NIP 856-734-62-15", []found{{VAT, "PL8567346215", "856-734-62-15", CheckHolds}}},
		{"VAT GR094259216", []found{{VAT, "EL094259216", "GR094259216", CheckHolds}}},
		{"VAT 136695976, part DE136695976", nil}, // no country; no label
		{"IBAN DE89 3704 0044 0532 0130 00, thanks", []found{{IBAN, "DE89370400440532013000", "DE89 3704 0044 0532 0130 00", CheckHolds}}},
		{"be68539007547034", []found{{IBAN, "BE68539007547034", "be68539007547034", CheckHolds}}},
		{"IBAN DE88 3704 0044 0532 0130 00", nil},
		{"Amtsgericht Neustadt, HRB 12345", []found{{Register, "HRB 12345 neustadt", "12345", NotTested}}},
		{"HRB-Nr. 12345", []found{{Register, "HRB 12345", "12345", NotTested}}},
		{"SIREN 732 829 320", []found{{Register, "SIREN 732829320", "732 829 320", CheckHolds}}},
		{"KRS: 0000123456", []found{{Register, "KRS 0000123456", "0000123456", NotTested}}},
		{"Company number 01234567", []found{{Register, "Company 01234567", "01234567", NotTested}}},
		{"our company 20102015", nil},
	} {
		assert.Equal(t, c.want, findIn(c.text, listing.Description, ""), c.text)
	}
}

func TestVATOfTheMarketplacesCountry(t *testing.T) {
	assert.Equal(t, []found{{VAT, "DE136695976", "136 695 976", CheckHolds}}, findIn("VAT no. 136 695 976", listing.Description, "DE"))
	assert.Equal(t, []found{{VAT, "EL094259216", "094259216", CheckHolds}}, findIn("VAT 094259216", listing.Description, "gr"))
}

func TestMask(t *testing.T) {
	assert.Equal(t, "+49••••••••00", Mask(Phone, "+493023125000"))
	assert.Equal(t, "s•••@shop.example", Mask(Mail, "sale@shop.example"))
	assert.Equal(t, "•@shop.example", Mask(Mail, "s@shop.example"))
	assert.Equal(t, "DE••••••••••••••••••00", Mask(IBAN, "DE89370400440532013000"))
	assert.Equal(t, "••••", Mask(Messenger, "abcd"))
	assert.Equal(t, "DE136695976", Mask(VAT, "DE136695976"))
	assert.Equal(t, "@", Mask(Mail, ""))
}

func FuzzFind(f *testing.F) {
	for _, s := range []string{"Tel. 030/23125 000 desk (at) shop (dot) example", "USt-IdNr.: DE 136 695 976 HRB 12345 Amtsgericht Ä",
		"IBAN DE89 3704 0044 0532 0130 00", "+44 (0)20 7946 0123 (+1", "messenger: @a.b", "电话：138 0013 8000", "\xff@\xff.ab (at)"} {
		f.Add(s, "DE", true)
	}
	f.Fuzz(func(t *testing.T, text, country string, contact bool) {
		field := listing.Description
		if contact {
			field = listing.Contact
		}
		list := Find(text, field, country, Options{Messengers: []string{country}})
		end := 0
		for _, c := range list {
			require.Equal(t, text[c.Start:c.End], c.Raw)
			require.NotEmpty(t, c.Canonical)
			require.GreaterOrEqual(t, c.Start, end, "contacts overlap")
			require.Less(t, c.Start, c.End)
			require.True(t, utf8.ValidString(c.Canonical))
			Mask(c.Kind, c.Canonical)
			end = c.End
		}
	})
}
