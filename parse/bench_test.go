package parse

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"counterfoil/parse/bundle"
)

var smallBundle = bundle.Limits{Total: 4 << 20, Entries: 100}

// shopPage is a page of about size bytes with what fills real ones: a menu,
// state of scripts, styles, similar offers, reviews.
func shopPage(i, size int) string {
	var filler strings.Builder
	for n := 0; filler.Len() < size-len(page("1")); n++ {
		switch n % 4 {
		case 0:
			fmt.Fprintf(&filler, `<nav class="menu"><ul><li class="m%[1]d"><a href="https://parts.example/c/%[1]d" title="Category %[1]d">Category %[1]d</a></li></ul></nav>`, n)
		case 1:
			fmt.Fprintf(&filler, `<script>window.__S%[1]d={"exp_%[1]d":true,"ab":[1,2,3,4,5],"slot":"similar-%[1]d","text":"a few words of text for the state"};</script>`, n)
		case 2:
			fmt.Fprintf(&filler, `<div class="similar tile"><a href="https://parts.example/item/%[1]d"><span class="t">Halden turbocharger %[1]d</span></a><div class="price">EUR %[1]d.00</div></div>`, n)
		case 3:
			fmt.Fprintf(&filler, `<div class="review"><p>Review %d: it arrived in time and was packed well, the buyer says, and goes on for a while.</p></div>`, n)
		}
	}
	return strings.Replace(page(fmt.Sprintf("bench-%d", i)), "</main>", "</main>"+filler.String(), 1)
}

// BenchmarkIntakePages reads 200 pages of 400 KB. x-parse is the time as a
// multiple of what goquery, that is golang.org/x/net/html, takes to parse
// the same bytes on as many processors.
func BenchmarkIntakePages(b *testing.B) {
	const pages, size = 200, 400_000
	content := map[string]string{}
	for i := range pages {
		content[fmt.Sprintf("in/%03d.html", i)] = shopPage(i, size)
	}
	files(b, content)
	in := &intake{}
	names, err := filepath.Glob("in/*.html")
	require.NoError(b, err)
	var plain, whole time.Duration
	b.ReportAllocs()
	for b.Loop() {
		start := time.Now()
		batch, err := Read(context.Background(), []string{"in"}, Options{})
		whole += time.Since(start)
		require.NoError(b, err)
		require.Len(b, batch.Listings, pages)
		batch.Close()
		b.StopTimer()
		start = time.Now()
		_ = in.each(context.Background(), make([]*source, pages), func(i int, _ *source) {
			data, err := os.ReadFile(names[i])
			require.NoError(b, err)
			_, err = html.Parse(bytes.NewReader(data))
			require.NoError(b, err)
		})
		plain += time.Since(start)
		b.StartTimer()
	}
	b.ReportMetric(float64(whole.Nanoseconds())/float64(b.N*pages), "ns/page")
	b.ReportMetric(float64(whole)/float64(plain), "x-parse")
}

// photograph draws a JPEG of 1600 x 1200 pixels.
func photograph(seed int) string {
	img := image.NewYCbCr(image.Rect(0, 0, 1600, 1200), image.YCbCrSubsampleRatio420)
	for y := range 1200 {
		for x := range 1600 {
			img.Y[img.YOffset(x, y)] = uint8(128 + 100*math.Sin(float64(x*(seed+3))/170)*math.Cos(float64(y*(seed+5))/130))
		}
	}
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = 128, color.Gray{Y: 130}.Y
	}
	var buf bytes.Buffer
	_ = jpeg.Encode(&buf, img, &jpeg.Options{Quality: 85})
	return buf.String()
}

// BenchmarkIntakePhotos reads 40 pages with four photos each, every one of its
// own bytes.
func BenchmarkIntakePhotos(b *testing.B) {
	const pages, each = 40, 4
	content := map[string]string{}
	for i := range pages {
		var refs []string
		for k := range each {
			ref := fmt.Sprintf("%02d_files/%d.jpg", i, k)
			refs = append(refs, ref)
			content["in/"+ref] = photograph(i*each + k)
		}
		content[fmt.Sprintf("in/%02d.html", i)] = page(fmt.Sprint(i), refs...)
	}
	files(b, content)
	b.ReportAllocs()
	for b.Loop() {
		batch, err := Read(context.Background(), []string{"in"}, Options{})
		require.NoError(b, err)
		require.Len(b, batch.Listings, pages)
		batch.Close()
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*pages*each), "ns/photo")
}

// BenchmarkIntakeTable reads 100,000 rows of fourteen columns.
func BenchmarkIntakeTable(b *testing.B) {
	const rows = 100_000
	var table strings.Builder
	table.WriteString("listing_id,url,captured_at,title,brand,part_number,condition,price,currency,shipping,quantity_available,seller,seller_feedback,ships_from\n")
	for i := range rows {
		fmt.Fprintf(&table, "L%[1]d,https://parts.example/item/%[1]d,2026-09-01T10:00:00Z,Halden turbocharger HT%[2]d new,Halden,7123%[2]d-0012,new,%[2]d.50,EUR,9.90,3,Seller %[2]d,99.1,Germany\n", i, i%977)
	}
	files(b, map[string]string{"in/t.csv": table.String()})
	b.ReportAllocs()
	b.SetBytes(int64(table.Len()))
	for b.Loop() {
		batch, err := Read(context.Background(), []string{"in"}, Options{})
		require.NoError(b, err)
		require.Len(b, batch.Listings, rows)
		batch.Close()
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*rows), "ns/row")
}
