package savedpage

import (
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
)

func FuzzRead(f *testing.F) {
	for _, s := range anvil {
		f.Add(s)
	}
	f.Add(head + similar + `<h1>Turbocharger TX-100</h1><p class="price"><s>€ 1</s> € 412<sup>50</sup></p><img src="data:,x"><dl><dt>SKU<dd>1</dl>`)
	f.Add(`<base href="http://a.example/"><div itemscope itemtype="/Product" id="a" itemref="a b"><b itemprop="offers" itemscope id="b" itemref="a">`)
	f.Add(`<script type="application/ld+json">{"@id":"a","@type":"Product","offers":{"@id":"a"}}</script>`)
	pages, err := ReadPages("p.yaml", []byte(selectors))
	if err != nil {
		f.Fatal(err)
	}
	opt := Options{Photo: sized, Pages: pages, Explain: true, MaxListings: 50}
	f.Fuzz(func(t *testing.T, doc string) {
		res := Read([]byte(doc), "page.html", "", folder{"a.jpg": "800x600"}, opt)
		assert.NotEmpty(t, res.Kind)
		check := func(p listing.Place) {
			assert.LessOrEqual(t, 0, int(p.Start))
			assert.LessOrEqual(t, p.Start, p.End)
			assert.LessOrEqual(t, int(p.End), len(doc))
		}
		for _, l := range res.Listings {
			for _, x := range l.Fields() {
				check(x.From)
			}
		}
		for _, p := range res.Problems {
			check(p.Place)
		}
	})
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte("<meta charset=utf-8>\xff"), "text/html; charset=utf-16")
	f.Add([]byte("\xff\xfea"), "")
	f.Add([]byte("<meta charset=x-user-defined>\x80"), "charset=\"")
	f.Fuzz(func(t *testing.T, doc []byte, contentType string) {
		text, name, _ := Decode(doc, contentType)
		assert.NotEmpty(t, name)
		if name != "utf-8" {
			assert.True(t, utf8.Valid(text), name)
		}
	})
}
