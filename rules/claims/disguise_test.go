package claims

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDisguised(t *testing.T) {
	e := testEngine(t)
	for _, tc := range []struct {
		text  string
		quote string // "" when there is no disguise
		how   string
	}{
		{"Kestwyn turbo", "", ""},
		{"KESTWYN kestwyn KestWyn", "", ""},
		{"Turbo for Kes\u00adtwyn", "", ""}, // a soft hyphen marks where to break a word
		{"Ｋｅｓｔｗｙｎ turbo", "", ""},           // full width, usual in Chinese text
		{"Kestwyn-Turbolader", "", ""},      // a compound
		{"Kest-wyn, Kest wyn", "", ""},      // parted once: a line end or a slip
		{"best wynn, orvanes, Kestwyns", "", ""},
		{"К\u0435stwyn turbo", "К\u0435stwyn", HowLookAlike}, // Cyrillic Ka and ie
		{"OEM ΟRVANE", "ΟRVANE", HowLookAlike},               // Greek Omicron
		{"0rvane turbo", "0rvane", HowLookAlike},
		{"Iumeron", "Iumeron", HowLookAlike},
		{"Lurneron turbo", "Lurneron", HowLookAlike}, // m maps to rn in Unicode's list
		{"Kest\u200bwyn", "Kest\u200bwyn", HowInvisible},
		{"Kest\u2060wyn\u200d", "Kest\u2060wyn", HowInvisible},
		{"\ufeffKestwyn", "", ""}, // outside the name
		{"K e s t w y n turbo", "K e s t w y n", HowSpaced},
		{"K.E.S.T.W.Y.N.", "K.E.S.T.W.Y.N", HowSpaced},
		{"TAV R IK", "TAV R IK", HowSpaced},
		{"K e s t w у n", "K e s t w у n", HowLookAlike}, // spaced and Cyrillic
		{"涡轮Кestwyn正品", "Кestwyn", HowLookAlike},
	} {
		got := e.Disguised(tc.text)
		if tc.quote == "" {
			assert.Empty(t, got, "%q", tc.text)
			continue
		}
		if assert.Len(t, got, 1, "%q", tc.text) {
			assert.Equal(t, tc.quote, got[0].Quote, "%q", tc.text)
			assert.Equal(t, tc.how, got[0].How, "%q", tc.text)
			assert.Equal(t, tc.quote, tc.text[got[0].Start:got[0].End])
		}
	}
}

func TestDisguisedNeedsFourLetters(t *testing.T) {
	e, err := New([]Maker{{Name: "Vex"}})
	require.NoError(t, err)
	assert.Empty(t, e.Disguised("V e x, Vех"))
}

// TestUnicodeConfusables takes Unicode's list of confusable characters (UTS
// #39, as packaged by Debian's python3-confusable-homoglyphs) and writes a
// maker's name with each one that stands for one of its letters.
func TestUnicodeConfusables(t *testing.T) {
	const file = "/usr/lib/python3/dist-packages/confusable_homoglyphs/confusables.json"
	data, err := os.ReadFile(file)
	if err != nil {
		if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
			t.Fatal("install Debian's python3-confusable-homoglyphs: ", err)
		}
		t.Skip("Unicode's list of confusables is absent: install Debian's python3-confusable-homoglyphs")
	}
	var list map[string][]struct {
		C string `json:"c"`
	}
	require.NoError(t, json.Unmarshal(data, &list))
	e := testEngine(t)
	found, tried := 0, 0
	var missed []string
	for _, name := range []string{"Kestwyn", "Orvane", "Tavrik", "Lumeron", "KESTWYN", "ORVANE", "TAVRIK", "LUMERON"} {
		for i, letter := range name {
			for _, c := range list[string(letter)] {
				r, size := utf8.DecodeRuneInString(c.C)
				if size != len(c.C) || !unicode.IsLetter(r) || foldRune(r) == foldRune(letter) {
					continue // several characters, a sign, or the letter itself in other dress
				}
				tried++
				text := name[:i] + c.C + name[i+1:]
				if slices.ContainsFunc(e.Disguised(text), func(d Disguise) bool { return d.Quote == text && d.How == HowLookAlike }) {
					found++
				} else if !slices.Contains(missed, string(letter)+c.C) {
					missed = append(missed, string(letter)+c.C)
				}
			}
		}
	}
	t.Logf("%d of %d found, missed: %s", found, tried, strings.Join(missed, " "))
	require.Positive(t, tried)
	assert.GreaterOrEqual(t, float64(found)/float64(tried), .95)
}
