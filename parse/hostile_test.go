package parse

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/bundle"
	"counterfoil/parse/listing"
)

// upTo repeats s to about n bytes.
func upTo(s string, n int) string { return strings.Repeat(s, n/len(s)) }

// numbered writes n lines of a pattern with their numbers.
func numbered(pattern string, n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, pattern, i)
	}
	return b.String()
}

// Markup and tables that are made to cost time or memory: each is read or
// refused within a moment, with a line that says so, and the good page beside
// it is read.
func TestHostileText(t *testing.T) {
	const (
		top = "<!DOCTYPE html><html><head><title>T</title></head><body><h1>Turbo</h1>EUR 5.00 "
		ld  = top + `<script type="application/ld+json">`
	)
	for name, c := range map[string]struct{ text, reason string }{
		"a million elements deep":    {top + upTo("<div>", 5_000_000), "nest too deep"},
		"formatting, deep":           {top + upTo("<b>", 1_000_000), "nest too deep"},
		"tables, deep":               {top + upTo("<table><tr><td>", 1_000_000), "nest too deep"},
		"foreign elements, deep":     {top + "<svg>" + upTo("<g>", 1_000_000), "nest too deep"},
		"templates, deep":            {top + upTo("<template>", 1_000_000), "nest too deep"},
		"formatting never closed":    {top + "<p>" + numbered("<b a=%d>", 400) + upTo("<p>x", 400_000), "unfold to more than a million elements"},
		"the same inside a comment":  {top + "<!--<script>--><p>" + numbered("<i a=%d>", 400) + upTo("<p>x", 400_000), "unfold to more than a million elements"},
		"many elements":              {top + upTo("<br>", 2_000_000), "more than 400,000 elements"},
		"many links":                 {top + upTo("<a href=x>y", 1_000_000), "no listing found"},
		"many attributes":            {top + "<div " + numbered("a%d=1 ", 100_000) + ">", "no listing found"},
		"many quoted attributes":     {top + "<a" + upTo(" b='c'", 5_000_000) + ">", "no listing found"},
		"drawings never closed":      {top + upTo("<svg/>", 5_000_000), "no listing found"},
		"links never closed":         {top + upTo("<a href='", 2_000_000), "no listing found"},
		"an attribute of 40 MB":      {top + `<img src="data:image/png;base64,` + upTo("AAAA", 40_000_000) + `">`, "no listing found"},
		"a tag that never ends":      {top + "<div a='" + upTo("x", 5_000_000), "no listing found"},
		"entities in the doctype":    {`<!DOCTYPE html [<!ENTITY a "` + upTo("&a;", 1_000_000) + `">]>` + top + "&a;", "no listing found"},
		"an entity without end":      {top + "&" + upTo("a", 5_000_000), "no listing found"},
		"numeric entities":           {top + upTo("&#99999999999;&#x0;&#xD800;&notit;", 1_000_000), "no listing found"},
		"endless JSON-LD":            {ld + `{"@type":"Product","name":"` + upTo("x", 20_000_000), "too large"},
		"JSON-LD, deep":              {ld + upTo(`{"a":[`, 1_000_000), "structured data"},
		"JSON-LD of many products":   {ld + "[" + upTo(`{"@type":"Product","name":"x"},`, 10_000_000), "too large"},
		"items that name each other": {top + numbered(`<div itemscope itemtype="https://schema.org/Product" itemref="x%[1]d"><i id=x%[1]d itemprop=name itemscope itemref=x0></i></div>`, 5000), ""},
		"digits":                     {top + "<p>" + upTo("1", 5_000_000), "no listing found"},
		"sums":                       {top + upTo("EUR 1.00 ", 5_000_000), "no listing found"},
		"a quote never closed":       {"title,price\n\"" + upTo("x\n", 1_000_000), "a quote is opened and not closed"},
		"stray quotes":               {"title,price\n" + upTo("\"x\n", 1_000_000), "listed"},
		"a million columns":          {upTo("a,", 2_000_000) + "\n1", "more than one megabyte"},
		"10,000 columns":             {upTo("title,", 60_000) + "\n1", "more than 4096 cells"},
		"a line without end":         {"title,price\n" + upTo("x", 20_000_000), "a line of more than one megabyte"},
		"braces":                     {upTo("{", 20_000_000), "not a JSON object"},
		"brackets":                   {upTo("[{\"a\":", 2_000_000), "exceeded max depth"},
		"an array without end":       {"[{" + upTo(`"title":"x",`, 20_000_000), "more than eight megabytes"},
		"objects without a field":    {upTo("{}\n", 200_000), "further ones like the 1000 listed"},
	} {
		t.Run(name, func(t *testing.T) {
			files(t, map[string]string{"in/good.html": page("1"), "in/x": c.text})
			b := read(t, Options{}, "in")
			assert.Equal(t, "in/good.html", b.Listings[0].File)
			assert.Contains(t, said(b), c.reason)
			assert.LessOrEqual(t, len(b.Problems), 2100)
			for _, p := range b.Problems {
				assert.LessOrEqual(t, len(p.Raw), 4*(listing.RawLimit+1))
			}
		})
	}
}

// pngClaiming is a PNG whose header states a size that its data does not have.
func pngClaiming(w, h uint32) string {
	head := append([]byte("IHDR"), binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)...)
	head = append(head, 8, 2, 0, 0, 0)
	out := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), head...)
	return string(binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(head)))
}

func TestHostilePictures(t *testing.T) {
	for name, c := range map[string]struct{ data, reason string }{
		"a huge size":     {pngClaiming(100_000, 100_000), "the photo was not read"},
		"the utmost size": {pngClaiming(1<<31-1, 1<<31-1), "the photo was not read"},
		"no size":         {pngClaiming(0, 0), "the photo was not read"},
		"a head alone":    {"\xff\xd8\xff\xe0", "the photo was not read"},
		"no picture":      {"<html>", "the photo was not read"},
	} {
		t.Run(name, func(t *testing.T) {
			files(t, map[string]string{"in/a.html": page("1", "a_files/x.png"), "in/a_files/x.png": c.data,
				"in/t.csv": "listing_id,title,price,currency,photo_files\n5,T,1.00,EUR,a_files/x.png\n"})
			b := read(t, Options{}, "in")
			require.Len(t, b.Listings, 2)
			assert.Contains(t, said(b), c.reason)
			assert.Contains(t, said(b), "in/t.csv: row 2, column photo_files")
			for _, l := range b.Listings {
				for _, p := range l.Photos {
					assert.False(t, p.Printed, "no fingerprint of what cannot be read")
				}
			}
		})
	}
}

func gzipped(t testing.TB, text string) string {
	t.Helper()
	var buf bytes.Buffer
	z := gzip.NewWriter(&buf)
	_, err := z.Write([]byte(text))
	require.NoError(t, err)
	require.NoError(t, z.Close())
	return buf.String()
}

func TestHostileArchives(t *testing.T) {
	inner := string(zipOf(t, map[string]string{"a.html": page("deep")}))
	once := string(zipOf(t, map[string]string{"inner.zip": inner}))
	twice := string(zipOf(t, map[string]string{"once.zip": once}))
	for name, c := range map[string]struct {
		file, data string
		listings   int
		reason     string
	}{
		"zip bomb":              {"x.zip", string(zipOf(t, map[string]string{"a.html": page("z"), "b.html": upTo(" ", 40_000_000)})), 2, "unpacks to more than"},
		"gzip bomb":             {"x.csv.gz", gzipped(t, "title,price\n"+upTo("T,1\n", 40_000_000)), 1, "unpacks to more than"},
		"gzip in gzip":          {"x.gz", gzipped(t, gzipped(t, page("g"))), 2, ""},
		"zip in zip":            {"x.zip", once, 2, ""},
		"zip in zip in zip":     {"x.zip", twice, 1, "not opened"},
		"names that climb":      {"x.zip", string(zipOf(t, map[string]string{"../../a.html": page("c"), "/b.html": page("d"), "ok.html": page("e")})), 2, "x.zip"},
		"a picture outside":     {"x.zip", string(zipOf(t, map[string]string{"p/a.html": page("c", "../../x.png", "../out.png")})), 2, "picture"},
		"many entries":          {"x.zip", string(zipOf(t, many(3000))), 1, "is empty"},
		"an archive of rubbish": {"x.zip", string(zipOf(t, map[string]string{"a": "\x00\x01\x02", "b": "%PDF-1.4"})), 1, "a PDF"},
	} {
		t.Run(name, func(t *testing.T) {
			files(t, map[string]string{"in/good.html": page("1"), "in/" + c.file: c.data, "out.png": string(picture(1))})
			b := read(t, Options{}, "in")
			assert.Len(t, b.Listings, c.listings, said(b))
			if c.reason == "" {
				assert.Empty(t, said(b))
			}
			assert.Contains(t, said(b), c.reason)
		})
	}
}

func many(n int) map[string]string {
	m := map[string]string{}
	for i := range n {
		m[fmt.Sprintf("%d.html", i)] = ""
	}
	return m
}

// The bounds of a container hold for the intake too.
func TestArchiveLimits(t *testing.T) {
	data := zipOf(t, map[string]string{"a.html": page("a"), "b.html": page("b"), "c.html": page("c")})
	files(t, map[string]string{"x.zip": string(data)})
	b := read(t, Options{limits: limits{bundle: bundle.Limits{Entries: 2}}}, "x.zip")
	assert.Len(t, b.Listings, 2)
	assert.NotEmpty(t, said(b))
	b = read(t, Options{limits: limits{bundle: bundle.Limits{Entry: 100}}}, "x.zip")
	assert.Empty(t, b.Listings)
	assert.Contains(t, said(b), "larger than the limit")
}

// Every kind of file, cut at many places: no panic, and never without a word
// when nothing was read.
func TestCutFiles(t *testing.T) {
	root := filepath.Join("..", "fixtures")
	whole := map[string]string{
		"page":  page("1", "data:image/png;base64,"+base64Of(picture(1))),
		"table": "\xef\xbb\xbflisting_id;title;price;currency\r\n1;\"Turbo; new\";1,00;EUR\r\n",
		"json":  `[{"listing_id":"1","title":"T","price":"1.00","currency":"EUR"}]`,
		"zip":   string(zipOf(t, map[string]string{"a.html": page("1", "a_files/1.png"), "a_files/1.png": string(picture(1))})),
		"gzip":  gzipped(t, page("1")),
		"utf16": wide("\ufefftitle,price,currency\nT,1.00,EUR\n", littleEndian),
		"mhtml": "MIME-Version: 1.0\r\nSnapshot-Content-Location: https://parts.example/1\r\nContent-Type: multipart/related; type=\"text/html\"; boundary=\"b\"\r\n\r\n--b\r\nContent-Type: text/html\r\nContent-Location: https://parts.example/1\r\n\r\n" + page("1") + "\r\n--b--\r\n",
		"warc":  "WARC/1.0\r\nWARC-Type: resource\r\nWARC-Target-URI: https://parts.example/1\r\nContent-Type: text/html\r\nContent-Length: " + fmt.Sprint(len(page("1"))) + "\r\n\r\n" + page("1") + "\r\n\r\n",
	}
	demo, err := filepath.Glob(filepath.Join(root, "demo", "pages", "*", "*.html"))
	require.NoError(t, err)
	require.NotEmpty(t, demo)
	data, err := os.ReadFile(demo[0])
	require.NoError(t, err)
	whole["demo page"] = string(data)
	for name, text := range whole {
		t.Run(name, func(t *testing.T) {
			content := map[string]string{}
			const cuts = 25
			for i := range cuts {
				content[fmt.Sprintf("in/%02d", i)] = text[:len(text)*i/cuts]
			}
			files(t, content)
			b := read(t, Options{}, "in")
			spoken := map[string]bool{}
			for _, l := range b.Listings {
				spoken[l.File] = true
				for _, a := range l.Also {
					spoken[a.File] = true
				}
			}
			for _, p := range b.Problems {
				spoken[p.File] = true
			}
			for file := range content {
				assert.True(t, spoken[file], "%s: neither a listing nor a problem", file)
			}
			files(t, map[string]string{"in/whole": text})
			assert.Len(t, read(t, Options{}, "in").Listings, 1, "the whole file")
		})
	}
}
