package sellers

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/rules/checkdigit"
)

// Each parser has a target of its own, which gives it a label before the text, so
// that all fuzzing goes into that parser. What it finds is found again in its
// canonical form, and is the same: two accounts are compared by it.

func seeds(f *testing.F, list ...string) {
	for _, s := range list {
		f.Add(s, "DE")
	}
	f.Add("\xff\u00a0\u2011", "gb")
}

// only finds the contacts of one kind.
func only(text, country string, kind Kind) []Contact {
	return slices.DeleteFunc(Find(text, listing.Description, country, Options{}), func(c Contact) bool { return c.Kind != kind })
}

// again requires that a canonical form behind its label is found as it is.
func again(t *testing.T, label, country string, c Contact) {
	t.Helper()
	list := only(label+c.Canonical, country, c.Kind)
	require.Len(t, list, 1, "%q of %q", c.Canonical, c.Raw)
	require.Equal(t, c.Canonical, list[0].Canonical, "of %q", c.Raw)
	require.Equal(t, c.Check, list[0].Check)
}

func FuzzPhone(f *testing.F) {
	seeds(f, "030/23125 000", "+49 (0)30 23125-000", "(030) 23 12 50 00", "0049 30 23125000", "+1 (202) 555-0123", "8 800 555 01 23", "+4900302312500")
	f.Fuzz(func(t *testing.T, text, country string) {
		for _, c := range only("Tel. "+text, country, Phone) {
			digits, international := strings.CutPrefix(c.Canonical, "+")
			require.Empty(t, strings.Trim(digits, "0123456789"))
			require.LessOrEqual(t, len(digits), 15) // E.164
			require.GreaterOrEqual(t, len(digits), 7)
			if international {
				again(t, "Tel. ", country, c)
			}
		}
	})
}

func FuzzMail(f *testing.F) {
	seeds(f, "Desk@Shop.example", "desk (at) shop (dot) example", "desk[at]shop[dot]co[dot]example", "a.b+c@x-y.example", ".a@b.ab", "{at}")
	f.Fuzz(func(t *testing.T, text, country string) {
		for _, c := range only(text, country, Mail) {
			local, domain, ok := strings.Cut(c.Canonical, "@")
			require.True(t, ok)
			require.LessOrEqual(t, len(local), 64) // RFC 5321, 4.5.3.1.1
			require.Equal(t, strings.ToLower(c.Canonical), c.Canonical)
			require.NotContains(t, domain, "..")
			require.Contains(t, domain, ".")
			again(t, "", country, c)
		}
	})
}

func FuzzMessenger(f *testing.F) {
	seeds(f, "@turbo_desk", ": turbo.desk", "= desk-24", "@a.b", "+49 170 2312500", "：turbo_desk")
	f.Fuzz(func(t *testing.T, text, country string) {
		for _, c := range only("messenger "+text, country, Messenger) {
			require.GreaterOrEqual(t, len(c.Canonical), 5)
			require.LessOrEqual(t, len(c.Canonical), 32)
			require.Empty(t, strings.Trim(c.Canonical, "abcdefghijklmnopqrstuvwxyz0123456789_.-"))
			again(t, "messenger @", country, c)
		}
	})
}

func FuzzVAT(f *testing.F) {
	seeds(f, "DE 136 695 976", "136695976", "ATU10223006", "PL 856-734-62-15", "GR094259216", "NL 0041.95.004 B01", "XI110305878", "FRXX999999999")
	f.Fuzz(func(t *testing.T, text, country string) {
		for _, c := range only("VAT "+text, country, VAT) {
			form, known := vatForms[c.Canonical[:2]]
			require.True(t, known, c.Canonical)
			require.True(t, slices.ContainsFunc(form.forms, func(f string) bool {
				return len(f) == len(c.Canonical)-2 && fits(c.Canonical[2:], f)
			}), c.Canonical)
			require.Equal(t, tested(form.check, c.Canonical[2:]), c.Check)
			again(t, "VAT ", country, c)
		}
	})
}

func FuzzRegister(f *testing.F) {
	for i := range registers {
		f.Add(uint8(i), "12345 Amtsgericht Ä")
		f.Add(uint8(i), "732 829 320")
		f.Add(uint8(i), "0000123456 AG Neustadt-West")
		f.Add(uint8(i), "91350100M000100Y43")
	}
	f.Fuzz(func(t *testing.T, which uint8, text string) {
		r := &registers[int(which)%len(registers)]
		for _, c := range only(r.labels[0]+" "+text, "", Register) {
			name, number, ok := strings.Cut(c.Canonical, " ")
			require.True(t, ok)
			i := slices.IndexFunc(registers, func(r registerForm) bool { return r.name == name })
			require.GreaterOrEqual(t, i, 0)
			number, court, _ := strings.Cut(number, " ")
			require.True(t, slices.ContainsFunc(registers[i].forms, func(f string) bool { return len(f) == len(number) && fits(number, f) }), c.Canonical)
			require.Equal(t, tested(registers[i].check, number), c.Check)
			require.True(t, court == "" || registers[i].court)
			require.True(t, utf8.ValidString(court))
		}
	})
}

func FuzzIBAN(f *testing.F) {
	seeds(f, "DE89 3704 0044 0532 0130 00", "be68539007547034", "GB82-WEST-1234-5698-7654-32", "NO93 8601 1117 947")
	f.Fuzz(func(t *testing.T, text, country string) {
		for _, c := range only("IBAN "+text, country, IBAN) {
			require.Len(t, c.Canonical, ibanLengths[c.Canonical[:2]]) // ISO 13616
			require.True(t, checkdigit.Mod97(c.Canonical[4:]+c.Canonical[:4]))
			again(t, "IBAN ", country, c)
		}
	})
}

func FuzzAddress(f *testing.F) {
	seeds(f, "Musterstraße 12a, 01067 Dresden", "12 Harbour Road, Leeds LS1 4AB", "ul. Kwiatowa 5/7, 00-950 Warszawa", "12, Rue de la Paix Verte\n75002 PARIS",
		"101000, г. Москва, ул. Полевая, д. 5", "地址：浙江省宁波市海曙区长路123号", "Postfach 120, 01156 Dresden", "123 Oak St, Springfield, IL 62704", "C/ Larga, 5. 28013 Madrid")
	f.Fuzz(func(t *testing.T, text, country string) {
		for _, c := range only(text, country, Address) {
			require.True(t, utf8.ValidString(c.Canonical))
			require.True(t, utf8.ValidString(c.Raw) || !utf8.ValidString(text), "cut within a letter: %q", c.Raw)
			require.LessOrEqual(t, len(c.Raw), addressBefore+addressAfter+utf8.UTFMax)
			if strings.HasSuffix(c.Canonical, "号") {
				continue
			}
			code, street, ok := strings.Cut(c.Canonical, " ")
			require.True(t, ok)
			require.Empty(t, strings.Trim(code, "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"), code)
			_, house, ok := strings.Cut(street, " ")
			require.True(t, ok, street)
			require.True(t, houseNumber(house), house)
			require.Contains(t, c.Raw, strings.TrimRight(house, "abcdefghijklmnopqrstuvwxyz"))
		}
	})
}
