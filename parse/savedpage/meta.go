package savedpage

import (
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"counterfoil/parse/listing"
)

const (
	srcOG   = "open-graph"
	srcMeta = "meta"
	srcPage = "page"
)

// facts are statements about the page as a whole.
type facts struct {
	title     string // of the title element
	ogTitle   string
	ogType    string
	canonical string
	ogURL     string
	savedFrom string
	site      string
	captured  string
	images    []value
	nodes     map[string]int32 // where each stands
}

// metaFields maps names of meta tags to fields. Open Graph and its product
// extension; the rest are names in common use.
var metaFields = map[string]listing.Name{
	"product:price:amount": listing.Price, "og:price:amount": listing.Price, "og:price": listing.Price,
	"product:sale_price:amount":     listing.Price,
	"product:price:currency":        listing.Currency,
	"og:price:currency":             listing.Currency,
	"product:sale_price:currency":   listing.Currency,
	"product:original_price:amount": listing.PriceWas,
	"product:availability":          listing.Availability, "og:availability": listing.Availability,
	"product:brand": listing.Brand, "og:brand": listing.Brand,
	"product:condition": listing.Condition, "og:condition": listing.Condition,
	"product:retailer_item_id": listing.SKU, "product:retailer_part_no": listing.SKU, "product:sku": listing.SKU,
	"product:mfr_part_no": listing.PartNumber,
	"product:ean":         listing.GTIN, "product:upc": listing.GTIN, "product:isbn": listing.GTIN, "product:gtin": listing.GTIN,
	"books:isbn": listing.GTIN, "book:isbn": listing.GTIN,
	"product:shipping_cost:amount": listing.Shipping,
	"og:title":                     listing.Title, "og:description": listing.Description,
	"sku": listing.SKU, "price": listing.Price, "brand": listing.Brand, "gtin": listing.GTIN, "mpn": listing.PartNumber,
}

// meta reads the head: meta tags, canonical address, title, the comment a
// browser leaves in a saved page.
func (r *reader) meta() {
	f := &r.facts
	f.nodes = map[string]int32{}
	labels := map[string]string{} // twitter:labelN
	for _, i := range r.p.head {
		n := r.p.nodes[i].n
		switch {
		case n.Type == html.CommentNode:
			f.comment(n.Data, i)
		case n.DataAtom == atom.Title && f.title == "" && n.Namespace == "":
			f.title = squeeze(textOf(n))
			f.nodes["title"] = i
		case n.DataAtom == atom.Link:
			if f.canonical == "" && strings.EqualFold(attr(n, "rel"), "canonical") {
				f.canonical = strings.TrimSpace(attr(n, "href"))
				f.nodes["canonical"] = i
			}
		case n.DataAtom == atom.Meta:
			r.metaTag(n, i, labels)
		}
	}
}

func textOf(n *html.Node) string {
	if n.FirstChild == nil || n.FirstChild.Type != html.TextNode {
		return ""
	}
	return clip(n.FirstChild.Data, maxText)
}

// comment reads the mark of the web: "saved from url=(0042)https://…".
func (f *facts) comment(s string, i int32) {
	if len(s) > 4096 || f.savedFrom != "" {
		return
	}
	_, rest, ok := strings.Cut(s, "saved from url=")
	if !ok {
		return
	}
	if strings.HasPrefix(rest, "(") {
		_, rest, _ = strings.Cut(rest, ")")
	}
	if rest = strings.TrimSpace(rest); strings.HasPrefix(rest, "http") {
		f.savedFrom = strings.Fields(rest)[0]
		f.nodes["saved"] = i
	}
}

func (r *reader) metaTag(n *html.Node, i int32, labels map[string]string) {
	name := strings.ToLower(strings.TrimSpace(firstOf(attr(n, "property"), attr(n, "name"))))
	content := plain(attr(n, "content"))
	if content == "" {
		return
	}
	f := &r.facts
	switch name {
	case "og:title":
		f.ogTitle = firstOf(f.ogTitle, content)
	case "og:type":
		f.ogType = firstOf(f.ogType, strings.ToLower(content))
	case "og:url":
		if f.ogURL == "" {
			f.ogURL = content
			f.nodes["og:url"] = i
		}
	case "og:site_name":
		f.site = firstOf(f.site, content)
	case "og:image", "og:image:secure_url", "og:image:url":
		if len(f.images) < maxPhotos {
			f.images = append(f.images, value{text: content, path: name, node: i})
		}
	case "archive:capture_time", "capture_time", "capturetime", "dcterms.available", "captured_at":
		if f.captured == "" {
			f.captured = content
			f.nodes["captured"] = i
		}
	}
	if field, ok := metaFields[name]; ok {
		source, trust := srcOG, trustMeta
		if !strings.Contains(name, ":") {
			source, trust = srcMeta, trustMeta-50
		}
		if strings.HasPrefix(name, "product:sale_price") {
			trust += 5
		}
		r.put(candidate{name: field, raw: content, source: source, path: name, node: i, trust: trust,
			machine: field == listing.Price && machineNumber(content)})
	}
	r.twitter(name, content, i, labels)
}

// twitter reads the pairs twitter:label1 / twitter:data1.
func (r *reader) twitter(name, content string, i int32, labels map[string]string) {
	if k, ok := strings.CutPrefix(name, "twitter:label"); ok {
		labels[k] = content
		return
	}
	k, ok := strings.CutPrefix(name, "twitter:data")
	if !ok {
		return
	}
	if field, ok := labelField(labels[k]); ok {
		r.put(candidate{name: field, raw: content, source: srcMeta, path: name, node: i, trust: trustMeta - 100})
	}
}

// looseProps reads itemprop attributes that stand outside any item.
func (r *reader) looseProps() {
	fields := map[string]listing.Name{"price": listing.Price, "priceCurrency": listing.Currency, "sku": listing.SKU,
		"mpn": listing.PartNumber, "brand": listing.Brand, "gtin13": listing.GTIN, "gtin": listing.GTIN,
		"availability": listing.Availability, "name": listing.Title, "description": listing.Description,
		"itemCondition": listing.Condition, "manufacturer": listing.Brand}
	for _, v := range r.loose {
		n, ok := fields[v.path]
		if !ok || r.p.nodes[v.node].ctx&(side|tile|crumbs|review) != 0 || plain(v.text) == "" {
			continue
		}
		trust := trustLoose
		if n == listing.Title {
			trust -= 100
		}
		r.put(candidate{name: n, raw: plain(v.text), source: srcMicro, path: v.path, node: v.node, trust: trust,
			machine: n == listing.Price && machineNumber(v.text), why: "an itemprop outside any item"})
	}
}
