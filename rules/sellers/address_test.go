package sellers

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
)

// Invented addresses in the order and with the postcodes of the countries' postal
// services (Universal Postal Union, 'Addressing systems', from memory). Those on
// one line are one address, however it is written.
func TestAddresses(t *testing.T) {
	for _, c := range []struct {
		canonical string
		texts     []string
	}{
		{"01067 musterstrasse 12a", []string{"Musterstraße 12a, 01067 Dresden", "Muster-Teile GmbH\nMUSTERSTR. 12 A\nD-01067 Dresden", "Muster Str. 12a / D-01067 Dresden", "Muster Str. 12a D 01067 Dresden", "Abholung: Muster Straße 12a, DE 01067 Dresden möglich"}},
		{"10115 langestrasse 7", []string{"Lange Str. 7 D-10115 Berlin", "Lange Straße 7, 10115 Berlin", "Firma Halle, Lange Str. 7 · 10115 Berlin"}},
		{"1010 krugergasse 3", []string{"Krügergasse 3, A-1010 Wien"}},
		{"01156 box 120", []string{"Postfach 120, 01156 Dresden"}},
		{"1015CJ lindengracht 88", []string{"Lindengracht 88, 1015 CJ Amsterdam"}},
		{"00950 ulkwiatowa 5", []string{"ul. Kwiatowa 5/7, 00-950 Warszawa", "ulica Kwiatowa 5, 00-950 Warszawa"}},
		{"75002 ruedelapaixverte 12", []string{"12 rue de la Paix-Verte, 75002 Paris", "12, Rue de la Paix Verte\n75002 PARIS"}},
		{"00184 viaverde 10", []string{"Via Verde 10, 00184 Roma RM", "via Verde, 10 - 00184 Roma"}},
		{"28013 callelarga 5", []string{"Calle Larga 5, 28013 Madrid", "C/ Larga, 5. 28013 Madrid"}},
		{"LS14AB harbourroad 12", []string{"12 Harbour Road, Leeds LS1 4AB", "Unit 4\n12 Harbour Rd.\nLEEDS\nLS1 4AB"}},
		{"62704 oakstreet 123", []string{"123 Oak St, Springfield, IL 62704", "123 Oak Street\nSpringfield IL 62704-1234"}},
		{"101000 улполевая 5", []string{"ул. Полевая, д. 5, 101000 Москва", "101000, г. Москва, ул. Полевая, д. 5"}},
		{"浙江省宁波市海曙区长路123号", []string{"地址：浙江省宁波市海曙区长路123号"}},
	} {
		for _, text := range c.texts {
			var got []string
			for _, f := range Find(text, listing.Description, "", Options{}) {
				if f.Kind == Address {
					got = append(got, f.Canonical)
					assert.Equal(t, text[f.Start:f.End], f.Raw)
				}
			}
			assert.Equal(t, []string{c.canonical}, got, text)
		}
	}
	for _, text := range []string{
		"Turbo 712345-5012 for 2.0 TDI 2004 to 2012, ring 12, 54399",
		"new unit, 1200 g, St 37 steel, 10115 sold", "OE 059145715 F and 06F 145 701", "ship in 24 h, 12 month warranty, part 53039880",
		"Musterstraße 12 in Dresden", "from 2019 way 12 bolts 4500 rpm", "place 12 gaskets, 40001 km run", "C 12, 28013 pieces",
		"box 12 of 40, no. 54399", // a number of goods, not of a box at the post office
	} {
		for _, f := range Find(text, listing.Description, "DE", Options{}) {
			assert.NotEqual(t, Address, f.Kind, text+": "+f.Canonical)
		}
	}
}
