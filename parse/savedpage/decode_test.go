package savedpage

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/unicode"
)

func TestDecode(t *testing.T) {
	for name, c := range map[string]struct{ doc, header, want, encoding, note string }{
		"plain":                      {"price", "", "price", "utf-8", ""},
		"bom":                        {"\xef\xbb\xbfpreis €", "text/html; charset=iso-8859-1", "preis €", "utf-8", ""},
		"utf-16":                     {"\xff\xfea\x00\xac\x20", "", "a€", "utf-16le", ""},
		"utf-16 big":                 {"\xfe\xff\x00a\x20\xac", "", "a€", "utf-16be", ""},
		"meta":                       {"<meta charset=\"windows-1251\">\xf6\xe5\xed\xe0", "", "<meta charset=\"windows-1251\">цена", "windows-1251", ""},
		"header before meta":         {"<meta charset=\"windows-1252\">\xf6\xe5\xed\xe0", "text/html; charset=windows-1251", "<meta charset=\"windows-1252\">цена", "windows-1251", ""},
		"latin 1 means windows-1252": {"<meta charset=iso-8859-1>\x80 5", "", "<meta charset=iso-8859-1>€ 5", "windows-1252", ""},
		"meta says utf-16":           {"<meta charset=utf-16>é", "", "<meta charset=utf-16>é", "utf-8", ""},
		"declared wrongly":           {"<meta charset=iso-8859-1>Größe", "", "<meta charset=iso-8859-1>Größe", "utf-8", "the page declares windows-1252 but its bytes are UTF-8"},
		"a few broken bytes":         {"<meta charset=utf-8>" + strings.Repeat("Größe ", 500) + "\xff", "", "<meta charset=utf-8>" + strings.Repeat("Größe ", 500) + "\uFFFD", "utf-8", "some bytes are not UTF-8 and were replaced"},
		"empty":                      {"", "", "", "utf-8", ""},
	} {
		text, encoding, note := Decode([]byte(c.doc), c.header)
		assert.Equal(t, c.want, string(text), name)
		assert.Equal(t, c.encoding, encoding, name)
		assert.Equal(t, c.note, note, name)
	}
}

func TestDecodeGuesses(t *testing.T) {
	doc := strings.Repeat("\xcd\xee\xe2\xfb\xe9 \xf2\xf3\xf0\xe1\xee\xea\xee\xec\xef\xf0\xe5\xf1\xf1\xee\xf0, \xee\xf0\xe8\xe3\xe8\xed\xe0\xeb. ", 20)
	text, name, note := Decode([]byte(doc), "")
	assert.Equal(t, "windows-1251", name)
	assert.Contains(t, string(text), "Новый турбокомпрессор, оригинал")
	assert.Contains(t, note, "no encoding is declared")
}

// TestDecodeReference reads the files of the chardet test set, whose folders
// are named after the true encoding, without any header. It counts how often
// the decoded text is the true one.
func TestDecodeReference(t *testing.T) {
	dir := reference(t, "charsets")
	folders, err := os.ReadDir(dir)
	require.NoError(t, err)
	right, all := 0, 0
	for _, f := range folders {
		name, _, _ := strings.Cut(strings.ToLower(f.Name()), "-sig")
		for _, language := range []string{"-polish", "-russian", "-turkish", "-hebrew"} {
			name = strings.TrimSuffix(name, language)
		}
		e := encodingOf(name)
		if name == "utf-16" {
			e = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM)
		}
		files, _ := filepath.Glob(filepath.Join(dir, f.Name(), "*"))
		for _, file := range files {
			doc, err := os.ReadFile(file)
			require.NoError(t, err)
			got, name, _ := Decode(doc, "")
			require.True(t, utf8.Valid(got), file)
			if e == nil {
				continue
			}
			all++
			if want := transform(e, doc); string(want) == string(got) || strings.TrimPrefix(string(want), "\ufeff") == string(got) {
				right++
			} else {
				t.Logf("%s/%s: taken for %s", f.Name(), filepath.Base(file), name)
			}
		}
	}
	t.Logf("%d of %d files decoded rightly", right, all)
	assert.GreaterOrEqual(t, ratio(right, all), 0.9)
}

// The detector works in goroutines and gives equal guesses in the order in
// which they arrive; a page must read the same every time all the same.
func TestGuessIsTheSameEachTime(t *testing.T) {
	doc := []byte("<html><body>" + strings.Repeat("\xb0\xa1\xb3\xaa ", 3) + "</body></html>")
	_, first, _ := Decode(doc, "")
	for range 200 {
		_, name, _ := Decode(doc, "")
		require.Equal(t, first, name)
	}
}
