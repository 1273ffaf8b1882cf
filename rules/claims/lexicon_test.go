package claims

import (
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

const head = "lang en\nbind after last\n"

func TestLexiconFaults(t *testing.T) {
	for _, tc := range []struct{ src, want string }{
		{"", `my.lex:1:1: no "lang" line`},
		{"bind after last\n", `my.lex:1:1: no "lang" line`},
		{"lang english!\n", `my.lex:1:1: want "lang" and a language tag, as in "lang de"`},
		{"lang en\nlang de\n", `my.lex:2:1: a second "lang" line`},
		{"lang en\nbind somewhere\n", `my.lex:2:1: want one line "bind", before or after, first or last, as in "bind after last"`},
		{"lang en\n[genuine]\n", `my.lex:2:2: the lines "lang" and "bind" come before the first section`},
		{"lang en\nbind after last\n  genuine\n", `my.lex:3:3: "genuine" is neither a header (lang, bind) nor a section`},
		{head + "[genuin]\n", `my.lex:3:2: "genuin" is no section; the sections are noun, label, not, with, words, unbranded and the stances`},
		{head + "[noun wheel]\n", `my.lex:3:2: want a noun section with one of: unit, kit, component, core, photo, packaging, paper, vehicle`},
		{head + "[label x]\n", `my.lex:3:8: section label takes nothing else`},
		{head + "[hedge Oem]\n", `my.lex:3:8: "Oem" is not a code: want one word in lower case with hyphens`},
		{head + "[hedge oem scope=car]\n", `my.lex:3:12: "scope=car": want scope= and one of: unit, kit, component, core, photo, packaging, paper, vehicle`},
		{head + "[genuine]\ngen*ine\n", `my.lex:4:1: "gen*ine": a star must end a word`},
		{head + "[genuine]\n原装*\n", `my.lex:4:1: "原装*": only a word with spaces around it can be a stem`},
		{head + "[genuine]\n(a|b\n", `my.lex:4:5: ")" is missing`},
		{head + "[genuine]\n(a|b] c\n", `my.lex:4:5: "]" where ")" is due`},
		{head + "[genuine]\na) b\n", `my.lex:4:2: ")" without its opening bracket`},
		{head + "[genuine]\n_ part\n", `my.lex:4:1: a phrase cannot begin with _`},
		{head + "[genuine]\n((((((a))))))\n", `my.lex:4:6: brackets nested too deep`},
		{head + "[genuine]\na\na\n", `my.lex:5:1: the phrase is empty or stands in this section already`},
		{head + "[genuine]\na\n[copy]\nA\n", `my.lex:6:1: "a" has another meaning on line 4`},
		{head + "[genuine]\n" + strings.Repeat("(a|b|c|d)", 6) + "\n", `my.lex:4:55: the line stands for more than 3000 phrases`},
		{head + "[genuine]\na b c d e f g h i j k l m\n", `my.lex:4:1: a phrase of more than 12 words`},
		{head + "[genuine]\n\xff\n", `my.lex:4:1: the line is not valid UTF-8`},
	} {
		_, err := ParseLexicon("my.lex", []byte(tc.src))
		if assert.Error(t, err, tc.src) {
			assert.Equal(t, tc.want, strings.SplitN(err.Error(), "\n", 2)[0], tc.src)
			var fault *SyntaxError
			assert.True(t, errors.As(err, &fault))
		}
	}
}

func TestLexiconReportsAllFaults(t *testing.T) {
	_, err := ParseLexicon("my.lex", []byte(head+"[genuine]\n(a\nb*c\n"))
	assert.EqualError(t, err, "my.lex:4:3: \")\" is missing\nmy.lex:5:1: \"b*c\": a star must end a word")
}

func TestUsersLexicon(t *testing.T) {
	lex, err := ParseLexicon("my.lex", []byte(`lang sv   # a language of the user's own
bind after first

[genuine]
äkta
original(a|t)

[label]
aftermarket           # takes the built-in meaning away

[copy]
refurbished           # replaces it

[noun kit]
packningssats*
`))
	require.NoError(t, err)
	e, err := New(testMakers, lex)
	require.NoError(t, err)
	read := func(s string) Result { return e.Read([]Text{{listing.Title, s}}, Options{}) }

	assert.Equal(t, ClaimGenuine, read("Äkta turbo").Claim)
	assert.Equal(t, ScopeKit, read("äkta packningssatser").Phrases[0].Scope)
	assert.Equal(t, ClaimSilent, read("aftermarket turbo").Claim)
	assert.Equal(t, ClaimCopy, read("refurbished turbo").Claim)
	assert.Equal(t, ClaimCompatible, testEngine(t).Read([]Text{{listing.Title, "aftermarket turbo"}}, Options{}).Claim,
		"another engine is not touched")
}

func FuzzParseLexicon(f *testing.F) {
	for _, lang := range languages {
		src, err := lexiconFiles.ReadFile("lexicon/" + lang + ".lex")
		require.NoError(f, err)
		f.Add(src[:2000])
	}
	f.Add([]byte(head + "[genuine scope=unit]\n[the] (a|b [c]) d*\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		lex, err := ParseLexicon("f.lex", src)
		if err != nil {
			var fault *SyntaxError
			require.True(t, errors.As(err, &fault))
			require.Positive(t, fault.Line)
			require.Positive(t, fault.Column)
			return
		}
		a := newAutomaton()
		for _, v := range lex.variants {
			require.NotEmpty(t, v.words)
			a.add(v.words, v.entry)
		}
	})
}

// The example of a user's own phrases is read and taken before the built-in
// ones.
func TestExampleOfOwnPhrases(t *testing.T) {
	name := "../../fixtures/settings/phrases.lex"
	src, err := os.ReadFile(name)
	require.NoError(t, err)
	lex, err := ParseLexicon(name, src)
	require.NoError(t, err)
	makers := []Maker{{Name: "Halvorn"}}
	plain, err := New(makers)
	require.NoError(t, err)
	own, err := New(makers, lex)
	require.NoError(t, err)
	for text, want := range map[string]string{
		"Turbo geschikt voor Halvorn HV31": ClaimCompatible,
		"Turbo vervangingsonderdeel":       ClaimCompatible,
		"Turbo originele kwaliteit":        ClaimHedged,
	} {
		texts := []Text{{Field: listing.Title, Raw: text}}
		require.NotEqual(t, want, plain.Read(texts, Options{}).Claim, text)
		require.Equal(t, want, own.Read(texts, Options{}).Claim, text)
	}
}
