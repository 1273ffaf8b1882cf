package savedpage

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
)

// Layouts of shops without any markup for machines, each between a basket and
// other items. Common practice of templates, no source; the data is invented,
// and what is wanted is what a buyer reads.
func TestLayouts(t *testing.T) {
	const before = `<html lang="en"><head><title>Turbocharger TX-100 – Shop</title><link rel="canonical" href="https://shop.example/tx-100"></head><body>
		<header class="site-header"><a class="cart">Cart <span class="amount">€0.00</span></a></header>`
	const behind = `<section class="related products"><h2>Related products</h2><ul class="products">
		<li class="product"><h2>TX-1</h2><span class="price">€1.00</span><a class="button add_to_cart_button">Add to cart</a></li>
		<li class="product"><h2>TX-2</h2><span class="price">€2.00</span><a class="button">Add to cart</a></li>
		<li class="product"><h2>TX-3</h2><span class="price">€3.00</span></li></ul></section><footer>Free delivery over €99</footer></body></html>`
	for name, c := range map[string]struct{ page, want string }{
		"classes of every part": {`<div class="product"><nav class="breadcrumb"><a>Home</a> / <a>Turbos</a></nav>
			<div class="summary summary"><h1 class="product_title title">Turbocharger TX-100</h1>
			<p class="price"><del><span class="Price-amount amount"><bdi><span class="currencySymbol">€</span>500.00</bdi></span></del> <ins><span class="Price-amount amount"><bdi><span class="currencySymbol">€</span>412.50</bdi></span></ins></p>
			<p class="stock in-stock">3 in stock</p>
			<form class="cart"><input name="quantity" value="1"><button class="single_add_to_cart_button button">Add to cart</button></form>
			<div class="product_meta"><span class="sku_wrapper">SKU: <span class="sku">TX-55</span></span> <span class="posted_in">Category: <a>Turbos</a></span><span>Brand: <a>Acme</a></span></div></div></div>`,
			"sku=TX-55 brand=Acme price=412.50 price_was=500.00 currency=EUR availability=InStock quantity_available=3"},
		"boxes and an attribute table": {`<main><div class="page-title-wrapper product"><h1 class="page-title"><span class="base">Turbocharger TX-100</span></h1></div>
			<div class="product-info-main"><div class="product-info-price"><div class="price-box price-final_price"><span class="special-price"><span class="price-container"><span class="price-label">Special Price</span><span class="price-wrapper" data-price-amount="412.5"><span class="price">412,50 €</span></span></span></span><span class="old-price"><span class="price-container"><span class="price-label">Regular Price</span><span class="price-wrapper"><span class="price">500,00 €</span></span></span></span></div>
			<div class="product-info-stock-sku"><div class="stock available" title="Availability"><span>In stock</span></div>
			<div class="product attribute sku"><strong class="type">SKU</strong> <div class="value">TX-55</div></div></div></div>
			<div class="product-add-form"><form><button id="product-addtocart-button" class="action primary tocart"><span>Add to Cart</span></button></form></div></div>
			<div class="additional-attributes-wrapper"><table class="data table additional-attributes"><tr><th class="col label">Manufacturer</th><td class="col data">Acme</td></tr>
			<tr><th>Manufacturer part number</th><td>454231-5007S</td></tr>
			<tr><th>EAN</th><td>4006381333931</td></tr></table></div></main>`,
			"sku=TX-55 brand=Acme part_number=454231-5007S gtin=4006381333931 price=412.50 price_was=500.00 currency=EUR availability=InStock"},
		"lists, the price in a heading": {`<div id="content"><h1>Turbocharger TX-100</h1>
			<ul class="list-unstyled"><li>Brand: <a href="/x">Acme</a></li><li>Product Code: TX-55</li><li>Reward Points: 400</li><li>Availability: In Stock</li></ul>
			<ul class="list-unstyled"><li><span style="text-decoration: line-through;">€500.00</span></li><li><h2>€412.50</h2></li><li>Ex Tax: €340.90</li><li>Price in reward points: 40000</li></ul>
			<button id="button-cart">Add to Cart</button></div>`,
			"sku=TX-55 brand=Acme price=412.50 price_was=500.00 currency=EUR availability=InStock"},
		"labels and values side by side": {`<section id="main"><h1 class="h1">Turbocharger TX-100</h1>
			<div class="product-prices"><div class="product-discount"><span class="regular-price">500,00 €</span></div>
			<div class="product-price h5 has-discount"><div class="current-price"><span>412,50 €</span><span class="discount discount-percentage">Save 17.5%</span></div></div>
			<div class="tax-shipping-delivery-label">Tax included <span class="delivery-information">Delivery: 1 to 3 weeks</span></div></div>
			<div class="product-manufacturer"><label class="label">Brand</label><span><a href="/brand/1">Acme</a></span></div>
			<div class="product-reference"><label class="label">Reference </label><span>TX-55</span></div>
			<div class="product-quantities"><label class="label">In stock</label><span>7 Items</span></div>
			<div class="product-add-to-cart"><button class="btn btn-primary add-to-cart">Add to cart</button></div></section>`,
			"sku=TX-55 brand=Acme price=412.50 price_was=500.00 currency=EUR availability=InStock quantity_available=7"},
		"names that tell nothing": {`<div class="x1 q2"><div class="a9"><span>Acme</span></div>
			<h1 class="b7">Turbocharger TX-100</h1>
			<div class="k3"><span>412,50 €</span><span>UVP 500,00 €</span></div>
			<div class="k8"><span>oder 12 x 36,00 €</span></div>
			<div>Art.-Nr. TX-55</div>
			<div>Lieferzeit: 2-3 Tage</div>
			<button class="z">In den Warenkorb</button></div>`,
			"sku=TX-55 price=412.50 price_was=500.00 currency=EUR availability=InStock"},
		"a table without headings": {`<table><tr><td><font size=5><b>Turbocharger TX-100</b></font></td></tr>
			<tr><td>Our Price: <font color=red>$412.50</font></td></tr>
			<tr><td>List Price: $500.00</td></tr>
			<tr><td>Item # TX-55</td></tr>
			<tr><td>Manufacturer: Acme</td></tr>
			<tr><td><input type=submit value="Add to Cart"></td></tr></table>`,
			"sku=TX-55 brand=Acme price=412.50 price_was=500.00 availability=InStock"},
		"a definition list": {`<main><h1>Turbocharger TX-100</h1>
			<div data-testid="price">412.50&nbsp;€</div><dl><div><dt>Hersteller</dt><dd>Acme</dd></div>
			<div><dt>Artikelnummer</dt><dd>TX-55</dd></div>
			<div><dt>Herstellernummer</dt><dd>454231-5007S</dd></div></dl><div>Nur noch 2 Stück auf Lager</div></main>`,
			"sku=TX-55 brand=Acme part_number=454231-5007S price=412.50 currency=EUR availability=InStock quantity_available=2"},
		"an advertisement": {`<main><div class="listing"><h1>Turbocharger TX-100</h1><h3 class="price-tag">412 € <small>VB</small></h3><ul class="details"><li>Marke<span>Acme</span></li><li>Zustand<span>Neu</span></li></ul>
			<div class="seller-card"><h2>Hans M.</h2><a class="btn">Nachricht schreiben</a></div></div></main>`,
			"brand=Acme price=412 currency=EUR condition=new"},
	} {
		l := one(t, before+c.page+behind)
		var got []string
		for _, n := range []listing.Name{listing.SKU, listing.Brand, listing.PartNumber, listing.GTIN, listing.Price, listing.PriceWas, listing.Currency,
			listing.Availability, listing.QuantityAvailable, listing.Condition} {
			if l.Has(n) {
				got = append(got, n.String()+"="+l.Value(n))
			}
		}
		assert.Equal(t, c.want, strings.Join(got, " "), name)
	}
}
