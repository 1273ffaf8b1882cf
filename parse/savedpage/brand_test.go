package savedpage

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
)

// The pages here are made by hand; the expected brand is the one a reader of the
// page would name.
func TestBrand(t *testing.T) {
	const title = `<html lang="en"><head><title>Acme Turbocharger TX-100 - black | Parts Shop</title></head><body><main>`
	for name, c := range map[string]struct{ page, want string }{
		"beside the heading":        {title + `<h3>Acme</h3><h1>Turbocharger TX-100</h1><p>€ 412.50</p>`, "Acme"},
		"first part of the heading": {title + `<h1><span>Acme</span> <span>Turbocharger TX-100</span></h1><p>€ 412.50</p>`, "Acme"},
		"another word beside it":    {title + `<h3>Bestseller</h3><h1>Turbocharger TX-100</h1><p>€ 412.50</p>`, ""},
		"a kind, not a brand": {`<html><head><title>Turbocharger Garrison TX-100</title></head><body><nav><a href="/t">Turbocharger</a></nav>
			<h1>Turbocharger Garrison TX-100</h1><p>€ 412.50</p>`, ""},
		"state far from the name": {title + `<h1>Acme-Turbo Turbocharger TX-100</h1><p>€ 412.50</p>
			<script>window.state={"items":[{"brand":"Bolt"},{"brand":{"id":1,"name":"Acme Turbo"}}]}</script>`, "Acme Turbo"},
		"state about other items": {title + `<h1>Turbocharger TX-100</h1><p>€ 412.50</p><script>window.state={"brand":"Bolt"}</script>`, ""},
		"link to more":            {title + `<h1>Turbocharger TX-100</h1><a href="/brands/acme">Shop more from Acme</a><p>€ 412.50</p>`, "Acme"},
		"link in Portuguese":      {title + `<h1>Turbocharger TX-100</h1><p class="brand">Ver mais artigos da Marca: Acme</p><p>€ 412.50</p>`, "Acme"},
		"name that begins so":     {title + `<h1>Turbocharger TX-100</h1><p class="brand">Von Acme</p><p>€ 412.50</p>`, "Von Acme"},
		"label in a box":          {title + `<h1>Turbocharger TX-100</h1><div><p>Výrobca</p><p><a href="/x">Acme</a></p></div><p>€ 412.50</p>`, "Acme"},
		"label as a heading":      {title + `<h1>Turbocharger TX-100</h1><div><p>Model</p><p>Our models are tested.</p><p>All of them.</p></div><p>€ 412.50</p>`, ""},
		"label in Japanese":       {title + `<h1>Turbocharger TX-100</h1><dl><dt>メーカー</dt><dd>Acme</dd></dl><p>€ 412.50</p>`, "Acme"},
		"label in Greek":          {title + `<h1>Turbocharger TX-100</h1><table><tr><th>Κατασκευαστής</th><td>Acme</td></tr></table><p>€ 412.50</p>`, "Acme"},
	} {
		assert.Equal(t, c.want, one(t, c.page+`</main></body></html>`).Value(listing.Brand), name)
	}
}

func TestAvailabilityShown(t *testing.T) {
	const top = head + `<main><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p>`
	for name, c := range map[string]struct{ body, want string }{
		"the seller can be asked":      {`<button>Contact seller</button>`, listing.InStock},
		"button named after buying":    {`<button class="add-to-cart">Rendeld</button>`, listing.InStock},
		"such a button, switched off":  {`<button class="add-to-cart" disabled>Rendeld</button>`, ""},
		"such a button says it is not": {`<button class="add-to-cart">Nincs készleten</button>`, listing.OutOfStock},
		"in the form that buys":        {`<form class="add-to-basket-form"><p>Currently in stock</p></form>`, listing.InStock},
		"words a script chooses from":  {`<a href="#" class="add-to-cart"><span>Add to cart</span><span class="no">Unavailable</span></a>`, listing.InStock},
		"one way of delivery":          {`<p class="delivery">Courier: unavailable</p><button>Add to cart</button>`, listing.InStock},
		"Hebrew":                       {`<p>אזל מהמלאי</p>`, listing.OutOfStock},
		"Japanese":                     {`<p>在庫あり</p>`, listing.InStock},
		"Arabic":                       {`<p>غير متوفر</p>`, listing.OutOfStock},
		"nothing said":                 {`<p>A turbocharger.</p>`, ""},
	} {
		assert.Equal(t, c.want, one(t, top+c.body+`</main></body></html>`).Value(listing.Availability), name)
	}
}

// The percentages are those of the arithmetic: 412.50 is 17.5 % below 500.
func TestEarlierPriceByArithmetic(t *testing.T) {
	for body, was := range map[string]string{
		`<div><span>−17,5 %</span> <span>€ 412.50</span> <span>€ 500.00</span></div>`:      "500.00",
		`<div><span>18% off</span> <span>€ 500.00</span> <span>€ 412.50</span></div>`:      "500.00",
		`<div><span>4 of 5, 90 %</span> <span>€ 412.50</span> <span>€ 500.00</span></div>`: "",
	} {
		l := one(t, head+`<main><h1>Turbocharger TX-100</h1>`+body+`</main></body></html>`)
		assert.Equal(t, was, l.Value(listing.PriceWas), body)
		if was != "" {
			assert.Equal(t, "412.50", l.Value(listing.Price), body)
		}
	}
}

func TestMarkupPriceWithoutTax(t *testing.T) {
	const meta = `<meta property="product:price:amount" content="346.64"><meta property="product:price:currency" content="EUR">`
	l := one(t, strings.Replace(head, "</head>", meta+"</head>", 1)+`<main><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p></main></body></html>`)
	assert.Equal(t, "412.50", l.Value(listing.Price), "346.64 and 19 % are 412.50")
	l = one(t, strings.Replace(head, "</head>", meta+"</head>", 1)+`<main><h1>Turbocharger TX-100</h1><p class="price">€ 417.77</p></main></body></html>`)
	assert.Equal(t, "346.64", l.Value(listing.Price), "no whole rate lies between")
}

func TestPriceIncludingDelivery(t *testing.T) {
	l := one(t, head+`<main><h1>Turbocharger TX-100</h1><div class="price"><span>1,679</span> <span>₪</span></div>
<div>מחיר כולל משלוח: <b>1,718 ₪</b></div></main></body></html>`)
	assert.Equal(t, "1679", l.Value(listing.Price))
}

func TestRunningBidAboveTheMarkup(t *testing.T) {
	const ld = `<script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100","offers":{"price":"90.00","priceCurrency":"EUR"}}</script>`
	l := one(t, head+ld+`<main><h1>Turbocharger TX-100</h1><div>Current bid: <b class="price">€ 400.00</b></div><p>Starting price € 90.00</p></main></body></html>`)
	assert.Equal(t, "400.00", l.Value(listing.Price))
	assert.Equal(t, listing.PriceBid, l.Value(listing.PriceKind))
	l = one(t, head+ld+`<main><h1>Turbocharger TX-100</h1><div>Price: <b class="price">€ 400.00</b></div><p>From € 90.00</p></main></body></html>`)
	assert.Equal(t, "90.00", l.Value(listing.Price))
}
