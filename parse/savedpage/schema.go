package savedpage

import (
	"strconv"
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

// offer is one offer of an item. When the item has variants, variant holds
// what the variant says about itself.
type offer struct {
	t       *thing
	fields  []candidate
	price   string
	seller  string
	url     string
	variant []candidate
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

// offers gives the single offers of an Offer or AggregateOffer. An aggregate
// whose own offers are listed stands for those.
func (r *reader) offers(t *thing) []offer {
	var out []offer
	for _, v := range t.props["offers"] {
		if v.item != nil && len(out) < maxValues && v.item != t {
			out = append(out, r.offer(v.item))
		}
	}
	if len(out) > 0 {
		return out
	}
	return []offer{r.offer(t)}
}

var offerFields = []struct {
	name  listing.Name
	props []string
}{
	{listing.Availability, []string{"availability"}},
	{listing.Condition, []string{"itemCondition", "condition"}},
	{listing.SKU, []string{"sku"}},
	{listing.PartNumber, []string{"mpn"}},
	{listing.GTIN, []string{"gtin13", "gtin", "gtin14", "gtin12", "gtin8"}},
	{listing.SerialNumber, []string{"serialNumber"}},
	{listing.Warranty, []string{"warranty"}},
}

func (r *reader) offer(t *thing) offer {
	if r.offerCount++; r.offerCount > maxThings { // one offer that many items refer to
		return offer{t: t}
	}
	o := offer{t: t, url: t.text("url", "@id")}
	r.prices(t, &o)
	for _, f := range offerFields {
		for rank, prop := range f.props {
			for _, v := range t.props[prop] {
				if s, ok := v.word(); ok {
					o.fields = append(o.fields, r.cand(t, f.name, s, v, rank+5))
				}
			}
		}
	}
	if v, ok := t.first("seller", "offeredBy", "vendor"); ok {
		r.seller(t, v, &o)
	}
	if v, ok := t.first("inventoryLevel"); ok {
		if s := quantity(v); s != "" {
			o.fields = append(o.fields, r.cand(t, listing.QuantityAvailable, s, v, 0))
		}
	}
	if v, ok := t.first("eligibleQuantity"); ok && v.item != nil {
		if s := v.item.text("minValue"); s != "" && s != "1" {
			o.fields = append(o.fields, r.cand(t, listing.MinimumOrder, s, v, 0))
		}
	}
	r.shippingOf(t, &o)
	r.returnsOf(t, &o)
	return o
}

func quantity(v value) string {
	if v.item == nil {
		return v.text
	}
	return v.item.text("value")
}

// prices reads price, lowPrice and priceSpecification of an offer.
func (r *reader) prices(t *thing, o *offer) {
	currency := t.text("priceCurrency", "currency")
	put := func(name listing.Name, v value, below int) {
		if s, ok := v.word(); ok {
			c := r.cand(t, name, s, v, below)
			c.machine, c.currency = machineNumber(s), currency
			if name == listing.Price && o.price == "" {
				o.price = s
			}
			o.fields = append(o.fields, c)
		}
	}
	if v, ok := t.first("price"); ok {
		put(listing.Price, v, 0)
	} else if v, ok := t.first("lowPrice"); ok {
		put(listing.Price, v, 0)
		high := t.text("highPrice")
		if low, _ := v.word(); high != "" && !sameNumber(low, high) {
			o.fields = append(o.fields, r.cand(t, listing.PriceKind, listing.PriceFrom, v, 0))
		}
	}
	for i, v := range t.props["priceSpecification"] {
		if v.item != nil && i < 20 {
			currency = firstOf(v.item.text("priceCurrency"), currency)
			r.priceSpec(v.item, put)
		}
	}
	if currency != "" {
		v, ok := t.first("priceCurrency", "currency")
		if !ok {
			v = value{path: join(t.path, "priceSpecification.priceCurrency"), node: t.node}
		}
		o.fields = append(o.fields, r.cand(t, listing.Currency, currency, v, 0))
	}
	if v, ok := t.first("valueAddedTaxIncluded"); ok {
		o.fields = append(o.fields, r.taxCand(t, v))
	}
}

func (r *reader) priceSpec(s *thing, put func(listing.Name, value, int)) {
	v, ok := s.first("price", "minPrice")
	if !ok || len(s.props["referenceQuantity"]) > 0 || len(s.props["billingDuration"]) > 0 ||
		s.is("DeliveryChargeSpecification", "PaymentChargeSpecification") {
		return
	}
	switch kind := strings.ToLower(local(s.text("priceType"))); {
	case strings.Contains(kind, "list"), strings.Contains(kind, "strike"), strings.Contains(kind, "srp"), strings.Contains(kind, "regular"):
		put(listing.PriceWas, v, 0)
	case strings.Contains(kind, "invoice"), strings.Contains(kind, "minimumadvertised"):
	default:
		put(listing.Price, v, 2)
	}
}

func (r *reader) taxCand(t *thing, v value) candidate {
	s, _ := v.word()
	word := listing.TaxExcluded
	if strings.EqualFold(local(s), "true") {
		word = listing.TaxIncluded
	}
	return r.cand(t, listing.PriceTax, word, v, 0)
}

func (r *reader) seller(t *thing, v value, o *offer) {
	name, ok := v.word()
	if ok && !strings.Contains(name, "://") {
		o.seller = name
		o.fields = append(o.fields, r.cand(t, listing.Seller, name, v, 0))
	}
	if v.item == nil {
		return
	}
	if id := v.item.text("identifier", "vatID", "taxID"); id != "" {
		o.fields = append(o.fields, r.cand(t, listing.SellerID, id, v, 0))
	}
	if a, ok := v.item.first("address", "location"); ok {
		if s := address(a); s != "" {
			o.fields = append(o.fields, r.cand(t, listing.SellerLocation, s, a, 0))
		}
	}
	if s := v.item.text("telephone", "email"); s != "" {
		o.fields = append(o.fields, r.cand(t, listing.Contact, s, v, 0))
	}
}

func address(v value) string {
	if v.item == nil {
		return v.text
	}
	if a, ok := v.item.first("address"); ok && a.item != v.item {
		return address(value{text: a.text, item: shallow(a.item)})
	}
	var parts []string
	for _, n := range [...]string{"postalCode", "addressLocality", "addressRegion", "addressCountry"} {
		if s := v.item.text(n); s != "" {
			parts = append(parts, s)
		}
	}
	if len(parts) == 0 {
		return v.item.text("name")
	}
	return strings.Join(parts, ", ")
}

// shallow guards against an address within an address without end.
func shallow(t *thing) *thing {
	if t == nil {
		return nil
	}
	c := *t
	c.props = map[string][]value{}
	for k, v := range t.props {
		if k != "address" {
			c.props[k] = v
		}
	}
	return &c
}

func (r *reader) shippingOf(t *thing, o *offer) {
	v, ok := t.first("shippingDetails")
	if !ok || v.item == nil {
		return
	}
	if rate, ok := v.item.first("shippingRate"); ok && rate.item != nil {
		cur := rate.item.text("currency", "priceCurrency")
		s := rate.item.text("value", "price")
		if own := t.text("priceCurrency"); s != "" && (own == "" || cur == "" || strings.EqualFold(own, cur)) {
			c := r.cand(t, listing.Shipping, s, rate, 0)
			c.machine, c.currency = machineNumber(s), cur
			o.fields = append(o.fields, c)
		}
	}
	if from, ok := v.item.first("shippingOrigin"); ok {
		if s := address(from); s != "" {
			o.fields = append(o.fields, r.cand(t, listing.ShipsFrom, s, from, 0))
		}
	}
}

func (r *reader) returnsOf(t *thing, o *offer) {
	v, ok := t.first("hasMerchantReturnPolicy")
	if !ok || v.item == nil {
		return
	}
	s := local(v.item.text("returnPolicyCategory"))
	if days := v.item.text("merchantReturnDays"); days != "" {
		if _, err := strconv.Atoi(days); err == nil {
			s = strings.TrimSpace(s + " " + days + " days")
		}
	}
	if s != "" {
		o.fields = append(o.fields, r.cand(t, listing.Returns, s, v, 0))
	}
}

// machineNumber tells a number as machines write it from one for readers:
// digits, and at most one full stop.
func machineNumber(s string) bool {
	whole, part, _ := strings.Cut(strings.TrimSpace(s), ".")
	return whole != "" && digits(whole) && digits(part)
}

func digits(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return true
}

func sameNumber(a, b string) bool {
	x, err1 := strconv.ParseFloat(strings.TrimSpace(a), 64)
	y, err2 := strconv.ParseFloat(strings.TrimSpace(b), 64)
	return err1 == nil && err2 == nil && x == y || a == b
}
