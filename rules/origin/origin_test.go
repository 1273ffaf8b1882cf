package origin

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/rules/wording"
)

// Codes after ISO 3166-1, names after Unicode CLDR.
func TestMadeIn(t *testing.T) {
	for text, want := range map[string][]string{
		"Made in Germany.":                              {"DE made in germany"},
		"MADE IN THE USA, shipped from Poland":          {"US made in the usa"},
		"Hergestellt in Österreich":                     {"AT hergestellt in österreich"},
		"Fabriqué en Roumanie; pays d'origine : France": {"RO fabriqué en roumanie", "FR pays d'origine : france"},
		"Country of origin: United Kingdom":             {"GB country of origin: united kingdom"},
		"产地：德国":                                         {"DE 产地：德国"},
		"Wyprodukowano w Niemczech":                     {"DE wyprodukowano w niemczech"},
		"not made in China":                             nil,
		"Box made in China, unit made in Portugal":      {"PT made in portugal"},
		"made in Romania or Portugal":                   nil,
		"made in house":                                 nil,
		"made in Germanyland":                           nil,
		"Engine made in Japan":                          nil,
		"made in":                                       nil,
		"":                                              nil,
	} {
		var got []string
		for _, s := range MadeIn(text) {
			got = append(got, s.Country+" "+wording.Fold(text[s.Start:s.End]))
		}
		assert.Equal(t, want, got, text)
	}
}

func FuzzMadeIn(f *testing.F) {
	f.Add("Made in Germany or made in \xff中国")
	f.Fuzz(func(t *testing.T, text string) {
		for _, s := range MadeIn(text) {
			if s.Start < 0 || s.Start >= s.End || s.End > len(text) || len(s.Country) != 2 {
				t.Fatalf("%+v", s)
			}
		}
	})
}
