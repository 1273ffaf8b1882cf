package history

import (
	"bytes"
	"context"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/rules"
)

func TestReadSerials(t *testing.T) {
	cases, err := ReadSerials("l.csv", []byte("\xef\xbb\xbf# of the maker\nSerial_Number, basis\nab-47315,\"list, 2026\"\n S/N QX 99 12,\n"), rules.ConfirmedCopy, day("2026-09-01"))
	require.NoError(t, err)
	assert.Equal(t, []rules.Case{
		{Serial: "AB47315", Word: rules.ConfirmedCopy, Date: day("2026-09-01"), Basis: "list, 2026"},
		{Serial: "QX9912", Word: rules.ConfirmedCopy, Date: day("2026-09-01")},
	}, cases)

	for text, want := range map[string]string{
		"":                                         "l.csv:1:1: the file is empty",
		"serial\nAB47315\n":                        `unknown column "serial"; the columns are serial_number, date, basis`,
		"serial_number,serial_number\nA,B\n":       "stands here twice",
		"date\n2026-01-01\n":                       `no column "serial_number"`,
		"serial_number\nN/A\n":                     "l.csv:2:1: \"N/A\" is no serial",
		"serial_number\nAB47315\nab 47315\n":       "l.csv:3:1: \"ab 47315\" stands in line 2 already",
		"serial_number,date\nAB47315,1.9.26\n":     "l.csv:2:9: \"1.9.26\" is not a date",
		"serial_number,date\nAB47315,1969-07-01\n": "l.csv:2:9: \"1969-07-01\" is before 1970",
		"serial_number,date\nAB47315\n":            "l.csv:2",
		"serial_number\n\"AB47315\n":               "l.csv:",
	} {
		_, err := ReadSerials("l.csv", []byte(text), rules.ConfirmedCopy, day("2026-09-01"))
		assert.ErrorContains(t, err, want, "%q", text)
	}
}

// What is given out is taken in again as it was.
func TestSerialsGoRound(t *testing.T) {
	b := write(t, filepath.Join(t.TempDir(), "casebook"))
	in := []rules.Case{{Serial: "AB47315", Word: rules.ConfirmedGenuine, Date: day("2026-09-01"), Basis: "=1+1, \"so\""},
		{Serial: "QX9912", Word: rules.ConfirmedGenuine, Date: day("2026-09-02")}}
	require.NoError(t, b.Settle(append(in, rules.Case{Serial: "ZZ8812", Word: rules.ConfirmedCopy, Date: day("2026-09-02")})))
	var out bytes.Buffer
	require.NoError(t, b.WriteSerials(&out, rules.ConfirmedGenuine))
	again, err := ReadSerials("l.csv", out.Bytes(), rules.ConfirmedGenuine, day("2000-01-01"))
	require.NoError(t, err)
	assert.Equal(t, in, again)
	require.NoError(t, b.Settle(in[:1]))
	cases, err := b.Cases()
	require.NoError(t, err)
	assert.Len(t, cases, 3, "an outcome takes the place of the one before")
}

func TestStopped(t *testing.T) {
	file := filepath.Join(t.TempDir(), "casebook")
	ctx, stop := context.WithCancel(context.Background())
	b, err := Write(ctx, file, testOptions)
	require.NoError(t, err)
	batch := captured("a.csv", offer("a1", "Alfa", "900.00"))
	res, err := rules.Audit(context.Background(), batch, rules.Options{AsOf: day("2026-09-01")})
	require.NoError(t, err)
	stop()
	require.ErrorIs(t, b.Record(&Run{Captures: capturesOf(batch)}, res), context.Canceled)
	require.NoError(t, b.Close())
	assert.Empty(t, dump(t, file))
}

// Whatever a list holds, it is taken whole or refused, and what was taken comes
// back the same.
func FuzzReadSerials(f *testing.F) {
	for _, s := range []string{"serial_number,date,basis\nAB47315,2026-09-01,list\n", "\xef\xbb\xbfserial_number\n\"A\"\"B47315\"\n",
		"# c\nserial_number\nab-47315\nAB 47316\r\n", "serial_number\n\xff\xfe47315A\n", "serial_number,basis\nAB47315,\"a\nb\"\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		cases, err := ReadSerials("l.csv", data, rules.ConfirmedCopy, day("2026-09-01"))
		if err != nil {
			assert.Empty(t, cases)
			return
		}
		seen := map[string]bool{}
		for _, c := range cases {
			canonical, err := UsableSerial(c.Serial)
			require.NoError(t, err)
			assert.Equal(t, c.Serial, canonical)
			assert.False(t, seen[c.Serial])
			seen[c.Serial] = true
			assert.LessOrEqual(t, len(c.Basis), BasisLimit)
		}
	})
}
