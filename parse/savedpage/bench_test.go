//go:build unix

package savedpage

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/PuerkitoBio/goquery"
	"github.com/stretchr/testify/require"
)

// shopPage makes a product page of about 400 KB: navigation, item, tables,
// description, scripts with state, 60 tiles of other items.
func shopPage() []byte {
	var b strings.Builder
	b.WriteString(`<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Turbocharger 54359-88000 | Parts Shop</title>
<link rel="canonical" href="https://parts.example/turbo-54359-88000"><meta property="og:title" content="Turbocharger 54359-88000">
<script type="application/ld+json">{"@context":"https://schema.org","@type":"Product","name":"Turbocharger 54359-88000","sku":"T-881","mpn":"54359-88000",
"brand":{"@type":"Brand","name":"Acme Turbo"},"offers":{"@type":"Offer","price":"412.50","priceCurrency":"EUR","availability":"https://schema.org/InStock"}}</script>`)
	for i := 0; i < 40; i++ {
		fmt.Fprintf(&b, "<script>window.state%d = {\"modules\":[%s1]};</script>\n", i, strings.Repeat(`"fragment/of/a/module",`, 250))
	}
	b.WriteString(`</head><body class="product-page"><header class="site-header"><nav><ul class="menu">`)
	for i := 0; i < 400; i++ {
		fmt.Fprintf(&b, `<li class="menu-item menu-item-%d"><a class="menu-link" href="/category/%d">Category number %d</a></li>`, i, i, i)
	}
	b.WriteString(`</ul></nav></header><main><div class="product-detail"><h1 class="product-title">Turbocharger 54359-88000</h1>
<div class="price-box"><span class="price">€ 412,50</span> <s class="old">€ 520,00</s></div><button class="add-to-cart">Add to cart</button><table class="specs">`)
	for i := 0; i < 250; i++ {
		fmt.Fprintf(&b, `<tr class="row"><th class="label">Property %d</th><td class="value">some value of %d mm</td></tr>`, i, i)
	}
	b.WriteString(`</table><div class="description">`)
	for i := 0; i < 400; i++ {
		b.WriteString(`<p>Complete unit with actuator, balanced and inspected, for engines with <b>two litres</b>, delivered with <i>gaskets</i> and a sheet of measurements.</p>`)
	}
	b.WriteString(`</div></div><section class="similar-items"><h2>Similar items</h2><ul class="grid">`)
	for i := 0; i < 60; i++ {
		fmt.Fprintf(&b, `<li class="tile"><a href="/turbo-%d"><img class="tile-image" src="/img/%d.jpg" alt="Turbo %d" width="200" height="200"><span class="tile-title">Turbocharger %d</span></a><div class="tile-price"><span class="price">€ %d,00</span></div><button class="tile-buy">Add to cart</button></li>`, i, i, i, i, 200+i)
	}
	b.WriteString(`</ul></section></main><footer>`)
	for i := 0; i < 200; i++ {
		fmt.Fprintf(&b, `<a class="footer-link" href="/info/%d">Information %d</a> `, i, i)
	}
	b.WriteString(`</footer></body></html>`)
	return []byte(b.String())
}

// pageSets are the pages that are measured, as UTF-8.
func pageSets(b *testing.B) map[string][][]byte {
	b.Helper()
	sets := map[string][][]byte{"made": {shopPage()}}
	files, err := filepath.Glob(filepath.Join(reference(b, "pages"), "html", "*.gz"))
	require.NoError(b, err)
	for _, f := range files {
		doc, _, _ := Decode(readGzip(b, f), "")
		sets["reference"] = append(sets["reference"], doc)
	}
	return sets
}

// BenchmarkRead reads each page and parses it with goquery, in turns. x-parse
// is the processor time of reading, its own parse included, as a multiple of
// that of goquery for the same bytes; the garbage collector's part is in both.
func BenchmarkRead(b *testing.B) {
	for name, docs := range pageSets(b) {
		b.Run(name, func(b *testing.B) {
			size := 0
			for _, doc := range docs {
				size += len(doc)
			}
			b.SetBytes(int64(size))
			var read, plain time.Duration
			for b.Loop() {
				for _, doc := range docs {
					start := processorTime(b)
					Read(doc, "page.html", "", nil, Options{})
					between := processorTime(b)
					_, err := goquery.NewDocumentFromReader(bytes.NewReader(doc))
					plain += processorTime(b) - between
					read += between - start
					require.NoError(b, err)
				}
			}
			b.ReportMetric(float64(read)/float64(plain), "x-parse")
			b.ReportMetric(float64(read.Nanoseconds())/float64(b.N*len(docs)), "cpu-ns/page")
		})
	}
}

// processorTime is what the process has used of all processors.
func processorTime(b *testing.B) time.Duration {
	var u syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkReadOnly is for profiles, and for what reading allocates.
func BenchmarkReadOnly(b *testing.B) {
	for name, docs := range pageSets(b) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				for _, doc := range docs {
					Read(doc, "page.html", "", nil, Options{})
				}
			}
		})
	}
}
