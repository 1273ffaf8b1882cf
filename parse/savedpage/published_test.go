package savedpage

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// The example of schema.org/Product in its three notations, written down from
// memory: the wording may differ from the published page, the facts and the
// structure do not.
var anvil = map[string]string{
	srcJSON: `<script type="application/ld+json">{"@context": "https://schema.org/", "@type": "Product",
  "name": "Executive Anvil", "image": "anvil_executive.jpg",
  "description": "Sleeker than ACME's Classic Anvil, the Executive Anvil is perfect for the business traveler looking for something to drop from a height.",
  "mpn": "925872", "brand": {"@type": "Brand", "name": "ACME"},
  "aggregateRating": {"@type": "AggregateRating", "ratingValue": "4.4", "reviewCount": "89"},
  "offers": {"@type": "Offer", "priceCurrency": "USD", "price": "119.99", "priceValidUntil": "2030-11-05",
    "itemCondition": "https://schema.org/UsedCondition", "availability": "https://schema.org/InStock",
    "seller": {"@type": "Organization", "name": "Executive Objects"}}}</script>`,
	srcMicro: `<div itemscope itemtype="https://schema.org/Product">
  <span itemprop="brand">ACME</span> <span itemprop="name">Executive Anvil</span>
  <img itemprop="image" src="anvil_executive.jpg" alt="Executive Anvil logo" />
  <span itemprop="description">Sleeker than ACME's Classic Anvil, the Executive Anvil is perfect for the business traveler looking for something to drop from a height.</span>
  Product #: <span itemprop="mpn">925872</span>
  <span itemprop="aggregateRating" itemscope itemtype="https://schema.org/AggregateRating">
   Rating: <span itemprop="ratingValue">4.4</span> stars, based on <span itemprop="reviewCount">89</span> reviews</span>
  <span itemprop="offers" itemscope itemtype="https://schema.org/Offer">
    Regular price: $179.99 <meta itemprop="priceCurrency" content="USD" />$<span itemprop="price">119.99</span>
    (Sale ends <time itemprop="priceValidUntil" datetime="2030-11-05">5 November!</time>)
    Available from: <span itemprop="seller" itemscope itemtype="https://schema.org/Organization"><span itemprop="name">Executive Objects</span></span>
    Condition: <link itemprop="itemCondition" href="https://schema.org/UsedCondition"/>Previously owned, in excellent condition
    <link itemprop="availability" href="https://schema.org/InStock"/>In stock! Order now!</span></div>`,
	srcRDFa: `<div vocab="https://schema.org/" typeof="Product">
  <span property="brand">ACME</span> <span property="name">Executive Anvil</span>
  <img property="image" src="anvil_executive.jpg" alt="Executive Anvil logo" />
  <span property="description">Sleeker than ACME's Classic Anvil, the Executive Anvil is perfect for the business traveler looking for something to drop from a height.</span>
  Product #: <span property="mpn">925872</span>
  <span property="aggregateRating" typeof="AggregateRating">
   Rating: <span property="ratingValue">4.4</span> stars, based on <span property="reviewCount">89</span> reviews</span>
  <span property="offers" typeof="Offer">
    Regular price: $179.99 <meta property="priceCurrency" content="USD" />$<span property="price">119.99</span>
    (Sale ends <time property="priceValidUntil" datetime="2030-11-05">5 November!</time>)
    Available from: <span property="seller" typeof="Organization"><span property="name">Executive Objects</span></span>
    Condition: <link property="itemCondition" href="https://schema.org/UsedCondition"/>Previously owned, in excellent condition
    <link property="availability" href="https://schema.org/InStock"/>In stock! Order now!</span></div>`,
}

func TestPublishedProductExample(t *testing.T) {
	want := map[listing.Name]string{
		listing.Title: "Executive Anvil", listing.Brand: "ACME", listing.PartNumber: "925872",
		listing.Price: "119.99", listing.Currency: "USD", listing.Condition: listing.Used,
		listing.Availability: listing.InStock, listing.Seller: "Executive Objects",
	}
	for _, source := range []string{srcJSON, srcMicro, srcRDFa} {
		l := one(t, "<html><head><title>Executive Anvil</title></head><body>"+anvil[source]+"</body></html>")
		for n, v := range want {
			f, ok := l.Get(n)
			require.True(t, ok, "%s %s", source, n)
			assert.Equal(t, v, f.Value, "%s %s", source, n)
			assert.Equal(t, source, f.From.Source, "%s %s from %s", source, n, f.From)
		}
		assert.Contains(t, l.Value(listing.Description), "drop from a height")
	}
}

// one reads a page that must hold one listing.
func one(t *testing.T, doc string) *listing.Listing {
	t.Helper()
	res := Read([]byte(doc), "page.html", "", nil, Options{})
	require.Equal(t, KindListing, res.Kind)
	require.Len(t, res.Listings, 1)
	return res.Listings[0]
}

// TestMicrodataOfTheStandard follows the HTML Standard, section Microdata:
// itemref, several names in one itemprop, values of the elements that have a
// special one. From memory.
func TestMicrodataOfTheStandard(t *testing.T) {
	p := pageReader(t, `<div itemscope id="amanda" itemref="a b"></div><p id="a">Name: <span itemprop="name">Amanda</span></p>
<div id="b" itemprop="band" itemscope itemref="c"></div>
<div id="c"><p>Band: <span itemprop="name">Jazz Band</span></p><p>Size: <span itemprop="size players">12</span></p></div>
<div itemscope itemid="urn:isbn:0-330-34032-8"><time itemprop="when" datetime="2009-05-10">May 10th</time>
<img itemprop="picture" src="x.png"><data itemprop="id" value="9678AOU879">thing</data><meter itemprop="m" value="4">four</meter>
<link itemprop="l" href="/next"><meta itemprop="c" content="text"></div>`)
	top := p.microdata()
	require.Len(t, top, 2)
	assert.Equal(t, "Amanda", top[0].text("name"))
	band, ok := top[0].first("band")
	require.True(t, ok)
	assert.Equal(t, "Jazz Band", band.item.text("name"))
	assert.Equal(t, "12", band.item.text("players"))
	for name, want := range map[string]string{"when": "2009-05-10", "picture": "x.png", "id": "9678AOU879", "m": "4", "l": "/next", "c": "text"} {
		assert.Equal(t, want, top[1].text(name), name)
	}
}

func pageReader(t *testing.T, doc string) *reader {
	t.Helper()
	p, err := parse([]byte(doc), false)
	require.NoError(t, err)
	return &reader{p: p, file: "page.html", opt: Options{MaxListings: maxListings, MaxPhotos: maxPhotos}, seenRef: map[string]bool{}}
}
