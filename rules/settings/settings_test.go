package settings

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

const makersText = `makers:
  - name: Halden
    also: [HLD]
    part_numbers:
      - name: assembly
        pattern: '(?P<base>\d{6})-?(?P<suffix>\d{1,4})'
        pad: 4
        examples: ["712345-12", "712345 0012"]
    serials:
      - name: plate
        pattern: '(?P<plant>[A-Z])(?P<year>\d{2})(?P<week>\d{2})(?P<number>\d{5})'
        examples: [K230412345]
    plants: {K: North, M: South}
    bad_serials: ["K 2304 99999"]
    authorised: [Depot One]
    models:
      '712345-\d{4}': [T3-2K, T3B]
      '712345-0099': [T4]
`

func TestReadMakers(t *testing.T) {
	ms, err := ReadMakers("m.yaml", []byte(makersText))
	require.NoError(t, err)
	m := ms.Named(" hld ")
	require.NotNil(t, m)
	assert.Nil(t, ms.Named("other"))
	for in, want := range map[string]string{"712345-12": "712345-0012", "712345–5": "712345-0005",
		"712345-0012": "712345-0012", "712345 0012": "712345-0012", "712345.0012": "712345-0012"} {
		got, ok := m.Canonical(in)
		assert.True(t, ok, in)
		assert.Equal(t, want, got, in)
	}
	_, ok := m.Canonical("71234-12345")
	assert.False(t, ok)

	parts, ok := m.Serial("k23-04-12345")
	assert.True(t, ok)
	assert.Equal(t, SerialParts{Rule: "plate", Plant: "K", Year: 2023, Week: 4}, parts)
	parts, ok = m.Serial("Q235412345")
	assert.True(t, ok)
	assert.Contains(t, parts.Note, `"Q"`)
	parts, _ = m.Serial("K235412345")
	assert.Contains(t, parts.Note, "week 54")
	_, ok = m.Serial("12345")
	assert.False(t, ok)
	assert.True(t, m.HasBadSerial("K230499999"))
	assert.True(t, m.IsAuthorised("", "depot one"))
	assert.False(t, m.IsAuthorised("", "depot two"))
	assert.Equal(t, []string{"T3-2K", "T3B"}, m.ModelsOf("712345-0012"))
	assert.Equal(t, []string{"T4", "T3-2K", "T3B"}, m.ModelsOf("712345-0099"), "patterns in their order")
	assert.Empty(t, m.ModelsOf("712346-0012"))
}

// The check digits are those of ISO 7064 and of the Luhn formula; the numbers are
// the usual published examples.
func TestSerialChecksAndRanges(t *testing.T) {
	ms, err := ReadMakers("m.yaml", []byte(`makers:
  - name: A
    serials:
      - {name: luhn, pattern: '\d{11}', check: luhn}
      - {name: iso, pattern: '\d{22}', check: mod-97-10}
      - {name: short, pattern: 'S(?P<number>\d{4})', least: 100, most: 2000}
    specimens: [S0150]
`))
	require.NoError(t, err)
	m := &ms.List[0]
	for serial, note := range map[string]string{"79927398713": "", "79927398714": "check digit by luhn",
		"9999123456789012141490": "", "9999123456789012141491": "check digit by mod-97-10",
		"S0100": "", "S0099": "outside 100 to 2000", "S2000": "", "S2001": "outside 100 to 2000"} {
		parts, ok := m.Serial(serial)
		assert.True(t, ok, serial)
		if note == "" {
			assert.Empty(t, parts.Note, serial)
		} else {
			assert.Contains(t, parts.Note, note, serial)
		}
	}
	assert.True(t, m.IsSpecimen("s-0150"))
	_, err = ReadMakers("m.yaml", []byte("makers:\n  - name: A\n    serials:\n      - {pattern: A, check: crc}\n"))
	assert.ErrorContains(t, err, `m.yaml:4:29: "crc" is not one of`)
}

func TestReadMakersNamesThePlace(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"makers:\n  - nmae: A\n", `m.yaml:2:5: unknown key "nmae"`},
		{"makers: []\n", "m.yaml:1:1: no maker in the file"},
		{"makers:\n  - name: A\n    serials:\n      - pattern: '(['\n", "m.yaml:4:19: the pattern"},
		{"makers:\n  - name: A\n    serials:\n      - pattern: 'A'\n        examples: [BB]\n", `m.yaml:5:20: the example "BB"`},
		{"makers:\n  - name: A\n    models: {'(7': [B]}\n", "m.yaml:3:15: the pattern"},
		{"makers:\n  - name: A\n    models: {'77': []}\n", `m.yaml:3:15: the pattern "77" has no model`},
		{"makers:\n  - name: A\n    countries: [Norway]\n", `m.yaml:3:17: "Norway" is not a two-letter`},
	} {
		_, err := ReadMakers("m.yaml", []byte(c.text))
		assert.ErrorContains(t, err, c.want)
	}
}

func TestReadReference(t *testing.T) {
	list, err := ReadReference("r.csv", []byte("# list of spring\npart_number,price,currency,date,source\n712345-0012,980.00,EUR,2026-03-01,dealer list\n"))
	require.NoError(t, err)
	assert.Equal(t, []ReferencePrice{{Part: "712345-0012", Unit: listing.Complete, Condition: listing.New,
		Price: listing.Amount{Minor: 98000, Currency: "EUR"}, Date: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC),
		Source: "dealer list", Line: 3}}, list)
	for _, c := range []struct{ text, want string }{
		{"", "r.csv:1:1: the file is empty"},
		{"part_number,price\n", `r.csv:1:1: no column "currency"`},
		{"part_number,price,currency,date,source,colour\n", `r.csv:1:40: unknown column "colour"`},
		{"part_number,price,currency,date,source\nA,\"12,5O\",EUR,2026-03-01,x\n", `r.csv:2:3: "12,5O" is not a plain decimal number`},
		{"part_number,price,currency,date,source\nA,1,EUR,03/04/2026,x\n", `r.csv:2:9: "03/04/2026" is not a date`},
		{"part_number,price,currency,date,source\nA,1\n", "r.csv:2:1: wrong number of fields"},
	} {
		_, err := ReadReference("r.csv", []byte(c.text))
		assert.ErrorContains(t, err, c.want)
	}
}

func TestReadRatesAndEquivalents(t *testing.T) {
	rates, err := ReadRates("x.csv", []byte("date,base,quote,rate,source\n2026-09-01,USD,EUR,0.8525,central bank\n"))
	require.NoError(t, err)
	assert.Equal(t, 0.8525, rates[0].Rate)
	for _, bad := range []string{"1e-3", "0", "-1", "NaN", "0x1p2", "1,2"} {
		_, err := ReadRates("x.csv", []byte("date,base,quote,rate,source\n2026-09-01,USD,EUR,\""+bad+"\",b\n"))
		assert.ErrorContains(t, err, "x.csv:2:20", bad)
	}
	same, err := ReadEquivalents("e.csv", []byte("part_number,same_as,kind,source\nA1,B2,,guide\n"))
	require.NoError(t, err)
	assert.Equal(t, Equivalent, same[0].Kind)
	_, err = ReadEquivalents("e.csv", []byte("part_number,same_as,kind,source\nA1,B2,cousin,guide\n"))
	assert.ErrorContains(t, err, `e.csv:2:7: "cousin" is not one of`)
}

func TestReadWeights(t *testing.T) {
	w, err := ReadWeights("w.yaml", []byte("weights: {a-rule: 6.5}"), []string{"a-rule"})
	require.NoError(t, err)
	assert.Equal(t, Weights{"a-rule": 6.5}, w)
	_, err = ReadWeights("w.yaml", []byte("weights:\n  b-rule: 1\n"), []string{"a-rule"})
	assert.ErrorContains(t, err, `w.yaml:2:3: no rule is called "b-rule"`)
	_, err = ReadWeights("w.yaml", []byte("weights: {a-rule: .nan}"), []string{"a-rule"})
	assert.ErrorContains(t, err, "not between")
}

func FuzzReadMakers(f *testing.F) {
	f.Add([]byte(makersText))
	f.Fuzz(func(t *testing.T, data []byte) {
		if ms, err := ReadMakers("m.yaml", data); err == nil {
			for i := range ms.List {
				ms.List[i].Canonical("712345-12")
				ms.List[i].Serial("K230412345")
			}
		}
	})
}

func FuzzReadReference(f *testing.F) {
	f.Add([]byte("part_number,price,currency,date,source\nA,1,EUR,2026-03-01,x\n"))
	f.Fuzz(func(t *testing.T, data []byte) { _, _ = ReadReference("r.csv", data) })
}
