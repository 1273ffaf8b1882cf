package savedpage

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// schema.org has four conditions only (schema.org/OfferItemCondition,
// version 29.4); the word on the page may say more.
func TestConditionRefinesTheMarkup(t *testing.T) {
	for _, c := range []struct{ markup, label, want, other string }{
		{"https://schema.org/NewCondition", "New old stock", listing.NewOldStock, ""},
		{"NewCondition", "Altbestand", listing.NewOldStock, ""},
		{"https://schema.org/RefurbishedCondition", "Remanufactured", listing.Remanufactured, ""},
		{"https://schema.org/RefurbishedCondition", "Rebuilt", listing.Rebuilt, ""},
		{"https://schema.org/RefurbishedCondition", "Rebuilt by us", listing.Rebuilt, ""},
		{"https://schema.org/NewCondition", "New", listing.New, ""},
		{"https://schema.org/NewCondition", "Used", listing.New, listing.Used},
		{"https://schema.org/NewCondition", "Remanufactured", listing.New, listing.Remanufactured},
		{"https://schema.org/UsedCondition", "New old stock", listing.Used, listing.NewOldStock},
		{"https://schema.org/UsedCondition", "For parts", listing.Used, listing.Core},
		{"rebuilt", "Remanufactured", listing.Rebuilt, listing.Remanufactured},
	} {
		script := `<script type="application/ld+json">{"@type":"Product","name":"Turbocharger TX-100","offers":{"price":"412.50","priceCurrency":"EUR","itemCondition":"` + c.markup + `"}}</script>`
		label := `<table><tr><th>Condition</th><td>` + c.label + `</td></tr></table>`
		l := shopItem(t, label+script)
		assert.Equal(t, c.want, l.Value(listing.Condition), c)
		other := ""
		for _, d := range l.Disagreements {
			if d.Kept.Name == listing.Condition {
				other = d.Other.Value
			}
		}
		assert.Equal(t, c.other, other, c)
		if c.other == "" { // then a form without scripts says the same
			assert.Equal(t, c.want, shopItem(t, label).Value(listing.Condition), c)
		}
	}
	micro := `<div itemscope itemtype="https://schema.org/Product"><b itemprop="name">Turbocharger TX-100</b><div itemprop="offers" itemscope itemtype="https://schema.org/Offer">
		<link itemprop="itemCondition" href="https://schema.org/NewCondition"><meta itemprop="price" content="412.50"></div></div><p>Condition: New old stock</p>`
	assert.Equal(t, listing.NewOldStock, shopItem(t, micro).Value(listing.Condition))
	tags := strings.Replace(head, "</head>", `<meta property="product:condition" content="refurbished"></head>`, 1)
	l := one(t, tags+`<h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p><p>Zustand: Austauschteil</p></body></html>`)
	assert.Equal(t, listing.Remanufactured, l.Value(listing.Condition))
	assert.Empty(t, l.Disagreements)
}

func TestIdentifierInTheAddress(t *testing.T) {
	page := func(address, body string) *listing.Listing {
		return one(t, `<html lang="en"><head><title>Turbocharger TX-100</title><link rel="canonical" href="https://parts.example/`+address+
			`"></head><body><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p>`+body+`</body></html>`)
	}
	for _, c := range []struct{ address, body, id, sku string }{
		{"item/286767931647", ``, "286767931647", ""},
		{"item/286767931647", `<p data-row="286767931647"></p>`, "286767931647", ""},
		{"item/286767931647", `<p>SKU: TX-100-B</p>`, "286767931647", "TX-100-B"},
		{"item/286767931647", `<script>var item = {"id": 77120, "name": "Turbocharger TX-100"}</script>`, "286767931647", ""},
		{"offer/GL4390309", `<p>Offer number: GL-4390309</p>`, "GL-4390309", ""},
		{"offer/GL-4390309", `<p>Offer number: GL-4390309</p>`, "GL-4390309", ""},
		{"offer/turbo-4390309.html", `<p>Offer number: GL-4390309</p>`, "GL-4390309", ""},
	} {
		l := page(c.address, c.body)
		assert.Equal(t, c.id, l.Value(listing.ListingID), c)
		assert.Equal(t, c.sku, l.Value(listing.SKU), c)
		assert.Empty(t, l.Disagreements, c)
	}
	l := page("offer/4390310", `<p>Offer number: GL-4390309</p>`)
	require.Len(t, l.Disagreements, 1)
	assert.Equal(t, "4390310", l.Disagreements[0].Other.Value)
}

func TestSameID(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"GL-4390309", "4390309", true},
		{"4390309", "gl 4390309", true},
		{"GL-4390309", "GL4390309", true},
		{"GL-4390309", "KL-4390309", false},
		{"14390309", "4390309", false},
		{"G1-4390309", "4390309", false},
		{"GL-12345", "12345", false}, // too short to be told from chance
	} {
		assert.Equal(t, c.same, sameID(c.a, c.b), c)
	}
}

// A web archive made by Chromium writes a shadow tree as a template with the
// attribute shadowmode; the HTML Standard (section 4.12.3) calls the attribute
// shadowrootmode.
func TestShadowTreeIsText(t *testing.T) {
	const tree = `<style>p { color: red }</style><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p><dl><dt>Serial number</dt><dd>P230430189</dd></dl>
		<div class="description"><h2>Description</h2><p>Genuine new, with actuator, in its box.</p></div><slot></slot>`
	for _, open := range []string{`<template shadowmode="open">`, `<template shadowrootmode="closed" shadowrootdelegatesfocus>`} {
		doc := head + `<item-view>` + open + tree + `</template><p>Seller: prime boost traders</p></item-view></body></html>`
		l := one(t, doc)
		assert.Equal(t, "P230430189", l.Value(listing.SerialNumber), open)
		assert.Equal(t, "412.50", l.Value(listing.Price), open)
		assert.Equal(t, "Genuine new, with actuator, in its box.", l.Value(listing.Description), open)
		assert.Equal(t, "prime boost traders", l.Value(listing.Seller), open)
		at := mustField(t, l, listing.SerialNumber).From
		assert.Equal(t, "<dd>P230430189</dd>", doc[at.Start:at.End])
	}
	l := one(t, head+`<h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p><template><p>Serial number: P230430189</p></template></body></html>`)
	assert.False(t, l.Has(listing.SerialNumber), "what a script may once show is not shown")
}

// Prices whose parts stand in elements of their own: common practice of shop
// templates, no source. Each was written down with the sum that a reader sees.
func TestPriceInParts(t *testing.T) {
	for markup, want := range map[string]string{
		`<p class="price"><i>412</i><i>,</i><i>50</i><i>zł</i></p>`:                       "412.50",
		`<p class="price"><span>412</span><span>.</span><span>50</span> €</p>`:            "412.50",
		`<p class="price"><b>1</b>.<b>234</b>,<b>50</b> €</p>`:                            "1234.50",
		`<p class="price">$412<small>50</small></p>`:                                      "412.50",
		`<p class="pris"><span>1 299</span><span>00</span> kr</p>`:                        "1299.00",
		`<p class="price"><span>412</span> <span>50</span> <span>€</span></p>`:            "412.50",
		`<div class="price"><div>412</div><div>50</div><div>€</div></div>`:                "412.50",
		`<p class="price"><span>€</span> <span>412</span> <span>50</span></p>`:            "412.50",
		`<p class="price">412,50 € <small>(206,25 €/Stück)</small></p>`:                   "412.50",
		`<p class="price">412,50 €</p><p class="base">(206,25 €/Stück)</p>`:               "412.50",
		`<p class="price">Was $500.00 Now $412.50</p>`:                                    "412.50",
		`<p class="price">statt 500,00 € nur 412,50 €</p>`:                                "412.50",
		`<p class="price">١٬٢٣٤٫٥٠ ر.س</p>`:                                               "1234.50",
		`<p class="price">￥１２，８００</p>`:                                                    "12800",
		`<p class="old-price">Was $500.00</p><p class="price">$412.50</p>`:                "412.50",
		`<table><tr><td>12</td><td>50</td><td>412,50 €</td></tr></table>`:                 "412.50",
		`<p><span>1</span><span>.</span><span>299</span><sup>95</sup> <span>€</span></p>`: "1299.95",
		`<p>412,50 € <s>500,00 €</s></p>`:                                                 "412.50",
		`<p><s>500,00 €</s> 412,50 €</p>`:                                                 "412.50",
	} {
		l := one(t, head+`<main><section class="item-main"><h1>Turbocharger TX-100</h1>`+markup+`<button>Add to cart</button></section></main></body></html>`)
		assert.Equal(t, want, l.Value(listing.Price), markup)
	}
}

// The words about bids belong to the sum beside them, and not to the price at which
// the item is sold at once. Common practice of auctions, no source.
func TestBidBesideAPrice(t *testing.T) {
	l := one(t, head+`<h1>Turbocharger TX-100</h1><div>Current bid: € 55.00 [3 bids]</div><div>Buy it now: € 412.50</div></body></html>`)
	assert.Equal(t, "412.50", l.Value(listing.Price))
	assert.NotEqual(t, listing.PriceBid, l.Value(listing.PriceKind))
	l = one(t, head+`<h1>Turbocharger TX-100</h1><div><span>Current bid</span> <b>€ 55.00</b> <i>[3 bids]</i></div></body></html>`)
	assert.Equal(t, "55.00", l.Value(listing.Price))
	assert.Equal(t, listing.PriceBid, l.Value(listing.PriceKind))
}

// Wording of stock and of numbers as shops write it: common practice, no source.
// Each line was written down with what a reader understands.
func TestWordingOfStockAndNumbers(t *testing.T) {
	for body, want := range map[string]map[listing.Name]string{
		`<p>Only 3 left in stock</p>`:                                               {listing.QuantityAvailable: "3", listing.Availability: listing.InStock},
		`<p>12 Stück auf Lager</p>`:                                                 {listing.QuantityAvailable: "12", listing.Availability: listing.InStock},
		`<p>Model 3 in stock</p>`:                                                   {listing.QuantityAvailable: "", listing.Availability: listing.InStock},
		`<p>Dieser Artikel ist leider ausverkauft</p>`:                              {listing.Availability: listing.SoldOut},
		`<p>Temporarily sold out. We are sorry.</p>`:                                {listing.Availability: listing.SoldOut},
		`<p>sold 12 times this week</p>`:                                            {listing.Availability: ""},
		`<ul><li>S <i>Sold out</i></li><li>M</li></ul><button>Add to cart</button>`: {listing.Availability: listing.InStock},
		`<p>Art.-Nr. 4711-22 | EAN 4006381333931</p>`:                               {listing.SKU: "4711-22", listing.GTIN: "4006381333931"},
		`<p>Art.-Nr. 4711-22 • Teilenummer TX-100-B • EAN 4006381333931</p>`:        {listing.SKU: "4711-22", listing.PartNumber: "TX-100-B", listing.GTIN: "4006381333931"},
	} {
		l := shopItem(t, body)
		for name, value := range want {
			assert.Equal(t, value, l.Value(name), "%s: %s", body, name)
		}
	}
}
