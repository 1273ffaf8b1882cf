// Package origin finds in a text where it says that the item was made.
//
// It serves to hold two statements of one listing against each other. A country
// of manufacture by itself says nothing about a part: makers run plants in many
// countries.
package origin

import (
	"strings"
	"sync"

	"golang.org/x/text/language"
	"golang.org/x/text/language/display"

	"counterfoil/rules/wording"
)

// Statement is one place where a text says where the item was made,
// text[Start:End].
type Statement struct {
	Country    string // ISO 3166-1 alpha-2
	Start, End int
}

// markers are words before the name of a country of manufacture. Common
// practice, no source.
var markers = []string{"made in", "manufactured in", "produced in", "built in", "country of origin", "country of manufacture",
	"hergestellt in", "produziert in", "gefertigt in", "herkunftsland", "ursprungsland", "herstellungsland",
	"fabriqué en", "fabriqué au", "fabriqué aux", "fabrique en", "pays d'origine", "pays de fabrication",
	"fabricado en", "hecho en", "país de origen", "pais de origen", "prodotto in", "fabbricato in", "paese di origine",
	"wyprodukowano w", "wyprodukowany w", "kraj pochodzenia", "kraj produkcji",
	"сделано в", "произведено в", "страна производства", "страна происхождения", "产地", "原产国", "制造国"}

// elsewhere are words before a marker that take it away from the item or turn
// it round.
var elsewhere = wording.New("not", "no", "never", "isn't", "nicht", "kein", "keine", "pas", "non", "nie", "не", "不",
	"box", "packaging", "carton", "gasket", "gaskets", "kit", "component", "components", "parts", "casting", "castings", "housing", "housings",
	"bearing", "bearings", "engine", "car", "vehicle", "tools", "verpackung", "karton", "dichtungen", "motor", "fahrzeug",
	"emballage", "moteur", "caja", "scatola", "opakowanie", "silnik", "коробка", "двигатель")

// others are names that CLDR does not give. Common practice, no source.
var others = map[string]string{"usa": "US", "u.s.a": "US", "the usa": "US", "the us": "US", "u.s": "US", "the united states": "US", "uk": "GB", "the uk": "GB",
	"england": "GB", "great britain": "GB", "prc": "CN", "p.r.c": "CN", "p.r. china": "CN", "pr china": "CN", "the czech republic": "CZ", "czech republic": "CZ",
	"south korea": "KR", "korea": "KR", "holland": "NL", "the netherlands": "NL", "niemczech": "DE", "chinach": "CN", "polsce": "PL", "rumunii": "RO",
	"turkey": "TR", "германии": "DE", "китае": "CN", "японии": "JP", "россии": "RU", "сша": "US", "польше": "PL", "美国": "US", "德国": "DE", "中国": "CN"}

var languages = []language.Tag{language.English, language.German, language.French, language.Spanish,
	language.Italian, language.Polish, language.Russian, language.SimplifiedChinese}

// names gives the alpha-2 code of each folded country name. Source: ISO 3166-1
// codes, names from Unicode CLDR.
var names = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			code := string(a) + string(b)
			region, err := language.ParseRegion(code)
			if err != nil || !region.IsCountry() || region.Canonicalize() != region || region.String() != code {
				continue
			}
			for _, tag := range languages {
				if name := display.Regions(tag).Name(region); name != "" {
					m[wording.Fold(name)] = code
				}
			}
		}
	}
	for name, code := range others {
		m[name] = code
	}
	return m
})

const (
	maxName       = 40 // bytes after the marker in which a name is looked for
	maxBefore     = 24 // bytes before the marker in which a word can take it away
	maxStatements = 16
)

// MadeIn lists the places where a text says in which country the item was made,
// in order. A statement that is denied, that speaks of another thing or that
// offers a choice of countries is left out.
func MadeIn(text string) []Statement { return MadeInFolded(wording.Fold(text)) }

// MadeInFolded is MadeIn for a text that wording.Fold has folded.
func MadeInFolded(folded string) []Statement {
	var list []Statement
	for at := 0; at < len(folded) && len(list) < maxStatements; {
		start, end, ok := markerList.FindFolded(folded[at:])
		if !ok {
			break
		}
		start, end = at+start, at+end
		at = end
		if _, _, other := elsewhere.FindFolded(lastWords(folded[:start])); other {
			continue
		}
		if code, to, ok := countryAt(folded, end); ok && !choice(folded[to:]) {
			list = append(list, Statement{code, start, to})
			at = to
		}
	}
	return list
}

var markerList = wording.New(markers...)

// lastWords is the end of a text within its last clause.
func lastWords(text string) string {
	text = text[max(0, len(text)-maxBefore):]
	return text[strings.LastIndexAny(text, ".,;:!?\n")+1:]
}

// countryAt reads the longest country name that begins after the marker's end.
func countryAt(folded string, from int) (code string, end int, ok bool) {
	rest := folded[from:min(len(folded), from+maxName)]
	trimmed := strings.TrimLeft(rest, " \t:-–：")
	from += len(rest) - len(trimmed)
	for to := len(trimmed); to > 1; to-- {
		if c, found := names()[trimmed[:to]]; found && wording.Boundary(folded, from+to) {
			return c, from + to, true
		}
	}
	return "", 0, false
}

// choice reports whether another country is offered right after the first.
func choice(rest string) bool {
	rest = strings.TrimLeft(rest, " ")
	for _, word := range []string{"or ", "/", "oder ", "ou ", "o ", "lub ", "или ", "或"} {
		if strings.HasPrefix(rest, word) {
			return true
		}
	}
	return false
}
