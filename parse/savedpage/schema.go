package savedpage

import (
	"strings"

	"counterfoil/parse/listing"
)

// candidate is one reading of one field, before it is decided who wins.
type candidate struct {
	name     listing.Name
	raw      string
	value    string // normalised already, "" when package values is to read raw
	source   string
	path     string
	node     int32
	trust    int
	currency string // stated beside a price, or ""
	machine  bool   // a number written for machines: full stop as decimal mark
	why      string
}

// item is what structured data says about one product.
type item struct {
	t      *thing
	name   string
	urls   []string
	fields []candidate
	images []value
	offers []offer
	listed bool // member of a list of items
	main   bool // named as the page's main entity
}

// Trust of a candidate by its source; small steps below rank properties.
const (
	trustUser  = 1000
	trustJSON  = 800
	trustMicro = 750
	trustRDFa  = 720
	trustMeta  = 600
	trustLabel = 550
	trustPage  = 450
	trustLoose = 400
)

func sourceTrust(source string) int {
	switch source {
	case srcJSON:
		return trustJSON
	case srcMicro:
		return trustMicro
	case srcRDFa:
		return trustRDFa
	}
	return trustLoose
}

// items finds the products of a page's structured data.
func (r *reader) items(top []*thing) []*item {
	var out []*item
	var walk func(t *thing, listed, main bool, depth int)
	walk = func(t *thing, listed, main bool, depth int) {
		if t.read || depth > 12 || len(out) >= maxThings {
			return
		}
		t.read = true
		switch {
		case t.is("BreadcrumbList"):
			return
		case isProduct(t):
			it := r.item(t)
			it.listed, it.main = listed, main
			out = append(out, it)
			return
		case t.is("Offer", "AggregateOffer", "Demand"):
			it := r.offerItem(t)
			it.listed, it.main = listed, main
			out = append(out, it)
			return
		}
		list := listed || t.is("ItemList", "OfferCatalog", "CollectionPage", "SearchResultsPage")
		for _, n := range [...]string{"mainEntity", "itemListElement", "item", "about", "itemReviewed", "makesOffer", "hasOfferCatalog", "mainEntityOfPage"} {
			for _, v := range t.props[n] {
				if v.item != nil {
					walk(v.item, list, main || n == "mainEntity", depth+1)
				}
			}
		}
	}
	for _, t := range top {
		walk(t, false, false, 0)
	}
	return out
}

// isProduct reports whether an item can be for sale: a Product or one of its
// kinds, or anything that has offers.
func isProduct(t *thing) bool {
	if t.is("Product", "IndividualProduct", "ProductModel", "ProductGroup", "SomeProducts", "Vehicle", "Car",
		"Motorcycle", "BusOrCoach", "ProductCollection") {
		return true
	}
	return len(t.props["offers"]) > 0 && !t.is("Organization", "WebSite", "WebPage", "ItemPage", "Offer", "AggregateOffer")
}

func (r *reader) offerItem(o *thing) *item {
	if v, ok := o.first("itemOffered"); ok && v.item != nil {
		v.item.read = true
		it := r.item(v.item)
		it.offers = append(it.offers, r.offer(o))
		return it
	}
	it := r.item(o) // name, url, image, sku stand on the offer itself
	it.offers = append(it.offers[:0], r.offers(o)...)
	return it
}

var productFields = []struct {
	name  listing.Name
	props []string
}{
	{listing.Brand, []string{"brand", "manufacturer"}},
	{listing.Model, []string{"model"}},
	{listing.PartNumber, []string{"mpn"}},
	{listing.SKU, []string{"sku", "productID", "identifier"}},
	{listing.GTIN, []string{"gtin13", "gtin", "gtin14", "gtin12", "gtin8", "ean", "ean13", "isbn", "upc"}},
	{listing.Condition, []string{"itemCondition", "condition"}},
	{listing.CountryOfOrigin, []string{"countryOfOrigin", "countryOfAssembly"}},
	{listing.SerialNumber, []string{"serialNumber"}},
	{listing.Description, []string{"description"}},
	{listing.DateCode, []string{"productionDate"}},
	{listing.Warranty, []string{"warranty"}},
}

func (r *reader) item(t *thing) *item {
	it := &item{t: t, name: t.text("name", "title")}
	for _, n := range [...]string{"url", "@id", "mainEntityOfPage"} {
		if s := t.text(n); s != "" {
			it.urls = append(it.urls, s)
		}
	}
	if it.name != "" {
		v, _ := t.first("name", "title")
		it.fields = append(it.fields, r.cand(t, listing.Title, it.name, v, 0))
	}
	it.fields = append(it.fields, r.productFields(t)...)
	for _, n := range [...]string{"image", "photo", "primaryImageOfPage", "thumbnailUrl"} {
		if it.images = append(it.images, t.props[n]...); len(it.images) > 0 && n == "primaryImageOfPage" {
			break
		}
	}
	for _, n := range [...]string{"offers", "offer"} {
		for _, v := range t.props[n] {
			if v.item != nil {
				v.item.read = true
				it.offers = append(it.offers, r.offers(v.item)...)
			}
		}
	}
	for i, v := range t.props["hasVariant"] {
		if v.item != nil && i < maxValues && !v.item.read {
			v.item.read = true
			r.variant(it, v.item)
		}
	}
	return it
}

// variant adds the offers of one variant of a product group.
func (r *reader) variant(it *item, v *thing) {
	fields := r.productFields(v)
	for _, x := range v.props["offers"] {
		if x.item == nil {
			continue
		}
		for _, o := range r.offers(x.item) {
			o.variant = fields
			if o.url == "" {
				o.url = v.text("url", "@id")
			}
			it.offers = append(it.offers, o)
		}
	}
	if len(it.images) == 0 {
		it.images = v.props["image"]
	}
}

func (r *reader) productFields(t *thing) []candidate {
	var out []candidate
	for _, f := range productFields {
		for rank, prop := range f.props {
			for _, v := range t.props[prop] {
				if c, ok := r.productField(t, f.name, prop, rank, v); ok {
					out = append(out, c)
				}
			}
		}
	}
	for _, v := range t.props["additionalProperty"] {
		if v.item == nil {
			continue
		}
		if name, ok := labelField(v.item.text("name", "propertyID")); ok {
			if s := v.item.text("value"); s != "" {
				out = append(out, r.cand(t, name, s, v, 20))
			}
		}
	}
	return out
}

func (r *reader) productField(t *thing, name listing.Name, prop string, rank int, v value) (candidate, bool) {
	s, ok := v.word()
	if !ok {
		return candidate{}, false
	}
	if prop == "identifier" || prop == "productID" {
		if name, s, ok = identifier(v, s); !ok {
			return candidate{}, false
		}
	}
	if prop == "manufacturer" {
		rank = 10
	}
	if name == listing.Brand { // "More of the brand: Acme"
		if k := strings.LastIndexByte(s, ':'); k > 0 {
			if words := strings.Fields(s[:k]); len(words) > 0 {
				if n, ok := labelField(words[len(words)-1]); ok && n == listing.Brand {
					s = strings.TrimSpace(s[k+1:])
				}
			}
		}
	}
	return r.cand(t, name, s, v, rank), true
}

// identifier reads "mpn:925872", "sku:12" or a PropertyValue with propertyID.
func identifier(v value, s string) (listing.Name, string, bool) {
	kind := ""
	if v.item != nil {
		kind = v.item.text("propertyID", "name")
		s = v.item.text("value")
	} else if k, rest, ok := strings.Cut(s, ":"); ok && !strings.Contains(rest, "/") {
		kind, s = k, rest
	}
	s = strings.TrimSpace(s)
	switch k := strings.ToLower(strings.TrimSpace(local(kind))); k {
	case "":
		if n := len(s); (n == 12 || n == 13 || n == 14) && digits(s) {
			return listing.GTIN, s, true
		}
		return listing.SKU, s, s != "" && !strings.Contains(s, "://")
	case "sku", "id", "productid", "product_id":
		return listing.SKU, s, s != "" && !strings.Contains(s, "://")
	case "mpn":
		return listing.PartNumber, s, s != ""
	case "isbn", "ean", "upc", "gtin", "gtin8", "gtin12", "gtin13", "gtin14":
		return listing.GTIN, s, s != ""
	}
	return 0, "", false
}

func (r *reader) cand(t *thing, name listing.Name, raw string, v value, below int) candidate {
	return candidate{name: name, raw: raw, source: t.source, path: v.path, node: v.node,
		trust: sourceTrust(t.source) - below}
}
