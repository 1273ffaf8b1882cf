package photocache

import (
	"crypto/sha256"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A drawer gives what was put there or nothing, whatever became of the file.
func TestDrawer(t *testing.T) {
	dir := t.TempDir()
	c := open(t, dir)
	d, err := c.Pages()
	require.NoError(t, err)
	a, b := strings.Repeat("ab", 32), strings.Repeat("cd", 32)
	value := []byte(strings.Repeat("a page ", 100))
	_, ok := d.Get(a)
	assert.False(t, ok, "nothing yet")
	d.Put(a, value)
	got, ok := d.Get(a)
	assert.True(t, ok)
	assert.Equal(t, value, got)
	for _, name := range []string{"", "../../etc/passwd", strings.Repeat("/", 64), a + "0"} {
		d.Put(name, value)
		_, ok := d.Get(name)
		assert.False(t, ok, name)
	}
	d.Put(b, make([]byte, maxPage+1))
	_, ok = d.Get(b)
	assert.False(t, ok, "too large")

	whole, err := os.ReadFile(d.file(a))
	require.NoError(t, err)
	flipped := append([]byte{}, whole...)
	flipped[len(flipped)/2] ^= 1
	for state, content := range map[string][]byte{"cut": whole[:len(whole)-1], "empty": nil, "flipped": flipped, "short": whole[:20]} {
		require.NoError(t, os.WriteFile(d.file(a), content, 0o666))
		_, ok := d.Get(a)
		assert.False(t, ok, state)
	}
	require.NoError(t, os.MkdirAll(filepath.Dir(d.file(b)), 0o777))
	require.NoError(t, os.WriteFile(d.file(b), whole, 0o666))
	_, ok = d.Get(b)
	assert.False(t, ok, "under another name")
	d.Put(a, value)
	_, ok = d.Get(a)
	assert.True(t, ok, "mended")
	left, err := filepath.Glob(filepath.Join(dir, "*", "*", "new-*"))
	require.NoError(t, err)
	assert.Empty(t, left)
	require.NoError(t, c.Close())
}

// Of whatever lies in an entry's file, nothing is given but what was sealed
// under its name.
func FuzzDrawer(f *testing.F) {
	name := strings.Repeat("ab", 32)
	f.Add([]byte("a page"), append(seal(name, []byte("a page")), "a page"...))
	f.Add([]byte("a page"), append(seal(strings.Repeat("ac", 32), []byte("a page")), "a page"...))
	f.Add([]byte(""), seal(name, nil))
	f.Add([]byte(""), []byte("short"))
	f.Fuzz(func(t *testing.T, value, content []byte) {
		d := &Drawer{dir: t.TempDir()}
		require.NoError(t, os.MkdirAll(filepath.Dir(d.file(name)), 0o777))
		require.NoError(t, os.WriteFile(d.file(name), content, 0o666))
		if got, ok := d.Get(name); ok {
			h := sha256.Sum256(append([]byte(name), got...))
			assert.Equal(t, content, append(h[:], got...))
		}
		d.Put(name, value)
		require.NoError(t, d.error())
		got, ok := d.Get(name)
		assert.True(t, ok)
		assert.Equal(t, string(value), string(got))
	})
}
