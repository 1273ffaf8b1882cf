package calibrate

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var twoRules = []Rule{{ID: "a-rule", Family: "price", Default: 8, Used: 8}, {ID: "b-rule", Family: "terms", Default: -4, Used: -4}}

func outcome(key, word string, day int) Outcome {
	return Outcome{Listing: key, Outcome: word, Date: time.Date(2026, 10, day, 0, 0, 0, 0, time.UTC), Line: day}
}

const (
	lineA = `{"listing":"A","url":"https://one.example/a","coverage":1,"findings":[{"rule":"b-rule","weight_db":-4},{"rule":"a-rule","weight_db":2.67}],"not_assessed":[]}` + "\n"
	lineB = `{"listing":"B","url":"","coverage":0.5,"findings":[],"not_assessed":[{"rule":"a-rule","needs":"x"}]}` + "\n"
)

func TestReadSuspects(t *testing.T) {
	in := NewIntake(twoRules, []Outcome{outcome("A", ConfirmedCopy, 2), outcome("A", OutcomeUnknown, 1),
		outcome("B", ConfirmedGenuine, 3), outcome("C", ConfirmedCopy, 4)})
	require.NoError(t, in.Read("s.ndjson", strings.NewReader(lineA+lineB)))
	cases := in.Cases()
	require.Len(t, cases, 2)
	assert.True(t, cases[0].Copy)
	assert.Equal(t, 1, cases[0].Findings[0].Rule)
	assert.Equal(t, 1.0, cases[0].Findings[0].Strength)
	assert.InDelta(t, 1.0/3, cases[0].Findings[1].Strength, 0.001)
	assert.Equal(t, Case{Key: "B", Lacks: []int{0}, Place: .5}, cases[1])
	assert.Equal(t, []Outcome{outcome("C", ConfirmedCopy, 4)}, in.NotFound())
	assert.Equal(t, []int{2, 1, 0, 0}, []int{in.Listings, in.Superseded, in.Again, in.Unknown()})

	// A later audit of the same listing counts; another listing of that key is refused.
	require.NoError(t, in.Read("later.ndjson", strings.NewReader(strings.Replace(lineA, "2.67", "8", 1))))
	assert.Equal(t, 1, in.Again)
	assert.Equal(t, 1.0, in.Cases()[0].Findings[1].Strength)
	err := in.Read("other.ndjson", strings.NewReader(strings.Replace(lineA, "one.example", "two.example", 1)))
	assert.EqualError(t, err, `other.ndjson:1: the key "A" stands for another address in later.ndjson:1; calibrate with one of the two files`)
}

func TestSuspectMistakes(t *testing.T) {
	change := func(old, now string) string { return lineB + strings.Replace(lineA, old, now, 1) }
	for text, want := range map[string]string{
		"":                            "s.ndjson: the file is empty",
		lineB + "{\n":                 "s.ndjson:2: this is not a line of suspects.ndjson: unexpected end of JSON input",
		lineB + "\n":                  "s.ndjson:2: this is not a line of suspects.ndjson",
		lineB + "{}\n":                "s.ndjson:2: this is not a line of suspects.ndjson",
		lineA + lineA:                 `s.ndjson:2: the key "A" stands in line 1 already`,
		`{"listing":"A","fields":{}}`: "s.ndjson:1: this is not a line of suspects.ndjson",
		change("b-rule", "c-rule"):    `s.ndjson:2: no rule is called "c-rule"`,
		change("b-rule", "a-rule"):    `s.ndjson:2: a finding of a-rule weighs -4 dB, which is not a share of its weight of 8 dB: the run had other weights`,
		change(`"b-rule","weight_db":-4`, `"a-rule","weight_db":8`): `s.ndjson:2: rule "a-rule" stands here twice`,
		change("2.67", "8.1"):                       "not a share of its weight",
		change("2.67", "null"):                      "this is not a line",
		change(`"coverage":1`, `"coverage":0.6667`): "s.ndjson:2: a coverage of 0.6667 with 0 rules not assessed is not that of 2 rules: the run had another set of rules",
		strings.Repeat(" ", maxLine+1):              "s.ndjson:1: the line is longer than",
	} {
		in := NewIntake(twoRules, []Outcome{outcome("A", ConfirmedCopy, 1)})
		assert.ErrorContains(t, in.Read("s.ndjson", strings.NewReader(text)), want)
	}
}

func TestStrengthOf(t *testing.T) {
	for _, c := range []struct {
		found, used, want float64
		ok                bool
	}{{8, 8, 1, true}, {8.005, 8, 1, true}, {-2, -4, .5, true}, {0, 0, 1, true}, {0.01, 0.02, 1, true},
		{4, -4, 0, false}, {0, 4, 0, false}, {9, 8, 0, false}, {3, 0, 0, false}} {
		got, ok := strengthOf(c.found, c.used)
		assert.Equal(t, c.ok, ok, "%+v", c)
		if ok {
			assert.InDelta(t, c.want, got, 1e-9, "%+v", c)
		}
	}
}

func FuzzSuspects(f *testing.F) {
	f.Add([]byte(lineA + lineB))
	f.Add([]byte(`{"listing":"A","coverage":1e999,"findings":[{"rule":"a-rule","weight_db":1e-320}],"not_assessed":[]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		in := NewIntake(twoRules, []Outcome{outcome("A", ConfirmedCopy, 1), outcome("B", ConfirmedGenuine, 1)})
		if in.Read("s.ndjson", strings.NewReader(string(data))) != nil {
			return
		}
		for _, c := range in.Cases() {
			if !(c.Place >= 0 && c.Place < 1) || len(c.Lacks)+len(c.Findings) > len(twoRules) {
				t.Fatalf("%+v", c)
			}
			for _, finding := range c.Findings {
				if !(finding.Strength > 0 && finding.Strength <= 1) {
					t.Fatalf("%+v", c)
				}
			}
		}
	})
}
