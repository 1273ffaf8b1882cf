package calibrate

import (
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const head = "listing,outcome,date,basis\n"

func TestReadOutcomes(t *testing.T) {
	list, err := ReadOutcomes("o.csv", []byte("\ufeff# note\nBasis,Outcome,date,listing\n"+
		"\"bought, examined\",Confirmed Copy,2026-10-01, A-1 \n,unknown,2026-09-01,A-1\n"))
	require.NoError(t, err)
	day := time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)
	assert.Equal(t, Outcome{"A-1", ConfirmedCopy, day, "bought, examined", 3}, list[0])
	assert.Equal(t, OutcomeUnknown, list[1].Outcome)
}

func TestOutcomeExample(t *testing.T) {
	data, err := os.ReadFile("../../fixtures/settings/outcomes.csv")
	require.NoError(t, err)
	list, err := ReadOutcomes("outcomes.csv", data)
	require.NoError(t, err)
	assert.Len(t, list, 4)
}

func TestOutcomeMistakes(t *testing.T) {
	for text, want := range map[string]string{
		"":                                    "o.csv:1:1: the file is empty",
		"listing,outcome,date\n":              `o.csv:1:1: no column "basis"`,
		"listing,listing\n":                   `o.csv:1:9: column "listing" stands here twice`,
		"listing,verdict\n":                   `o.csv:1:9: unknown column "verdict"; the columns are listing, outcome, date, basis`,
		head + "A,fake,2026-1-1,x":            `o.csv:2:3: "fake" is not one of confirmed copy, confirmed genuine, unknown`,
		head + "A,unknown,1.9.26,":            `o.csv:2:11: "1.9.26" is not a date such as 2026-09-30`,
		head + ",unknown,2026-09-01,":         "o.csv:2:1: listing is empty",
		head + "A,confirmed copy,2026-09-01,": "o.csv:2:29: basis is empty",
		head + "A,unknown,2026-09-01,\n\n# x\nA,unknown,2026-09-01,": `o.csv:5:1: "A" stands in line 2 already, with the same date`,
		head + "A,unknown\nB,unknown,2026-09-01,":                    "o.csv:2:1: wrong number of fields",
		head + "\"A,unknown,2026-09-01,\n":                           "o.csv:2:",
		head + "\xff,unknown,2026-09-01,\n":                          "o.csv:2:1: listing is not UTF-8",
	} {
		_, err := ReadOutcomes("o.csv", []byte(text))
		assert.ErrorContains(t, err, want, "%q", text)
	}
	_, err := ReadOutcomes("o.csv", []byte(head+"A,fake,2026-09-01,x\nB,unknown,never,x\n"))
	assert.Equal(t, 2, strings.Count(err.Error(), "o.csv:"), "all mistakes are told together")
}

func FuzzOutcomes(f *testing.F) {
	f.Add([]byte(head + "A,confirmed copy,2026-09-01,x\n"))
	f.Add([]byte("\ufeff#\n\"listing\",date,basis,outcome\n\"A\n\",2026-09-01,,unknown\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := ReadOutcomes("o.csv", data)
		if err != nil {
			return
		}
		for _, o := range list {
			if o.Listing == "" || o.Line < 1 || o.Date.IsZero() && o.Date.Year() != 1 {
				t.Fatalf("%+v", o)
			}
		}
		NewIntake(nil, list)
	})
}
