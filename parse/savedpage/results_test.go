package savedpage

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

func TestResultPageOfItemList(t *testing.T) {
	res := Read([]byte(`<html><head><title>Turbochargers</title><link rel="canonical" href="https://parts.example/turbos"></head><body><h1>Turbochargers</h1>
<script type="application/ld+json">{"@context":"https://schema.org","@type":"ItemList","itemListElement":[
{"@type":"ListItem","position":1,"item":{"@type":"Product","name":"Turbochargers TX-1","url":"/tx-1","offers":{"@type":"Offer","price":"10.00","priceCurrency":"EUR"}}},
{"@type":"ListItem","position":2,"item":{"@type":"Product","name":"Turbochargers TX-2","url":"/tx-2","offers":{"@type":"Offer","price":"20.00","priceCurrency":"EUR"}}}]}</script></body></html>`), "page.html", "", nil, Options{})
	require.Equal(t, KindResults, res.Kind)
	require.Len(t, res.Listings, 2)
	l := res.Listings[1]
	assert.True(t, l.Brief)
	assert.False(t, l.PhotosKnown)
	assert.Equal(t, "Turbochargers TX-2", l.Value(listing.Title))
	assert.Equal(t, "20.00", l.Value(listing.Price))
	assert.Equal(t, "https://parts.example/tx-2", l.Value(listing.URL))
	assert.Equal(t, srcJSON, mustField(t, l, listing.Price).From.Source)
}

func TestResultPageOfBlocks(t *testing.T) {
	var b strings.Builder
	b.WriteString(head + `<h1>Search results for tx</h1><p>Prices from € 5.00</p><div class="list">`)
	for i := 1; i <= 8; i++ {
		fmt.Fprintf(&b, `<div class="offer-row"><a href="/tx-%d"><h3>Turbocharger TX-%d</h3></a><s>€ %d.00</s> <span class="price">€ %d.50</span>
<p>Seller: Shop %d</p><p>Condition: New</p></div>`, i, i, 200+i, 100+i, i)
	}
	b.WriteString(`</div></body></html>`)
	res := Read([]byte(b.String()), "page.html", "", nil, Options{})
	require.Equal(t, KindResults, res.Kind)
	require.Len(t, res.Listings, 8)
	l := res.Listings[2]
	assert.Equal(t, "Turbocharger TX-3", l.Value(listing.Title))
	assert.Equal(t, "103.50", l.Value(listing.Price))
	assert.Equal(t, "203.00", trimZeros(l.Value(listing.PriceWas)))
	assert.Equal(t, "Shop 3", l.Value(listing.Seller))
	assert.Equal(t, listing.New, l.Value(listing.Condition))
	assert.Equal(t, "https://parts.example/tx-3", l.Value(listing.URL))
}

func TestOffersOfSeveralSellers(t *testing.T) {
	res := Read([]byte(head+`<h1>Turbocharger TX-100</h1><script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100","mpn":"TX-100",
"offers":{"@type":"AggregateOffer","lowPrice":"10","highPrice":"20","priceCurrency":"EUR","offers":[
{"@type":"Offer","price":"10","priceCurrency":"EUR","seller":{"name":"A"}},{"@type":"Offer","price":"20","priceCurrency":"EUR","seller":{"name":"B"}}]}}</script></body></html>`), "page.html", "", nil, Options{})
	require.Equal(t, KindResults, res.Kind)
	require.Len(t, res.Listings, 2)
	assert.Equal(t, "B", res.Listings[1].Value(listing.Seller))
	assert.Equal(t, "20", res.Listings[1].Value(listing.Price))
	assert.Equal(t, "TX-100", res.Listings[1].Value(listing.PartNumber))
}

func TestVariants(t *testing.T) {
	l := one(t, head+`<h1>Turbocharger TX-100</h1><script type="application/ld+json">{"@type":"ProductGroup","name":"Turbocharger TX-100","brand":"Acme","hasVariant":[
{"@type":"Product","sku":"L","offers":{"@type":"Offer","url":"https://parts.example/tx-100-l","price":"10","priceCurrency":"EUR"}},
{"@type":"Product","sku":"R","offers":{"@type":"Offer","url":"https://parts.example/tx-100","price":"20","priceCurrency":"EUR"}}]}</script></body></html>`)
	assert.Equal(t, "R", l.Value(listing.SKU), "the variant of the page's own address")
	assert.Equal(t, "20", l.Value(listing.Price))

	l = one(t, head+`<h1>Turbocharger TX-100</h1><script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100","offers":[
{"@type":"Offer","price":"30","priceCurrency":"EUR"},{"@type":"Offer","price":"20","priceCurrency":"EUR"}]}</script></body></html>`)
	assert.Equal(t, "20", l.Value(listing.Price))
	assert.Equal(t, listing.PriceFrom, l.Value(listing.PriceKind))
}

func TestListingsAreBounded(t *testing.T) {
	var b strings.Builder
	b.WriteString("<html><body><ul>")
	for i := range 50 {
		fmt.Fprintf(&b, `<li class="offer"><a href="/%d">Turbo number %d</a> <b class="price">%d EUR</b></li>`, i, i, i+10)
	}
	res := Read([]byte(b.String()), "page.html", "", nil, Options{MaxListings: 20})
	assert.Len(t, res.Listings, 20)
	require.Len(t, res.Problems, 1)
	assert.Contains(t, res.Problems[0].Reason, "more than 20 offers")
}
