package values

import (
	"strings"
	"sync"

	"golang.org/x/text/language"
	"golang.org/x/text/language/display"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
)

// otherCountryNames are names that CLDR does not give: abbreviations, older
// names and inflected forms. Common practice, no source.
var otherCountryNames = []phrase.Row[string]{
	phrase.Of("US", "", "usa, u.s.a, u.s.a., u.s., united states of america, etats-unis d'amérique, estados unidos de américa, eeuu, ee. uu., stati uniti d'america, stany zjednoczone ameryki, сша, 美国"),
	phrase.Of("GB", "", "uk, u.k., great britain, england, scotland, wales, großbritannien, england, grande-bretagne, angleterre, gran bretaña, inglaterra, gran bretagna, inghilterra, wielka brytania, wielkiej brytanii, anglia, великобритания, англия, великобритании, 英国"),
	phrase.Of("CN", "", "prc, p.r.c., p.r. china, pr china, mainland china, china mainland, vr china, volksrepublik china, rpc, chine populaire, chiny, chin, кнр, китай, китая, китае, 中国大陆, 中国"),
	phrase.Of("DE", "", "brd, bundesrepublik deutschland, federal republic of germany, w. germany, west germany, niemczech, niemiec, германии, 德国"),
	phrase.Of("CZ", "", "czech republic, tschechische republik, république tchèque, república checa, repubblica ceca, republika czeska, чешская республика, чехии"),
	phrase.Of("PL", "", "polsce, polski, польши, польше"),
	phrase.Of("RU", "", "russian federation, russische föderation, fédération de russie, federación rusa, federazione russa, federacja rosyjska, российская федерация, рф, россии"),
	phrase.Of("KR", "", "korea, republic of korea, south korea, korea (republic of), südkorea, corée, corea, корея, 韩国"),
	phrase.Of("TW", "", "taiwan r.o.c., taiwan roc, taiwan, r.o.c., тайвань, 台湾"),
	phrase.Of("HK", "", "hong kong, hongkong, hong-kong, гонконг, 香港"),
	phrase.Of("NL", "", "holland, holanda, olanda, holandia, the netherlands, голландия"),
	phrase.Of("JP", "", "japonii, японии, nippon"),
	phrase.Of("FR", "", "francji, франции"),
	phrase.Of("IT", "", "włoszech, włoch, италии"),
	phrase.Of("TR", "", "turkey, turquie, turkei, turcji, турции"),
	phrase.Of("AE", "", "uae, u.a.e., vae, emirates, оаэ"),
	phrase.Of("CI", "", "ivory coast"),
	phrase.Of("MK", "", "macedonia, mazedonien"),
}

// nameLanguages are the languages whose country names are known.
var nameLanguages = []language.Tag{language.English, language.German, language.French, language.Spanish,
	language.Italian, language.Polish, language.Russian, language.SimplifiedChinese}

// countryNames gives the alpha-2 code of country names. Source: ISO 3166-1
// codes, names from Unicode CLDR (golang.org/x/text).
var countryNames = sync.OnceValue(func() *phrase.Set[string] {
	rows := append([]phrase.Row[string]{}, otherCountryNames...)
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			region, err := language.ParseRegion(string(a) + string(b))
			if err != nil || !region.IsCountry() || region.Canonicalize() != region || region.String() != string(a)+string(b) {
				continue
			}
			for _, tag := range nameLanguages {
				if name := display.Regions(tag).Name(region); name != "" {
					rows = append(rows, phrase.Of(region.String(), tag.String(), strings.ReplaceAll(name, ",", " ")))
				}
			}
		}
	}
	return phrase.NewSet(rows...)
})

// countryCode reads an ISO 3166 code of two or three letters.
func countryCode(text string) (string, bool) {
	if len(text) != 2 && len(text) != 3 || strings.ToUpper(text) != text {
		return "", false
	}
	region, err := language.ParseRegion(text)
	if err != nil || !region.IsCountry() {
		return "", false
	}
	if code := region.Canonicalize().String(); len(code) == 2 {
		return code, true
	}
	return "", false
}

// countryOf finds the country that is the whole text, or the last part of a
// place name ("Exampletown, Germany").
func countryOf(text string) (string, bool) {
	text = strings.Trim(text, " .()")
	if code, ok := countryCode(text); ok {
		return code, true
	}
	if code, ok := countryNames().WholeOf(text); ok {
		return code, true
	}
	if i := strings.LastIndexAny(text, ",;/"); i >= 0 {
		return countryOf(text[i+1:])
	}
	return "", false
}

// location stores the country of a place when the text names one, else the
// text. A seller's place is kept whole, since the town matters.
func (s *setter) location() {
	code, ok := countryOf(s.text)
	if !ok || s.name == listing.SellerLocation && strings.ContainsAny(s.text, ",;/") {
		s.line()
		return
	}
	s.put(code)
}

// origin finds the one country of a text such as "Made in Germany".
func (s *setter) origin() {
	if code, ok := countryOf(s.text); ok {
		s.put(code)
		return
	}
	if len(s.text) > 200 {
		s.line()
		return
	}
	only := ""
	for _, m := range countryNames().All(phrase.Fold(s.text)) {
		if only != "" && only != m.Value {
			s.line()
			return
		}
		only = m.Value
	}
	if only == "" {
		s.line()
		return
	}
	s.put(only)
}
