package bundle

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"io"
	"math/rand/v2"
	"mime/quotedprintable"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// page invents markup that packs about as well as real pages do.
func page(r *rand.Rand, size int) string {
	var s strings.Builder
	for s.Len() < size {
		fmt.Fprintf(&s, "<div class=\"offer-%d\"><a href=\"https://shop.example/item/%d\">Lader %x für Motor</a></div>\n", r.IntN(50), r.IntN(1e9), r.Uint32())
	}
	return s.String()
}

func photo(r *rand.Rand, size int) string {
	b := make([]byte, size)
	for i := range b {
		b[i] = byte(r.Uint32())
	}
	return string(b)
}

func bench(b *testing.B, data []byte) {
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		a, problems := openBytes(data, "x")
		require.NotNil(b, a)
		require.Empty(b, problems)
		problems = a.Each(func(Entry) error { return nil })
		require.Empty(b, problems)
	}
}

func BenchmarkMHTML(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	var buf bytes.Buffer
	buf.WriteString("From: <Saved by x>\r\nMIME-Version: 1.0\r\nContent-Type: multipart/related; boundary=bound\r\n\r\n--bound\r\nContent-Type: text/html\r\nContent-Transfer-Encoding: quoted-printable\r\n\r\n")
	w := quotedprintable.NewWriter(&buf)
	_, _ = io.WriteString(w, page(r, 400<<10))
	_ = w.Close()
	for i := range 8 {
		fmt.Fprintf(&buf, "\r\n--bound\r\nContent-Type: image/jpeg\r\nContent-Location: https://shop.example/%d.jpg\r\nContent-Transfer-Encoding: base64\r\n\r\n", i)
		text := base64.StdEncoding.EncodeToString([]byte(photo(r, 150<<10)))
		for len(text) > 76 {
			buf.WriteString(text[:76] + "\r\n")
			text = text[76:]
		}
		buf.WriteString(text)
	}
	buf.WriteString("\r\n--bound--\r\n")
	bench(b, buf.Bytes())
}

func BenchmarkZip(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	var files []file
	for i := range 20 {
		files = append(files, file{fmt.Sprintf("%d.html", i), page(r, 200<<10)}, file{fmt.Sprintf("%d_files/a.jpg", i), photo(r, 100<<10)})
	}
	bench(b, zipOf(b, files...))
}

func BenchmarkWARC(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	var records []string
	for i := range 20 {
		records = append(records, warcRec("response", fmt.Sprintf("%s%d", item, i), day1, httpOK(page(r, 200<<10))),
			warcRec("response", fmt.Sprintf("%s%d.jpg", item, i), day1, httpOK(photo(r, 100<<10))))
	}
	b.Run("plain", func(b *testing.B) { bench(b, []byte(strings.Join(records, ""))) })
	b.Run("packed", func(b *testing.B) { bench(b, gzipOf(b, records...)) })
}
