package savedpage

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

const head = `<html lang="en"><head><title>Turbocharger TX-100 | Parts Shop</title>
<link rel="canonical" href="https://parts.example/tx-100"></head><body>`

// similar is a part of the page with other items, cheaper than the page's own.
const similar = `<section class="similar-items"><h2>Similar items</h2><ul>
<li class="card"><a href="/a">Turbocharger TX-101</a><span class="price">€ 99.00</span></li>
<li class="card"><a href="/b">Turbocharger TX-102</a><span class="price">€ 98.00</span></li>
<li class="card"><a href="/c">Turbocharger TX-103</a><span class="price">€ 97.00</span></li></ul></section>`

func TestPriceTraps(t *testing.T) {
	for name, c := range map[string]struct{ body, price, was string }{
		"similar items before the item": {similar + `<h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p>`, "412.50", ""},
		"similar items after the item":  {`<h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p>` + similar, "412.50", ""},
		"sponsored by heading only": {`<div><h1>Turbocharger TX-100</h1><p>€ 412.50</p></div>
			<div><h3>Customers also viewed</h3><div><a href="/a">TX-101</a> <b class="price">€ 12.00</b></div></div>`, "412.50", ""},
		"struck out":           {`<h1>Turbocharger TX-100</h1><p><s>€ 500.00</s> <b>€ 412.50</b></p>`, "412.50", "500.00"},
		"struck out by class":  {`<h1>Turbocharger TX-100</h1><p><span class="old-price">€ 500.00</span> <span class="price">€ 412.50</span></p>`, "412.50", "500.00"},
		"recommended by label": {`<h1>Turbocharger TX-100</h1><p><span>RRP: € 500.00</span> <span>€ 412.50</span></p>`, "412.50", "500.00"},
		"instalment":           {`<h1>Turbocharger TX-100</h1><p>€ 34.40 per month</p><p class="price">€ 412.50</p>`, "412.50", ""},
		"rate before":          {`<h1>Turbocharger TX-100</h1><p>12 monthly payments of € 34.40</p><p>€ 412.50</p>`, "412.50", ""},
		"shipping":             {`<h1>Turbocharger TX-100</h1><p>Shipping: € 9.90</p><p>€ 412.50</p>`, "412.50", ""},
		"saving":               {`<h1>Turbocharger TX-100</h1><p>You save € 87.50</p><p>€ 412.50</p>`, "412.50", ""},
		"basket in the head":   {`<header><div class="minicart">Total € 0.00</div></header><h1>Turbocharger TX-100</h1><p>€ 412.50</p>`, "412.50", ""},
		"raised cents":         {`<h1>Turbocharger TX-100</h1><p class="price">€ 412<sup>50</sup></p>`, "412.50", ""},
		"net and gross":        {`<h1>Turbocharger TX-100</h1><p>€ 346.64 excl. VAT</p><p>€ 412.50 incl. VAT</p>`, "412.50", ""},
		"price in the basket form": {`<h1>Turbocharger TX-100</h1><form class="add-to-cart"><span class="price">€ 412.50</span>
			<button>Add to cart</button></form>`, "412.50", ""},
	} {
		l := one(t, head+"<main>"+c.body+"</main></body></html>")
		assert.Equal(t, c.price, trimZeros(l.Value(listing.Price)), name)
		assert.Equal(t, c.was, trimZeros(l.Value(listing.PriceWas)), name)
	}
}

// trimZeros gives prices two decimals for comparing.
func trimZeros(s string) string {
	if s != "" && !strings.Contains(s, ".") {
		return s + ".00"
	}
	return s
}

func TestSideOfferInMarkupDoesNotWin(t *testing.T) {
	l := one(t, head+`<script type="application/ld+json">{"@type":"Product","name":"Gasket kit GK-7","url":"https://parts.example/gk-7",
"offers":{"price":"19.00","priceCurrency":"EUR"}}</script><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p></body></html>`)
	assert.Equal(t, "412.50", l.Value(listing.Price))
	assert.Equal(t, "Turbocharger TX-100", l.Value(listing.Title))
}

func TestMarkupRepeatsTheStruckOutPrice(t *testing.T) {
	l := one(t, head+`<script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100",
"offers":{"price":"500.00","priceCurrency":"EUR"}}</script><h1>Turbocharger TX-100</h1>
<p class="prices"><s class="price">€ 500.00</s> <b class="price">€ 412.50</b></p></body></html>`)
	assert.Equal(t, "412.50", l.Value(listing.Price))
	assert.Equal(t, srcPage, mustField(t, l, listing.Price).From.Source)
	require.NotEmpty(t, l.Disagreements)
	assert.Equal(t, "500.00", l.Disagreements[0].Other.Raw)
}

func mustField(t *testing.T, l *listing.Listing, n listing.Name) listing.Field {
	t.Helper()
	f, ok := l.Get(n)
	require.True(t, ok, n)
	return f
}

func TestDisagreeingSources(t *testing.T) {
	l := one(t, `<html><head><title>Turbocharger TX-100</title>
<meta property="product:price:amount" content="399.00"><meta property="product:price:currency" content="EUR"><meta property="product:brand" content="Bolt"></head>
<body><script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100","brand":"Acme",
"offers":{"price":412.5,"priceCurrency":"EUR"}}</script><h1>Turbocharger TX-100</h1></body></html>`)
	assert.Equal(t, "Acme", l.Value(listing.Brand))
	got := map[listing.Name]string{}
	for _, d := range l.Disagreements {
		assert.Equal(t, l.Value(d.Kept.Name), d.Kept.Value)
		got[d.Other.Name] = d.Other.Raw
	}
	assert.Equal(t, map[listing.Name]string{listing.Brand: "Bolt", listing.Price: "399.00"}, got)
}

func TestBrokenMarkupIsMendedOrReported(t *testing.T) {
	res := Read([]byte(head+`<script type="application/ld+json">/*<![CDATA[*/
{"@type":"Product", // the item
"name":"Turbocharger TX-100","description":"two
lines", "offers":{"price":"412.50","priceCurrency":"EUR",},}
/*]]>*/</script><script type="application/ld+json">{"@type": Product of ours}</script><h1>Turbocharger TX-100</h1></body></html>`), "page.html", "", nil, Options{})
	require.Len(t, res.Listings, 1)
	assert.Equal(t, "412.50", res.Listings[0].Value(listing.Price))
	require.Len(t, res.Problems, 2)
	for _, p := range res.Problems {
		assert.Equal(t, "page.html", p.File)
		assert.Equal(t, srcJSON, p.Place.Source)
		assert.Positive(t, p.Place.End)
	}
}

func TestLabels(t *testing.T) {
	for _, c := range []struct {
		body string
		name listing.Name
		want string
	}{
		{`<dl><dt>Herstellernummer</dt><dd>54359-88000</dd></dl>`, listing.PartNumber, "54359-88000"},
		{`<table><tr><th>Marke</th><td>Acme</td></tr></table>`, listing.Brand, "Acme"},
		{`<table><tr><td>Marque :</td><td><a href="/x">Acme</a></td></tr></table>`, listing.Brand, "Acme"},
		{`<ul><li><strong>Numer seryjny:</strong> AB1234567</li></ul>`, listing.SerialNumber, "AB1234567"},
		{`<p>Артикул: TX-55</p>`, listing.SKU, "TX-55"},
		{`<p>货号：TX-55</p>`, listing.SKU, "TX-55"},
		{`<p>Vendido por <a href="/s">Recambios Sol</a></p>`, listing.Seller, "Recambios Sol"},
		{`<div><span>Sold by Acme Parts Ltd</span></div>`, listing.Seller, "Acme Parts Ltd"},
		{`<div><span>Verkäufer</span><span>Teile Muster</span></div>`, listing.Seller, "Teile Muster"},
		{`<div class="code">Product code: 4711-A</div>`, listing.SKU, "4711-A"},
		{`<div>Art.-Nr. 4711-A</div>`, listing.SKU, "4711-A"},
		{`<table><tr><th>Codice OE</th><td>03L253016T</td></tr></table>`, listing.OENumbers, "03L253016T"},
		{`<button>Add to cart</button>`, listing.Availability, listing.InStock},
		{`<div class="stock">Derzeit nicht auf Lager</div>`, listing.Availability, listing.OutOfStock},
		{`<div class="brand-link"><img src="b.png" alt="Acme"></div>`, listing.Brand, "Acme"},
	} {
		l := one(t, head+`<main><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p>`+c.body+`</main></body></html>`)
		assert.Equal(t, c.want, l.Value(c.name), c.body)
	}
}

func TestLabelsOfOtherItemsAreLeftOut(t *testing.T) {
	l := one(t, head+`<nav><a href="/returns">Returns</a><a href="/x">Brand</a><a href="/y">Zeta</a></nav><main><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p></main>
<section class="related"><p>Brand: Other</p><p>SKU: 99</p></section></body></html>`)
	assert.False(t, l.Has(listing.Brand))
	assert.False(t, l.Has(listing.Returns))
	assert.False(t, l.Has(listing.SKU))
}

func TestWhyNoListing(t *testing.T) {
	res := Read([]byte(`<title>Turbos</title><article><h1>How it works</h1><p>`+strings.Repeat("The wheel turns. ", 50)+`</p></article>`), "page.html", "", nil, Options{})
	assert.Equal(t, KindArticle, res.Kind)
	for want, doc := range map[string]string{
		KindBlocked: `<title>Access denied</title><h1>Are you a robot?</h1><p>Please solve the captcha.</p>`,
		KindLogin:   `<title>Sign in</title><form><input name="u"><input type="password"></form>`,
		KindEmpty:   `<title>Search</title><h1>turbo tx-999</h1><p>No results for your search</p>`,
		KindArticle: `<title>How a turbocharger works</title><meta property="og:type" content="article"><h1>How it works</h1><p>` + strings.Repeat("The wheel turns. ", 300) + `</p>`,
		KindNone:    `<p>hello</p>`,
	} {
		res := Read([]byte("<html><body>"+doc+"</body></html>"), "page.html", "", nil, Options{})
		assert.Equal(t, want, res.Kind)
		assert.Empty(t, res.Listings)
	}
}

func TestDeepPageDoesNotOverflow(t *testing.T) {
	doc := head + strings.Repeat("<div>", 1_000_000) + `<h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p>`
	res := Read([]byte(doc), "page.html", "", nil, Options{})
	require.Len(t, res.Listings, 1)
	assert.Equal(t, "412.50", res.Listings[0].Value(listing.Price))
	require.NotEmpty(t, res.Problems)
	assert.Equal(t, listing.Partial, res.Problems[0].Severity)
	for _, open := range []string{"<b>", "<a href=x>", "<table><tr><td>", "<svg>", "<select><option>", "<ul><li>", "<p><font>"} {
		Read([]byte(strings.Repeat(open, 20_000)), "page.html", "", nil, Options{})
	}
}

// TestPlacesPointAtTheText cuts each place out of the document and looks for
// the raw text in it.
func TestPlacesPointAtTheText(t *testing.T) {
	doc := `<!-- <h1>no</h1> --><html lang="en"><head><title>Turbocharger TX-100</title><script>var a = "<h1>no</h1>";</script>
<meta property="product:brand" content="Acme"></head><body><h2>Shop</h2>
<script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100","sku":"TX-1"}</script>
<div class="top"><h1 class="t">Turbocharger TX-100</h1><div><span class="price">412.50 EUR</span><p>Serial number: AB1234567<p>Warranty: 2 years</div></div>
<table><tr><th>Part number</th><td class="v">54359-88000</td></tr></table></body></html>`
	l := one(t, doc)
	for _, n := range []listing.Name{listing.Title, listing.Brand, listing.SKU, listing.Price, listing.SerialNumber, listing.PartNumber, listing.Warranty} {
		f := mustField(t, l, n)
		require.Positive(t, f.From.End, "%s has no range", n)
		assert.Contains(t, doc[f.From.Start:f.From.End], f.Raw, n)
		assert.Less(t, int(f.From.End-f.From.Start), 90, n)
	}
	assert.Equal(t, `"sku":"TX-1`, doc[mustField(t, l, listing.SKU).From.Start:mustField(t, l, listing.SKU).From.End])
}

func TestReadIsDeterministic(t *testing.T) {
	doc := shopPage()
	a := Read(doc, "page.html", "", nil, Options{Explain: true})
	for range 5 {
		assert.Equal(t, a, Read(doc, "page.html", "", nil, Options{Explain: true}))
	}
	assert.NotEmpty(t, a.Candidates)
}

func TestPriceBringsItsCurrency(t *testing.T) {
	l := one(t, head+`<script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100",
"offers":{"price":"500.00","priceCurrency":"EUR"}}</script><h1>Turbocharger TX-100</h1>
<p class="prices"><s class="price">£500.00</s> <b class="price">£412.50</b></p></body></html>`)
	assert.Equal(t, "412.50", l.Value(listing.Price))
	assert.Equal(t, "GBP", l.Value(listing.Currency))
}

func TestBidIsNoFixedPrice(t *testing.T) {
	l := one(t, head+`<h1>Turbocharger TX-100</h1><div>Current bid: <b class="price">€ 40.00</b> (3 bids)</div></body></html>`)
	assert.Equal(t, "40.00", l.Value(listing.Price))
	assert.Equal(t, listing.PriceBid, l.Value(listing.PriceKind))
}

func TestDescription(t *testing.T) {
	const long = "Complete unit with actuator. Original box. The number on the plate is shown in the photos, and the unit was balanced on the bench."
	l := one(t, head+`<script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100","description":"<p>Complete unit<br>with actuator.</p>",
"offers":{"price":"412.50","priceCurrency":"EUR"}}</script><h1>Turbocharger TX-100</h1></body></html>`)
	assert.Equal(t, "Complete unit\nwith actuator.", l.Value(listing.Description))
	assert.Contains(t, mustField(t, l, listing.Description).Raw, "<br>")

	l = one(t, head+`<meta property="og:description" content="Complete unit with actuator."><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p>
<div class="description"><p>`+long+`</p></div></body></html>`)
	assert.Equal(t, long, l.Value(listing.Description), "the fuller text")
}

func TestIdentifiers(t *testing.T) {
	page := func(body string) *listing.Listing {
		return one(t, `<html lang="en"><head><title>Turbocharger TX-100</title><link rel="canonical" href="https://parts.example/itm/tx/254332211000"></head>
<body><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p>`+body+`</body></html>`)
	}
	assert.Equal(t, "254332211000", page("").Value(listing.ListingID))
	assert.Equal(t, "9912", page(`<div>Market item number:</div><div>9912</div>`).Value(listing.ListingID))
	l := page(`<script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100","sku":"4012345678901","gtin13":"4012345678901",
"offers":{"price":"412.50","priceCurrency":"EUR"}}</script><p>Product code: A-77</p>`)
	assert.Equal(t, "A-77", l.Value(listing.SKU))
	assert.Equal(t, "4012345678901", l.Value(listing.GTIN))
	l = page(`<script>var dataLayer = [{product: {'name': 'Turbocharger TX-100', 'sku': 'S-1', brand: 'Acme', price: 41250}}];</script>`)
	assert.Equal(t, "S-1", l.Value(listing.SKU))
	assert.Equal(t, "Acme", l.Value(listing.Brand))
	assert.Equal(t, "412.50", l.Value(listing.Price))
}

func TestExplainNamesWhatLost(t *testing.T) {
	res := Read([]byte(head+`<script type="application/ld+json">[{"@type":"Product","name":"Turbocharger TX-100","offers":{"price":"412.50","priceCurrency":"EUR"}},
{"@type":"Product","name":"Gasket kit","offers":{"price":"19.00","priceCurrency":"EUR"}}]</script><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p></body></html>`),
		"page.html", "", nil, Options{Explain: true})
	won := map[listing.Name]int{}
	for _, c := range res.Candidates {
		if c.Won {
			won[c.Field]++
			assert.Equal(t, res.Listings[0].Value(c.Field), c.Value)
		}
	}
	assert.Equal(t, 1, won[listing.Price])
	assert.Empty(t, Read([]byte(head), "page.html", "", nil, Options{}).Candidates)
}

func TestNameMarks(t *testing.T) {
	for name, want := range map[string]mark{
		"product-price": priceName, "productPrice": priceName, "priceblock_ourprice": priceName | salePrice, "old-price price": priceName | oldPrice,
		"site-header": chrome, "product-header": 0, "sticky-header-reference": skuName, "similar_items": side, "AddToCartForm": buyName,
		"x1 y2": 0, "": 0, "цена": 0,
	} {
		assert.Equal(t, want, nameMarks(name), name)
	}
}

func TestFullStopThatGroupsThousands(t *testing.T) {
	l := one(t, head+`<script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100",
"offers":{"price":"1.299","priceCurrency":"EUR"}}</script><h1>Turbocharger TX-100</h1><p class="price">1.299 €</p></body></html>`)
	assert.Equal(t, "1299", l.Value(listing.Price))
	l = one(t, head+`<script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100",
"offers":{"price":"1.299","priceCurrency":"KWD"}}</script><h1>Turbocharger TX-100</h1><p class="price">KWD 1.299</p></body></html>`)
	assert.Equal(t, "1.299", l.Value(listing.Price))
}
