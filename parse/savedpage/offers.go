package savedpage

import (
	"strconv"
	"strings"

	"counterfoil/parse/listing"
)

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

// offers gives the single offers of an Offer or AggregateOffer. An aggregate
// whose own offers are listed stands for those.
func (r *reader) offers(t *thing) []offer {
	var out []offer
	for _, v := range t.props["offers"] {
		if v.item != nil && len(out) < maxValues && v.item != t {
			v.item.inheritFrom(t, "priceCurrency", "availability", "itemCondition", "seller")
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
			r.priceSpec(v.item, o, put)
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

func (r *reader) priceSpec(s *thing, o *offer, put func(listing.Name, value, int)) {
	v, ok := s.first("price", "minPrice")
	if !ok || len(s.props["referenceQuantity"]) > 0 || len(s.props["billingDuration"]) > 0 ||
		s.is("DeliveryChargeSpecification", "PaymentChargeSpecification") {
		return
	}
	if tax, ok := s.first("valueAddedTaxIncluded"); ok {
		o.fields = append(o.fields, r.taxCand(s, tax))
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
