package parse

import (
	"bytes"
	"encoding/binary"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"

	"counterfoil/parse/listing"
	"counterfoil/parse/table"
)

// textOf gives a file as text by the intake's own way: told by its content,
// then decoded by that kind's reader.
func textOf(t testing.TB, data []byte) (text, kind string) {
	kind, _, _ = sniff(data[:min(len(data), sniffSize)])
	if kind == kindTable || kind == kindExtract {
		r, _, err := table.Decode(bytes.NewReader(data), "")
		require.NoError(t, err)
		all, err := io.ReadAll(r)
		require.NoError(t, err)
		return string(all), kind
	}
	in := &intake{}
	all, _ := in.pageText(data, "")
	return string(all), kind
}

// The files of the chardet test set, whose folders name the true encoding;
// what it means is read by golang.org/x/text.
func TestEncodingsOfTheChardetSet(t *testing.T) {
	dir := filepath.Join("..", "..", "shared", "reference", "charsets")
	if _, err := os.Stat(dir); err != nil {
		absent(t, "the reference library is absent (charsets): put it beside the project")
	}
	total, right := 0, 0
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		label := filepath.Base(filepath.Dir(name))
		for _, language := range []string{"-polish", "-russian", "-turkish", "-hebrew", "-sig"} {
			label = strings.TrimSuffix(label, language)
		}
		want, err := trueText(label, data)
		require.NoError(t, err, name)
		got, kind := textOf(t, data)
		total++
		if got == want {
			right++
		} else {
			at := 0
			for at < min(len(got), len(want)) && got[at] == want[at] {
				at++
			}
			t.Logf("%s, read as %q: differs at byte %d: %.60q, should be %.60q", name, kind, at, got[at:], want[at:])
		}
		return nil
	})
	require.NoError(t, err)
	t.Logf("%d of %d", right, total)
	assert.GreaterOrEqual(t, float64(right), 0.95*float64(total))
}

func trueText(label string, data []byte) (string, error) {
	if label == "UTF-16" {
		out, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(data)
		return string(out), err
	}
	e, err := htmlindex.Get(label)
	if err != nil {
		return "", err
	}
	out, err := e.NewDecoder().Bytes(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))
	return strings.TrimPrefix(string(out), "\ufeff"), err
}

func wide(text string, order interface {
	AppendUint16([]byte, uint16) []byte
}) string {
	var b []byte
	for _, u := range utf16.Encode([]rune(text)) {
		b = order.AppendUint16(b, u)
	}
	return string(b)
}

// Pages, tables and JSON in UTF-16, with and without a byte order mark.
func TestUTF16Files(t *testing.T) {
	csv := "listing_id,title,price,currency\n5,Türbo 涡轮,1.00,EUR\n"
	json := `{"title":"Türbo 涡轮","price":"1.00","currency":"EUR"}`
	html := strings.ReplaceAll(page("1"), "Halden turbocharger 712345-0012", "Türbo 涡轮")
	for name, text := range map[string]string{"csv": csv, "json": json, "html": html} {
		for end, order := range map[string]interface {
			AppendUint16([]byte, uint16) []byte
		}{"le": littleEndian, "be": bigEndian} {
			for mark, bom := range map[string]string{"": "", " with mark": "\ufeff"} {
				t.Run(name+" "+end+mark, func(t *testing.T) {
					files(t, map[string]string{"in/x": wide(bom+text, order)})
					b := read(t, Options{}, "in")
					require.Len(t, b.Listings, 1, said(b))
					assert.Equal(t, "Türbo 涡轮", b.Listings[0].Value(listing.Title))
				})
			}
		}
	}
}

func TestMisread(t *testing.T) {
	for text, want := range map[string]string{
		"Lader für Öl, geprüft, größer":             "",
		"PRESTAÇÃO, NÃO, CONDIÇÕES, Ã la":           "",
		"fÃ¼r Ã–l grÃ¶ÃŸer":                         "pairs of characters",
		"one \uFFFD lost":                           "",
		strings.Repeat("\uFFFD", fewLost):           "could not be decoded",
		strings.Repeat("Ã¼", fewTwice-1):            "",
		strings.Repeat("Â©Ã¤", fewTwice) + "\u00ad": "pairs of characters",
	} {
		got := misread([]byte(text))
		if want == "" {
			assert.Empty(t, got, text)
		} else {
			assert.Contains(t, got, want, text)
		}
	}
}

func TestNarrow(t *testing.T) {
	assert.Equal(t, "a,b\n1,2", string(narrow([]byte(wide("a,b\n1,2", bigEndian)))))
	for _, head := range []string{"", "a", "a,b\n", "\x00\x00\x00\x00", "\xff\xfe", "\xff\xd8\xff\xe0\x00\x10", "a\x00\xff\xdf\x01\x00"} {
		assert.NotPanics(t, func() { narrow([]byte(head)) })
	}
	assert.True(t, utf8.Valid(narrow([]byte(wide("ab\U0001F600", littleEndian))[:7])), "a cut surrogate")
}

var (
	littleEndian = binary.LittleEndian
	bigEndian    = binary.BigEndian
)
