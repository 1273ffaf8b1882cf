package parse

import (
	"context"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

func seeds(t testing.TB) [][]byte {
	return [][]byte{nil, []byte(" "), []byte(page("1", "a_files/1.png", "../x.png")), []byte("title;price;currency\nT;1,00;EUR\n"),
		[]byte(`[{"title":"T","price":"1.00","currency":"EUR"}]`), []byte(`{"listing":"a","file":"b","sha256":"","fields":{"price":{"value":"1.00"}},"photos":[]}`),
		picture(1), zipOf(t, map[string]string{"a.html": page("2")}), []byte(gzipped(t, page("3"))), []byte(wide("\ufefftitle,price\nT,1\n", bigEndian)),
		[]byte("MIME-Version: 1.0\nContent-Type: multipart/related; boundary=b\n\n--b\nContent-Type: text/html\n\n" + page("4") + "\n--b--\n"),
		[]byte("%PDF-1.4"), []byte("\x00\x01\x02"), []byte("<?xml version='1.0'?><a/>"), []byte("[title],price\n1,2\n")}
}

// A kind that is not read has a reason, and one that is has none.
func FuzzSniff(f *testing.F) {
	for _, s := range seeds(f) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		kind, reason, hint := sniff(data[:min(len(data), sniffSize)])
		assert.Equal(t, kind == kindRefused, reason != "")
		assert.Equal(t, kind == kindRefused, hint != "")
		_, _ = bounded(data)
		text, note := (&intake{opt: Options{Encoding: "gb18030"}}).pageText(data, "")
		assert.True(t, utf8.Valid(text), note)
	})
}

// A reference becomes a clean path below the page's folder or nothing.
func FuzzLocalPath(f *testing.F) {
	for _, s := range []string{"a.png", "./a_files/b%20c.png", "../x", `..\x`, "a/../../b", "%2e%2e/x", "C:\\x", "file:///x", "//h/x", "/x", "a?b#c", "\x00", "data:,x", "a:b", "..%2f..%2fx"} {
		f.Add(s)
	}
	dir := f.TempDir()
	require.NoError(f, os.WriteFile(filepath.Join(dir, "secret"), []byte("secret"), 0o644))
	require.NoError(f, os.MkdirAll(filepath.Join(dir, "in", "a_files"), 0o755))
	require.NoError(f, os.WriteFile(filepath.Join(dir, "in", "a.html"), []byte(page("1")), 0o644))
	require.NoError(f, os.WriteFile(filepath.Join(dir, "in", "a_files", "x"), []byte("inside"), 0o644))
	tr, err := walk(context.Background(), []string{dir})
	require.NoError(f, err)
	f.Cleanup(tr.close)
	in := &intake{opt: Options{limits: limits{}.withDefaults()}, album: newAlbum(nil)}
	var at *source
	for _, s := range tr.sources {
		if path.Base(s.name) == "a.html" {
			at = s
		}
	}
	f.Fuzz(func(t *testing.T, ref string) {
		if rel, err := localPath(ref); err == nil {
			assert.True(t, filepath.IsLocal(filepath.FromSlash(rel)), rel)
			assert.Equal(t, path.Clean(rel), rel)
			assert.NotContains(t, rel, "\x00")
		}
		if res, err := in.folderOf(at, true).Open(ref); err == nil {
			assert.NotEqual(t, "secret", string(res.Data), ref)
			assert.True(t, strings.HasPrefix(res.File, filepath.ToSlash(filepath.Join(dir, "in"))+"/"), res.File)
		}
	})
}

// One file of any bytes under any name: no panic, no silence, and what comes
// out survives its own line form.
func FuzzIntake(f *testing.F) {
	for i, s := range seeds(f) {
		f.Add([]string{"a.html", "b.csv", "c", "d.zip", "e_files"}[i%5], s)
	}
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		name = strings.Map(func(r rune) rune {
			if r == '/' || r == 0 || r == '\\' {
				return '_'
			}
			return r
		}, name)
		if name == "" || name == "." || name == ".." || len(name) > 100 || len(data) > 1<<18 {
			return
		}
		dir := t.TempDir()
		if os.WriteFile(filepath.Join(dir, name), data, 0o644) != nil {
			return // a name that the file system does not take
		}
		b, err := Read(context.Background(), []string{dir}, Options{Jobs: 1, Explain: true,
			limits: limits{bundle: smallBundle}})
		require.NoError(t, err)
		defer b.Close()
		assert.NotZero(t, len(b.Listings)+len(b.Problems), "neither a listing nor a problem")
		keys := map[string]bool{}
		for _, l := range b.Listings {
			assert.False(t, keys[l.Key], "key %q twice", l.Key)
			keys[l.Key] = true
			for _, p := range l.Photos {
				assert.NotEmpty(t, p.SHA256)
			}
			for _, v := range l.Fields() {
				assert.NotEqual(t, listing.NoField, v.Name)
			}
		}
		again, err := Read(context.Background(), []string{dir}, Options{Jobs: 2, limits: limits{bundle: smallBundle}})
		require.NoError(t, err)
		defer again.Close()
		assert.Equal(t, dump(t, b), dump(t, again))
	})
}
