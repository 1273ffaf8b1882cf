package workbook

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"io"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Parts of several blocks, of a whole number of them and of none are read back by
// the standard library, which checks lengths and sums, and their bytes do not depend
// on the number of processors.
func TestPartsOfSeveralBlocks(t *testing.T) {
	text := func(n int) []byte {
		out := make([]byte, 0, n+sha256.Size)
		for sum := sha256.Sum256(nil); len(out) < n; sum = sha256.Sum256(sum[:]) {
			out = append(out, sum[:]...)
			out = append(out, bytes.Repeat([]byte("row"), 30)...)
		}
		return out[:n]
	}
	const after = "</sheetData><autoFilter/></worksheet>"
	sheet := append(text(2*blockSize+77), after...)
	parts := map[string][]byte{"a": nil, "b": text(1), "c": text(blockSize), "d": text(2*blockSize + 1)}
	write := func() []byte {
		var out bytes.Buffer
		a := newArchive(&out, func() error { return nil })
		a.extensions["s"] = "<more/>"
		write := func(w io.Writer, data []byte) {
			for len(data) > 0 { // in pieces that meet no bound of blocks
				n := min(len(data), 300_007)
				_, err := w.Write(data[:n])
				require.NoError(t, err)
				data = data[n:]
			}
		}
		rows := a.begin("s")
		write(rows, sheet[:len(sheet)-len(after)])
		rows.wait()
		for _, name := range []string{"s", "d", "c", "b", "a"} {
			w, err := a.Create(name)
			require.NoError(t, err)
			if name == "s" {
				write(w, []byte("<worksheet><sheetData>"+after))
			} else {
				write(w, parts[name])
			}
		}
		require.NoError(t, a.Close())
		return out.Bytes()
	}
	got := write()
	z, err := zip.NewReader(bytes.NewReader(got), int64(len(got)))
	require.NoError(t, err)
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		data, err := io.ReadAll(r)
		require.NoError(t, err, f.Name)
		want := parts[f.Name]
		if f.Name == "s" {
			want = append(append(bytes.Clone(sheet[:len(sheet)-len(sheetEnd)]), "<more/>"...), sheetEnd...)
		}
		assert.True(t, bytes.Equal(want, data), f.Name)
	}
	assert.Len(t, z.File, 5)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	assert.True(t, bytes.Equal(got, write()), "one processor writes other bytes")
}
