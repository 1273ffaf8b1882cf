package bundle

import (
	"bytes"
	"compress/gzip"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestGzip(t *testing.T) {
	text := strings.Repeat("title,price\n", 20)
	whole := gzipOf(t, text)
	badSum := bytes.Clone(whole)
	badSum[len(badSum)-7] ^= 0xff
	for _, tc := range []struct {
		name  string
		data  []byte
		want  string
		doubt string
	}{
		{"one member", whole, text, ""},
		{"two members", gzipOf(t, text, "more"), text + "more", ""},
		{"cut off", whole[:len(whole)-8], text, "it ends early; what comes before is kept"},
		{"wrong checksum", badSum, text, "its checksum is wrong"},
		{"rubbish behind", append(bytes.Clone(whole), "rubbish of some length"...), text, "bytes that are not gzip stand behind its end"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			a, problems := openBytes(tc.data, "exports/parts.csv.gz")
			require.NotNil(t, a)
			assert.Empty(t, problems)
			assert.Equal(t, []string{"parts.csv"}, names(a))
			e, err := a.Read("parts.csv")
			require.NoError(t, err)
			assert.Equal(t, tc.want, string(e.Data))
			assert.Equal(t, tc.doubt, e.Doubt)
			r, err := a.Stream("parts.csv")
			require.NoError(t, err)
			data, err := io.ReadAll(r)
			assert.Equal(t, tc.want, string(data))
			if tc.doubt == "" {
				assert.NoError(t, err)
			} else {
				require.Error(t, err)
				assert.Equal(t, "exports/parts.csv.gz (parts.csv): "+tc.doubt, err.Error())
			}
		})
	}
	a, problems := openBytes(whole[:5], "x.gz")
	assert.Nil(t, a)
	assert.Equal(t, []string{"its gzip header is damaged or cut off"}, reasons(problems))
}

func TestGzipName(t *testing.T) {
	for inside, want := range map[string]string{"": "x", "parts.csv": "parts.csv", "../../a.html": "a.html", `C:\a.html`: "a.html", "..": "x", "/": "x"} {
		var buf bytes.Buffer
		w := gzip.NewWriter(&buf)
		w.Name = inside
		require.NoError(t, w.Close())
		a, _ := openBytes(buf.Bytes(), "dir/x.gz")
		require.NotNil(t, a, inside)
		assert.Equal(t, []string{want}, names(a), inside)
	}
	assert.Equal(t, "a.tar", plainName("b/a.tgz"))
	assert.Equal(t, "a", plainName("a"))
}

func TestGzipBomb(t *testing.T) {
	data := gzipOf(t, string(make([]byte, 64<<20)))
	a, _ := openBytes(data, "bomb.gz")
	require.NotNil(t, a)
	_, err := a.Read("bomb")
	require.Error(t, err)
	assert.Contains(t, err.Error(), "unpacks to more than")
}
