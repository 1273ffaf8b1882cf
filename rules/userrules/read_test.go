package userrules

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var known = Known{Rules: []string{"price-low-outlier", "no-returns-new"}, Families: []string{"price", "terms"}}

// head is a rule without its condition.
const head = `rules:
  - id: mine
    family: terms
    weight: 4
    title: T
    meaning: M
    innocent: I
    ask: A
    statement: '{price}'
`

func TestDocumentedExample(t *testing.T) {
	data, err := os.ReadFile("../../fixtures/settings/rules.yaml")
	require.NoError(t, err)
	book, err := Read("../settings/rules.yaml", data, known)
	require.NoError(t, err)
	assert.Len(t, book.Rules, 2)
	assert.Equal(t, []string{"rule cheap-at-many-units is the user's own (rules.yaml)", "rule warranty-given is the user's own (rules.yaml)"}, book.Changes())
	for says, want := range map[string]bool{"2 years": true, "24 months": true, "Two Year": true, "12 years": false, "6 months": false} {
		got, err := book.Rules[1].Holds(map[string]any{"listing.warranty": says})
		assert.NoError(t, err)
		assert.Equal(t, want, got, says)
	}
}

// The caret stands under the mistake in the condition, however the text is
// written in the file.
func TestPlaceOfAMistakeInACondition(t *testing.T) {
	for name, c := range map[string]struct{ when, want string }{
		"plain": {"    when: photos.known and price.raito < 1\n",
			"r.yaml:10:28: no fact is called \"price.raito\""},
		"plain, folded":              {"    when: photos.known and\n      price.raito < 1\n", "r.yaml:11:7: no fact"},
		"single quotes":              {"    when: 'listing.title == ''ä'' and price.raito < 1'\n", "r.yaml:10:39: no fact"},
		"double quotes":              {"    when: \"listing.title == \\\"\\xe4\\u00e4\\\" and price.raito < 1\"\n", "r.yaml:10:48: no fact"},
		"double quotes, broken line": {"    when: \"photos.known an\\\n      d price.raito < 1\"\n", "r.yaml:11:9: no fact"},
		"literal block":              {"    when: |\n      photos.known\n        and price.raito < 1\n", "r.yaml:12:13: no fact"},
		"folded block":               {"    when: >-\n      photos.known\n      and price.raito < 1\n", "r.yaml:12:11: no fact"},
		"block with indentation":     {"    when: |2\n        photos.known\n        and price.raito < 1\n", "r.yaml:12:13: no fact"},
		"end of the text":            {"    when: |\n      photos.known and\n", "the condition ends too early"},
		"Windows lines":              {"    when: |\r\n      photos.known\r\n        and price.raito < 1\r\n", "r.yaml:12:13: no fact"},
	} {
		_, err := Read("r.yaml", []byte(head+c.when), known)
		if !assert.Error(t, err, name) {
			continue
		}
		assert.Contains(t, err.Error(), c.want, name)
		lines := strings.Split(err.Error(), "\n")
		if at := strings.Index(lines[len(lines)-1], "^"); at >= 0 && strings.Contains(c.want, "no fact") {
			source := []rune(lines[len(lines)-2])
			assert.True(t, strings.HasPrefix(string(source[at:]), "price.raito"), "%s\n%s", name, err)
		}
	}
}

func TestMistakesNameLineAndColumn(t *testing.T) {
	when := "    when: photos.known\n"
	for _, c := range []struct{ text, want string }{
		{"", "r.yaml:1:1: the file is empty"},
		{"rule: []\n", `r.yaml:1:1: unknown key "rule"`},
		{"rules: 3\n", `r.yaml:1:8: "3" cannot stand here: a value of kind list is wanted`},
		{head + when + "    then: x\n", `r.yaml:11:5: unknown key "then"`},
		{head, "r.yaml:2:9: the rule has no when"},
		{"rules:\n  - title: T\n", "r.yaml:2:12: the rule has no id"},
		{strings.Replace(head, "ask: A", "ask: ''", 1) + when, "r.yaml:8:11: ask is empty"},
		{strings.Replace(head, "innocent: I", "innocent: ~", 1) + when, "the rule has no innocent"},
		{strings.Replace(head, "mine", "Mine", 1) + when, `r.yaml:2:9: "Mine" is not of the form my-rule`},
		{strings.Replace(head, "mine", "no-returns-new", 1) + when, `r.yaml:2:9: a rule is already called "no-returns-new"`},
		{strings.Replace(head, "terms", "trems", 1) + when, `r.yaml:3:13: no family is called "trems"; the families are price, terms`},
		{strings.Replace(head, "weight: 4", "weight: 61", 1) + when, "r.yaml:4:13: the weight is not between -60 and 60"},
		{strings.Replace(head, "weight: 4", "weight: .nan", 1) + when, `r.yaml:4:13: ".nan" is not a number`},
		{strings.Replace(head, "weight: 4", "weight: NaN", 1) + when, `r.yaml:4:13: "NaN" is not a number`},
		{strings.Replace(head, "weight: 4", "weight: [4]", 1) + when, "r.yaml:4:"},
		{strings.Replace(head, "title: T", "title: "+strings.Repeat("t", 121), 1) + when, "r.yaml:5:12: title is longer than 120"},
		{strings.Replace(head, "{price}", "ab {prise}", 1) + when, `r.yaml:9:21: no fact is called "prise"`},
		{head + when + "    quote: [price, prize]\n", `r.yaml:11:20: no field is called "prize"`},
		{head + when + "    quote: [price, price]\n", `r.yaml:11:20: "price" stands here twice`},
		{head + when + strings.TrimPrefix(head, "rules:\n") + when, `r.yaml:11:9: a rule is already called "mine"`},
		{"off: [no-returns]\n", `r.yaml:1:7: no built-in rule is called "no-returns"`},
		{"off: [no-returns-new, no-returns-new]\n", `r.yaml:1:23: "no-returns-new" stands here twice`},
		{"thresholds: {price-rate: 0.5}\n", `r.yaml:1:14: no threshold is called "price-rate"`},
		{"thresholds:\n  price-ratio: 1.5\n", "r.yaml:2:16: 1.5 is not between 0.05 and 0.95"},
		{"thresholds:\n  price-ratio: half\n", `r.yaml:2:16: "half" is not a number`},
		{"thresholds:\n  photo-distance: 3.5\n", "r.yaml:2:19: 3.5 is not a whole number"},
		{"thresholds:\n  photo-distance: 3\n  photo-distance: 4\n", `r.yaml:3:3: "photo-distance" stands here twice`},
		{"thresholds:\n  sellers-weak: 20\n", "r.yaml:2:17: sellers-weak (20) must not be above sellers-full (10)"},
		{"thresholds: [1]\n", "a value of kind mapping is wanted"},
	} {
		_, err := Read("r.yaml", []byte(c.text), known)
		if assert.Error(t, err, c.text) {
			assert.Contains(t, err.Error(), c.want, c.text)
		}
	}
}

func TestEveryMistakeIsReportedInOrder(t *testing.T) {
	_, err := Read("r.yaml", []byte("thresholds: {a: 1}\noff: [b]\nrules:\n  - id: X\n"), known)
	require.Error(t, err)
	text := err.Error()
	assert.Less(t, strings.Index(text, "r.yaml:1:14"), strings.Index(text, "r.yaml:2:7"))
	assert.Less(t, strings.Index(text, "r.yaml:2:7"), strings.Index(text, "r.yaml:4:9"))
}

func TestThresholds(t *testing.T) {
	book, err := Read("d/r.yaml", []byte("\xef\xbb\xbfthresholds: {price-ratio: 0.5, price-score: 3.5, photo-distance: 9, text-likeness: 0.9}\noff: [no-returns-new]\n"), known)
	require.NoError(t, err)
	assert.Equal(t, 0.5, book.Thresholds.Market.Ratio)
	assert.Equal(t, 9, book.Thresholds.Photos.Bound)
	assert.Equal(t, 0.9, book.Thresholds.Texts.Threshold)
	assert.Equal(t, []string{"rule no-returns-new is switched off (r.yaml)", "threshold price-ratio is 0.5 instead of 0.6 (r.yaml)",
		"threshold photo-distance is 9 instead of 11 (r.yaml)", "threshold text-likeness is 0.9 instead of 0.8 (r.yaml)"}, book.Changes())
	for _, h := range ThresholdTable {
		assert.True(t, h.Least <= h.Default && h.Default <= h.Most, h.Name)
		var unset Thresholds
		h.set(&unset, h.Most)
		assert.NotEqual(t, Thresholds{}, unset, h.Name)
	}
}

func TestTooManyRules(t *testing.T) {
	_, err := Read("r.yaml", []byte("rules:\n"+strings.Repeat("  - id: a\n", MaxRules+1)), known)
	assert.ErrorContains(t, err, "r.yaml:152:9: more than 150 rules")
}

// Whatever stands in the file, the reader does not panic, and what it accepts
// can be run and put into words.
func FuzzRead(f *testing.F) {
	example, err := os.ReadFile("../../fixtures/settings/rules.yaml")
	require.NoError(f, err)
	f.Add(string(example))
	f.Add(head + "    when: \"a\\\n  b\"\n    quote: [price]\noff: [no-returns-new]\nthresholds: {price-ratio: 0.5}\n")
	f.Add("rules: [~, {id: &a !!str 'x', ask: *a}]\nthresholds: {<<: {a: 1}}\n")
	f.Fuzz(func(t *testing.T, text string) {
		book, err := Read("r.yaml", []byte(text), known)
		if err != nil {
			assert.NotEmpty(t, err.Error())
			return
		}
		tryRules(t, book)
	})
}

func FuzzCondition(f *testing.F) {
	f.Add(`price.ratio / price.was < 0.5 && lower(listing.title) matches "(?i)a|b" or "x" in photos.views`)
	f.Add(`not (listing.condition in ["new", 'used']) and 0 < -price.z <= 3 || photos.known == true`)
	f.Fuzz(func(t *testing.T, text string) {
		c, err := compile(text)
		if err == nil {
			tryRules(t, &Book{Rules: []Rule{{condition: c}}})
			return
		}
		var m mistake
		require.ErrorAs(t, err, &m)
		assert.NotEmpty(t, m.reason)
		assert.False(t, m.at < 0 || m.at > len([]rune(text)), "%d in %q", m.at, text)
	})
}

func tryRules(t *testing.T, book *Book) {
	values := map[Type]any{Text: "new", Number: 2.5, YesNo: true, Words: []string{"serial-plate"}}
	for i := range book.Rules {
		r := &book.Rules[i]
		given := map[string]any{}
		for _, n := range r.Uses() {
			given[Facts[n].Name] = values[Facts[n].Type]
		}
		if _, err := r.Holds(given); err != nil {
			assert.ErrorContains(t, err, "division by 0")
		}
		r.Statement(func(fact int) (any, string, bool) { return values[Facts[fact].Type], "EUR", true })
	}
}
