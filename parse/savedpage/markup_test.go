package savedpage

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
)

// Forms in which shop software states an offer. The types and properties are
// those of the schema.org vocabulary, the tags those of the Open Graph protocol
// and its product extension, the scripts common practice; the data is invented
// and what is wanted was read off each form by hand.
func TestFormsOfMarkup(t *testing.T) {
	ld := func(s string) string { return `<script type="application/ld+json">` + s + `</script>` }
	const shown = `<h1>Turbocharger TX-100</h1>`
	for name, c := range map[string]struct{ page, want string }{
		"a graph, arrays, an aggregate, a bare word": {ld(`{"@context":"https://schema.org","@graph":[{"@type":"WebPage","@id":"#p"},{"@type":["Product","IndividualProduct"],
			"name":"Turbocharger TX-100","brand":["Acme"],"mpn":["454231-1"],"offers":{"@type":"AggregateOffer","lowPrice":"10","highPrice":"20","offerCount":3,"priceCurrency":"EUR","availability":"instock"}}]}`) + shown,
			"part_number=454231-1 brand=Acme price=10 price_kind=from currency=EUR availability=InStock"},
		"an offer with its item": {ld(`{"@type":"Offer","price":"12,50","priceCurrency":"eur","availability":"http://schema.org/OutOfStock",
			"itemOffered":{"@type":"Product","name":"Turbocharger TX-100","brand":{"@type":"Organization","name":"Acme"},"sku":"S1"}}`) + shown,
			"sku=S1 brand=Acme price=12.50 currency=EUR availability=OutOfStock"},
		"a group with variants": {`<link rel="canonical" href="https://x.example/t?v=2">` + ld(`{"@context":"https://schema.org/","@type":"ProductGroup","name":"Turbocharger TX-100","productGroupID":"G1",
			"brand":{"@type":"Brand","name":"Acme"},"hasVariant":[{"@type":"Product","sku":"V1","name":"TX-100 red","offers":{"@type":"Offer","url":"https://x.example/t?v=1","priceCurrency":"USD","price":10}},
			{"@type":"Product","sku":"V2","name":"TX-100 blue","offers":{"@type":"Offer","url":"https://x.example/t?v=2","priceCurrency":"USD","price":20}}]}`) + shown,
			"sku=V2 brand=Acme price=20 currency=USD"},
		"price specifications": {ld(`{"@type":"Product","name":"Turbocharger TX-100","offers":[{"@type":"Offer","availability":"InStock","priceSpecification":[
			{"@type":"UnitPriceSpecification","priceType":"https://schema.org/ListPrice","price":15,"priceCurrency":"EUR"},
			{"@type":"UnitPriceSpecification","price":12,"priceCurrency":"EUR","valueAddedTaxIncluded":true}]}]}`) + shown,
			"price=12 price_was=15 price_tax=included currency=EUR availability=InStock"},
		"entities, a comment, a comma too many": {ld(`{"@type":"Product","name":"Turbocharger &quot;TX-100&quot;","brand":"Acme &amp; Sons",
			"offers":{"price":"1,299.00","priceCurrency":"USD","availability":"https://schema.org/LimitedAvailability",},/* c */}`) + shown,
			"brand=Acme & Sons price=1299.00 currency=USD availability=LimitedAvailability"},
		"a page's main entity": {ld(`{"@type":"ItemPage","mainEntity":{"@type":"Product","name":"Turbocharger TX-100","gtin13":"4006381333931","offers":{"price":"12.50","priceCurrency":"EUR","itemCondition":"UsedCondition"}}}`) + shown,
			"gtin=4006381333931 price=12.50 currency=EUR condition=used"},
		"prefixed names": {ld(`{"@context":{"schema":"http://schema.org/"},"@type":"schema:Product","schema:name":"Turbocharger TX-100",
			"schema:offers":{"@type":"schema:Offer","schema:price":"12.50","schema:priceCurrency":"EUR"}}`) + shown, "price=12.50 currency=EUR"},
		"an offer within an aggregate": {`<div itemscope itemtype="http://schema.org/Product"><h1 itemprop="name">Turbocharger TX-100</h1>
			<div itemprop="offers" itemscope itemtype="http://schema.org/AggregateOffer"><meta itemprop="priceCurrency" content="EUR">
			<div itemprop="offers" itemscope itemtype="http://schema.org/Offer"><span itemprop="price" content="12.50">12,50</span><link itemprop="availability" href="http://schema.org/InStock"></div></div></div>`,
			"price=12.50 currency=EUR availability=InStock"},
		"Open Graph": {`<meta property="og:type" content="product"><meta property="og:title" content="Turbocharger TX-100"><meta property="og:price:amount" content="1.234,50">
			<meta property="og:price:currency" content="EUR"><meta property="product:availability" content="in stock"><meta property="og:brand" content="Acme">` + shown,
			"brand=Acme price=1234.50 currency=EUR availability=InStock"},
		"labels for a preview": {`<meta name="twitter:label1" content="Price"><meta name="twitter:data1" content="€12.50">` + shown, "price=12.50 currency=EUR"},
		"a measurement layer": {`<script>dataLayer.push({"ecommerce":{"detail":{"products":[{"name":"Turbocharger TX-100","price":"12.50","brand":"Acme"}]},"currencyCode":"EUR"}});</script>` + shown + `<p class="price">12.50</p>`,
			"brand=Acme price=12.50 currency=EUR"},
		"a choice of currencies": {`<script>var shop={"currencies":[{"currency":"EUR"},{"currency":"USD"}]};</script>` + shown + `<p class="price">12.50</p>`, "price=12.50"},
		"state for a script": {`<script id="state" type="application/json">{"product":{"title":"Turbocharger TX-100","sku":"N1","brand":{"name":"Acme"},"gtin":"4006381333931"}}</script>` + shown + `<b>12,50 €</b>`,
			"sku=N1 brand=Acme gtin=4006381333931 price=12.50 currency=EUR"},
		"data attributes, a button switched off": {shown + `<div class="product-detail" data-product-sku="S9" data-brand="Acme"><span class="price">12,50 €</span><button disabled class="add-to-cart">Sold out</button></div>`,
			"sku=S9 brand=Acme price=12.50 currency=EUR availability=SoldOut"},
		"classes of a microformat": {`<div class="hproduct"><h1 class="fn">Turbocharger TX-100</h1><span class="brand">Acme</span><span class="price">EUR 12.50</span><span class="identifier"><span class="type">sku</span><span class="value">Z9</span></span></div>`,
			"sku=Z9 brand=Acme price=12.50 currency=EUR"},
	} {
		l := one(t, `<html lang="en"><head><title>Turbocharger TX-100 | Shop</title></head><body>`+c.page+`</body></html>`)
		var got []string
		for _, n := range []listing.Name{listing.SKU, listing.PartNumber, listing.Brand, listing.GTIN, listing.Price, listing.PriceWas, listing.PriceKind, listing.PriceTax,
			listing.Currency, listing.Availability, listing.Condition} {
			if l.Has(n) {
				got = append(got, n.String()+"="+l.Value(n))
			}
		}
		assert.ElementsMatch(t, strings.Split(c.want, " "), strings.Split(strings.Join(got, " "), " "), name)
	}
}
