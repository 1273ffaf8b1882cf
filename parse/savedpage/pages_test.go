package savedpage

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

const selectors = `sites:
  - name: parts shop
    hosts: [parts.example]
    fields:
      price: b.net
      sku: "div.item @data-no"
      description: div.about
  - name: market
    where: body.market
    item: div.offer
    fields:
      title: h3
      price: em
`

func TestSelectorsWin(t *testing.T) {
	pages, err := ReadPages("pages.yaml", []byte(selectors))
	require.NoError(t, err)
	require.Len(t, pages, 2)
	doc := head + `<script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100","sku":"A","offers":{"price":"1.00","priceCurrency":"EUR"}}</script>
<div class="item" data-no="B-7"><h1>Turbocharger TX-100</h1><b class="net">412,50 €</b><div class="about"><p>Rebuilt by <b>Acme</b>.</p><p>Two<br>years.</p></div></div></body></html>`
	res := Read([]byte(doc), "page.html", "", nil, Options{Pages: pages})
	require.Len(t, res.Listings, 1)
	l := res.Listings[0]
	assert.Equal(t, "412.50", l.Value(listing.Price))
	assert.Equal(t, "b.net", mustField(t, l, listing.Price).From.Path)
	assert.Equal(t, "B-7", l.Value(listing.SKU))
	assert.Equal(t, "Rebuilt by Acme.\nTwo\nyears.", l.Value(listing.Description))
	assert.Len(t, l.Disagreements, 2)

	res = Read([]byte(`<body class="market"><div class="offer"><h3>Turbo A1</h3><em>10 EUR</em></div><div class="offer"><h3>Turbo A2</h3><em>20 EUR</em></div></body>`), "page.html", "", nil, Options{Pages: pages})
	require.Equal(t, KindResults, res.Kind)
	require.Len(t, res.Listings, 2)
	assert.Equal(t, "Turbo A2", res.Listings[1].Value(listing.Title))
	assert.Equal(t, "20", res.Listings[1].Value(listing.Price))
}

func TestReadPagesNamesLineAndColumn(t *testing.T) {
	for text, want := range map[string]string{
		"sites:\n  - hosts: [a.example]\n    fields:\n      prize: b\n":         `p.yaml:4:7: "prize" is not a field`,
		"sites:\n  - hosts: [a.example]\n    fields:\n      price: 'b[['\n":     `p.yaml:4:14: "b[[" is not a CSS selector`,
		"sites:\n  - hosts: ['http://a.example/']\n    fields: {price: b}\n":    `p.yaml:2:13: "http://a.example/" is not a host name`,
		"sites:\n  - fields: {price: b}\n":                                      `p.yaml:2:5: the site has neither hosts nor where`,
		"sites:\n  - hosts: [a.example]\n":                                      `p.yaml:2:5: the site has neither fields nor a currency`,
		"sites:\n  - hosts: [a.example]\n    hots: x\n    fields: {price: b}\n": `p.yaml:3:5: unknown key "hots"`,
		"sights: []\n": `p.yaml:1:1: unknown key "sights"`,
		"sites:\n  - hosts: [a.example]\n    fields: {price: b}\n---\nsites: []\n":      "p.yaml:",
		"sites:\n  - hosts: [a.example]\n    fields:\n      price: b\n      price: c\n": "p.yaml:5:7:",
		"": "p.yaml:1:1: the file is empty",
	} {
		_, err := ReadPages("p.yaml", []byte(text))
		if assert.Error(t, err, text) {
			assert.Contains(t, err.Error(), want)
		}
	}
}

// "$" is the sign of the US, Canadian and other dollars (ISO 4217 knows the codes
// alone); what the page itself says counts more than the user's word for the site.
func TestCurrencyOfASite(t *testing.T) {
	pages, err := ReadPages("pages.yaml", []byte("sites:\n  - hosts: [parts.example]\n    currency: CAD\n"))
	require.NoError(t, err)
	for price, want := range map[string]string{"$412.50": "CAD", "US$412.50": "USD", "412.50 AUD": "AUD", "412.50 €": "EUR"} {
		doc := head + `<h1>Turbocharger TX-100</h1><p class="price">` + price + `</p><button>Add to cart</button></body></html>`
		res := Read([]byte(doc), "page.html", "", nil, Options{Pages: pages})
		require.Len(t, res.Listings, 1)
		assert.Equal(t, want, res.Listings[0].Value(listing.Currency), price)
		assert.Empty(t, res.Problems)
	}
	_, err = ReadPages("pages.yaml", []byte("sites:\n  - hosts: [a.example]\n    currency: dollars\n"))
	assert.ErrorContains(t, err, `pages.yaml:3:15: "dollars" is not an ISO 4217 code`)
}
