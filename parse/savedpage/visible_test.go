package savedpage

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
)

// shopItem puts a body around the heading and price of a page's item.
func shopItem(t *testing.T, body string) *listing.Listing {
	t.Helper()
	return one(t, head+`<main><section class="item-main"><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p></section>`+body+`</main></body></html>`)
}

func TestDescriptionWithoutItsHeading(t *testing.T) {
	const text = "Genuine new. Serial P230430189 on the plate."
	for _, section := range []string{
		`<h2>Description</h2>` + text,
		`<h2>Description</h2><p>` + text + `</p>`,
		`<div class="title"><h3>Artikelbeschreibung:</h3></div><div>` + text + `</div>`,
		`<h2>Description de l'article</h2><div>` + text + `</div>`,
		`<h2>Descripción</h2><div>` + text + `</div>`,
		`<h2>Descrizione del prodotto</h2><div>` + text + `</div>`,
		`<h2>Opis</h2><div>` + text + `</div>`,
		`<h2>Описание товара</h2><div>` + text + `</div>`,
		`<h2>商品描述</h2><div>` + text + `</div>`,
		`<style>p { color: red }</style><div>Description</div><div>` + text + `</div>`,
	} {
		l := shopItem(t, `<section class="item-description">`+section+`</section>`)
		assert.Equal(t, text, l.Value(listing.Description), section)
	}
	l := shopItem(t, `<section class="item-description"><h2>Turbocharger for two litres</h2><p>Description</p><p>`+text+`</p></section>`)
	assert.Equal(t, "Turbocharger for two litres\nDescription\n"+text, l.Value(listing.Description), "a heading that says more is part of it")
}

func TestTextsOfBlocksAreNotGlued(t *testing.T) {
	p, err := parse([]byte(`<body><aside><h2>Seller</h2><a>prime</a><b>boost</b> <i>traders</i><div>97 %</div>of buyers</aside></body>`), false)
	assert.NoError(t, err)
	assert.Equal(t, "Seller primeboost traders 97 % of buyers", p.text(0, 100))
	assert.Equal(t, "Seller\nprime boost traders\n97 %\nof buyers", p.lines(0, 0, 100))
}

func TestSellerFromItsBox(t *testing.T) {
	for box, want := range map[string]string{
		`<aside class="seller-box"><h2>Seller</h2><a class="seller-name">prime boost traders</a></aside>`:                                    "prime boost traders",
		`<aside class="seller-box"><h2>Seller</h2><a href="/shop/prime-boost">prime boost traders</a></aside>`:                               "prime boost traders",
		`<aside class="seller-box"><h2>Seller</h2><a class="seller-name">prime boost traders</a><p class="seller-rating">97.5 %</p></aside>`: "prime boost traders",
		`<div class="seller"><a>prime boost traders</a></div>`:                                                                               "prime boost traders",
		`<div class="seller-box"><p>prime boost traders</p><p>Open from 8 to 17</p></div>`:                                                   "",
		`<div class="vendor"><div>Verkäufer</div><div>Teile Muster</div></div>`:                                                              "Teile Muster",
		`<div class="seller-box"><span class="seller-name" hidden>x</span><span class="seller-name"></span><a>prime boost traders</a></div>`: "prime boost traders",
	} {
		l := shopItem(t, box)
		assert.Equal(t, want, l.Value(listing.Seller), box)
		for _, d := range l.Disagreements {
			assert.NotEqual(t, listing.Seller, d.Kept.Name, "%s: %s", box, d.Other.Value)
		}
	}
}

func TestLabelsInOneLine(t *testing.T) {
	l := one(t, head+`<h1>Turbocharger TX-100</h1><p>€ 412.50</p><p>S/N: AB12345 EAN 4006381333931, 3 available</p><p>SKU: TX 55, Marke: Acme</p></body></html>`)
	assert.Equal(t, "AB12345", l.Value(listing.SerialNumber))
	assert.Equal(t, "4006381333931", l.Value(listing.GTIN))
	assert.Equal(t, "TX 55", l.Value(listing.SKU))
	assert.Equal(t, "Acme", l.Value(listing.Brand))
}
