package bundle

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// file is a member of an archive made for a test.
type file struct {
	name, data string
}

func zipOf(t testing.TB, files ...file) []byte {
	t.Helper()
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	for _, f := range files {
		m, err := w.Create(f.name)
		require.NoError(t, err)
		_, err = m.Write([]byte(f.data))
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return buf.Bytes()
}

func gzipOf(t testing.TB, texts ...string) []byte {
	t.Helper()
	var buf bytes.Buffer
	for _, text := range texts {
		w := gzip.NewWriter(&buf)
		_, err := w.Write([]byte(text))
		require.NoError(t, err)
		require.NoError(t, w.Close())
	}
	return buf.Bytes()
}

func TestKind(t *testing.T) {
	long := file{"docProps/app.xml", string(bytes.Repeat([]byte("<x/>"), 9000))}
	for _, tc := range []struct {
		name   string
		data   []byte
		head   string
		really string
	}{
		{"zip", zipOf(t, file{"a.html", "<html>"}), KindZip, KindZip},
		{"empty zip", zipOf(t), KindZip, KindZip},
		{"workbook", zipOf(t, file{"[Content_Types].xml", "<Types/>"}, file{"_rels/.rels", "<x/>"}, file{"xl/workbook.xml", "<x/>"}), KindOffice, KindOffice},
		{"workbook, types last", zipOf(t, long, file{"xl/workbook.xml", "<x/>"}, file{"[Content_Types].xml", "<Types/>"}), KindOffice, KindOffice},
		{"spreadsheet", zipOf(t, file{"mimetype", "application/vnd.oasis.opendocument.spreadsheet"}, file{"content.xml", "<x/>"}), KindOffice, KindOffice},
		{"web archive in a zip", zipOf(t, file{"archive/data.warc.gz", "x"}, file{"datapackage.json", "{}"}), KindWACZ, KindWACZ},
		{"web archive", []byte("WARC/1.0\r\nWARC-Type: warcinfo\r\n\r\n"), KindWARC, KindWARC},
		{"packed web archive", gzipOf(t, "WARC/1.1\r\nWARC-Type: warcinfo\r\n\r\n"), KindWARC, KindWARC},
		{"packed table", gzipOf(t, "title,price\n"), KindGzip, KindGzip},
		{"page by one browser", []byte("From: <Saved by Blink>\r\nSubject: x\r\n\r\n"), KindMHTML, KindMHTML},
		{"page by another", []byte("\xef\xbb\xbfDate: x\nMIME-Version: 1.0\nContent-Type: multipart/related; boundary=a\n\n--a"), KindMHTML, KindMHTML},
		{"page of one part", []byte("MIME-Version: 1.0\nContent-Type: text/html\n\n<html>"), KindMHTML, KindMHTML},
		{"page", []byte("<!doctype html>\nMIME-Version: 1.0\nContent-Type: multipart/related"), "", ""},
		{"table", []byte("title,note\nx,MIME-Version: 1.0 Content-Type: multipart/related\n"), "", ""},
		{"short", []byte("PK"), "", ""},
		{"empty", nil, "", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			assert.Equal(t, tc.head, Kind(tc.data[:min(len(tc.data), headSize)]))
			assert.Equal(t, tc.really, KindAt(bytes.NewReader(tc.data), int64(len(tc.data))))
		})
	}
}

func TestOpenSaysWhatIsNoContainer(t *testing.T) {
	a, problems := openBytes([]byte("title,price\n"), "parts.csv")
	assert.Nil(t, a)
	assert.Equal(t, []string{"no container of a known kind"}, reasons(problems))

	a, problems = openBytes(zipOf(t, file{"[Content_Types].xml", ""}, file{"xl/workbook.xml", ""}), "parts.xlsx")
	assert.Nil(t, a)
	assert.Equal(t, []string{"an office file, which is no container of captures"}, reasons(problems))
}
