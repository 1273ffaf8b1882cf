package photocache

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/photo"
)

// picture draws a picture that differs with n.
func picture(t testing.TB, n int) []byte {
	img := image.NewGray(image.Rect(0, 0, 64, 48))
	for i := range img.Pix {
		img.SetGray(i%64, i/64, color.Gray{Y: uint8(i*i/(n+3) + 40*(i%64)/(n+1))})
	}
	var buf bytes.Buffer
	require.NoError(t, png.Encode(&buf, img))
	return buf.Bytes()
}

func open(t testing.TB, dir string) *Cache {
	c, err := Open(dir)
	require.NoError(t, err)
	return c
}

func shelfFile(dir string) string { return filepath.Join(dir, photoShelf+".lines") }

// The cache answers like photo.Read, whatever state its file is in, and mends
// what was damaged.
func TestPhotosAnswersLikeRead(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "deep", "cache")
	data := [][]byte{picture(t, 1), picture(t, 2), []byte("<html>"), nil}
	check := func(state string) {
		c := open(t, dir)
		read, err := c.Photos()
		require.NoError(t, err)
		for _, d := range data {
			want, wantErr := photo.Read(d)
			got, gotErr := read(d)
			assert.Equal(t, want, got, state)
			assert.Equal(t, wantErr, gotErr, state)
		}
		require.NoError(t, c.Close())
	}
	lines := func() []string {
		content, err := os.ReadFile(shelfFile(dir))
		require.NoError(t, err)
		return strings.SplitAfter(strings.TrimSuffix(string(content), "\n"), "\n")
	}
	check("no cache")
	require.Len(t, lines(), 2, "errors are not cached")
	check("warm")
	assert.Len(t, lines(), 2, "nothing is stored twice")

	whole := strings.Join(lines(), "") + "\n"
	for state, content := range map[string]string{
		"cut short":     whole[:len(whole)-20],
		"a digit wrong": strings.Replace(whole, `"w":64`, `"w":65`, 1),
		"rubbish":       "\x00\xff\n\n" + whole + "no line",
		"empty":         "",
	} {
		require.NoError(t, os.WriteFile(shelfFile(dir), []byte(content), 0o666))
		check(state)
		size := len(lines())
		check(state + ", again")
		assert.Len(t, lines(), size, "%s: mended once", state)
	}
	require.NoError(t, os.RemoveAll(dir))
	check("deleted")
}

func TestManyAtATime(t *testing.T) {
	dir := t.TempDir()
	var wg sync.WaitGroup
	for range 3 { // as several runs would
		c := open(t, dir)
		s, err := c.Shelf("words")
		require.NoError(t, err)
		for i := range 50 {
			wg.Go(func() { s.Put(fmt.Sprintf("%064x", i), i) })
		}
	}
	wg.Wait()
	c := open(t, dir)
	s, err := c.Shelf("words")
	require.NoError(t, err)
	for i := range 50 {
		got := -1
		assert.True(t, s.Get(fmt.Sprintf("%064x", i), &got))
		assert.Equal(t, i, got)
	}
	assert.False(t, s.Get("no hash", new(int)))
}

func FuzzShelf(f *testing.F) {
	f.Add([]byte("9f1c03aa 00 {}\n"))
	f.Fuzz(func(t *testing.T, content []byte) {
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(shelfFile(dir), content, 0o666))
		c := open(t, dir)
		read, err := c.Photos()
		require.NoError(t, err)
		data := picture(t, 5)
		want, _ := photo.Read(data)
		got, err := read(data)
		require.NoError(t, err)
		assert.Equal(t, want, got)
		require.NoError(t, c.Close())
	})
}

func BenchmarkCached(b *testing.B) {
	c := open(b, b.TempDir())
	read, err := c.Photos()
	require.NoError(b, err)
	data := picture(b, 7)
	for b.Loop() {
		if _, err := read(data); err != nil {
			b.Fatal(err)
		}
	}
}
