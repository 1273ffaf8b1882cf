package savedpage

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"

	"counterfoil/parse/listing"
)

const srcState = "embedded"

// Bounds of the search in scripts.
const (
	maxObjects = 12
	maxBack    = 4 << 10 // how far before the name its object may begin
	maxObject  = 64 << 10
)

// stateKeys are the property names of products in the state that shop software
// and measurement layers leave in scripts and data attributes. Common
// practice, no source. A bare "id" is the shop's own business: it numbers rows
// of a database as often as items.
var stateKeys = map[string]listing.Name{
	"sku": listing.SKU, "productsku": listing.SKU, "productcode": listing.SKU, "itemid": listing.SKU, "articlenumber": listing.SKU,
	"articleid": listing.SKU, "itemnumber": listing.SKU, "productnumber": listing.SKU, "artno": listing.SKU,
	"mpn": listing.PartNumber, "partnumber": listing.PartNumber, "manufacturerpartnumber": listing.PartNumber, "manufacturercode": listing.PartNumber,
	"brand": listing.Brand, "brandname": listing.Brand, "itembrand": listing.Brand, "productbrand": listing.Brand, "manufacturer": listing.Brand,
	"manufacturername": listing.Brand,
	"gtin":             listing.GTIN, "gtin13": listing.GTIN, "ean": listing.GTIN, "ean13": listing.GTIN, "upc": listing.GTIN, "isbn": listing.GTIN, "barcode": listing.GTIN,
	"productprice": listing.Price, "price": listing.Price,
	"currency": listing.Currency, "currencycode": listing.Currency, "pricecurrency": listing.Currency,
}

// embedded reads objects in inline scripts that carry the heading's words as
// their name.
func (r *reader) embedded() {
	name := squeeze(firstOf(r.itemName, r.heading))
	if len(name) < 6 {
		return
	}
	forms := []string{`"` + name + `"`, `'` + name + `'`}
	if b, err := json.Marshal(name); err == nil && string(b) != forms[0] {
		forms = append(forms, string(b))
	}
	if a := strconv.QuoteToASCII(name); a != forms[0] {
		forms = append(forms, a)
	}
	found := 0
	for _, i := range r.p.scripts {
		n := r.p.nodes[i].n
		if n.FirstChild == nil || isLD(attr(n, "type")) {
			continue
		}
		text := r.p.script(n)
		for _, f := range forms {
			for at := 0; found < maxObjects; {
				k := bytes.Index(text[at:], []byte(f))
				if k < 0 {
					break
				}
				at += k + len(f)
				found++
				start := max(0, at-len(f)-maxBack)
				if v, ok := enclosing(string(text[start:min(len(text), at+maxObject)]), at-len(f)-start); ok {
					r.state(v, i, "script", trustLoose-20)
				}
			}
		}
	}
}

// stateCurrency reads the currency from the state in scripts, where all of it
// names the same one: a shop's choice of currencies is no statement about the
// price.
func (r *reader) stateCurrency() {
	found, node := "", int32(0)
	for _, i := range r.p.scripts {
		n := r.p.nodes[i].n
		if n.FirstChild == nil || isLD(attr(n, "type")) {
			continue
		}
		rest := r.p.script(n)
		for seen := 0; seen < maxBrands; seen++ {
			k := bytes.Index(rest, []byte("urrency"))
			if k < 0 {
				break
			}
			rest = rest[k+len("urrency"):]
			code := currencyCode(string(rest[:min(len(rest), 40)]))
			if code == "" || code == found {
				continue
			}
			if found != "" {
				return
			}
			found, node = code, i
		}
	}
	if found != "" {
		r.put(candidate{name: listing.Currency, raw: found, source: srcState, path: "script currency", node: node, trust: trustLoose - 50,
			why: "the only currency that the page's scripts name"})
	}
}

// currencyCode reads the code behind "currency" or "currencyCode" as a key.
func currencyCode(s string) string {
	s = strings.ReplaceAll(s, `\"`, `"`)
	for _, key := range [...]string{"Code", "_code", "code"} {
		if rest, ok := strings.CutPrefix(s, key); ok {
			s = rest
			break
		}
	}
	s, ok := strings.CutPrefix(strings.TrimLeft(strings.TrimLeft(s, `"'`), " "), ":")
	if s = strings.TrimLeft(s, " "); !ok || len(s) < 5 || s[0] != '"' && s[0] != '\'' || s[4] != s[0] {
		return ""
	}
	if _, ok := listing.MinorUnits(s[1:4]); !ok {
		return ""
	}
	return s[1:4]
}

// enclosing parses the innermost object around an offset of a script.
func enclosing(text string, at int) (map[string]any, bool) {
	depth := 0
	for j := at - 1; j >= 0 && at-j < maxBack; j-- {
		switch text[j] {
		case '}', ']':
			depth++
		case '[':
			depth--
		case '{':
			if depth--; depth < 0 {
				m := mender{s: text[j:min(len(text), j+maxObject)]}
				v, err := m.value(0)
				o, ok := v.(map[string]any)
				return o, err == nil && ok
			}
		}
	}
	return nil, false
}

// state takes the fields of one object.
func (r *reader) state(o map[string]any, node int32, where string, trust int) {
	for _, k := range sortedKeys(o) {
		key := foldKey(k)
		name, ok := stateKeys[key]
		if !ok {
			continue
		}
		v := o[k]
		if m, nested := v.(map[string]any); nested {
			v = m["name"]
		}
		raw := plain(scalarText(v))
		if raw == "" || len(raw) > 80 || name == listing.SKU && raw == "0" {
			continue
		}
		t := trust
		if key == "price" {
			t -= 100 // of what, it does not say
		}
		if name == listing.Price { // may be in cents: only what the page shows as well
			if p, err := strconv.ParseFloat(raw, 64); err != nil || !r.onPage(p) {
				continue
			}
		}
		r.put(candidate{name: name, raw: raw, source: srcState, path: where + " " + k, node: node, trust: t, machine: name == listing.Price})
	}
}

// foldKey drops case and separators: "data-product_SKU" is productsku.
func foldKey(k string) string {
	return strings.Map(func(c rune) rune {
		switch {
		case c == '_' || c == '-' || c == '.' || c == ' ':
			return -1
		case 'A' <= c && c <= 'Z':
			return c + 'a' - 'A'
		}
		return c
	}, k)
}

// dataField tells the field of a data attribute. Prices, which scripts change,
// are not taken.
func dataField(key string) (listing.Name, bool) {
	if len(key) < 8 || len(key) > 40 || key[:5] != "data-" {
		return 0, false
	}
	var b [40]byte
	n := 0
	for i := 5; i < len(key); i++ {
		if c := key[i]; c != '-' && c != '_' {
			b[n] = c
			n++
		}
	}
	name, ok := stateKeys[string(b[:n])]
	return name, ok && name != listing.Price
}

// dataAttributes reads data-sku, data-brand and the like of the item's part.
func (r *reader) dataAttributes() {
	const outside = side | tile | chrome | review | crumbs | slide | grid
	count := 0
	for _, i := range r.p.data {
		x := &r.p.nodes[i]
		if x.ctx&outside != 0 || r.p.title < 0 {
			continue
		}
		for j := range x.n.Attr {
			a := &x.n.Attr[j]
			name, ok := dataField(a.Key)
			if !ok || a.Val == "" || len(a.Val) > 80 || strings.ContainsAny(a.Val, "{[") {
				continue
			}
			if count++; count > 100 {
				return
			}
			r.put(candidate{name: name, raw: plain(a.Val), source: srcState, path: a.Key, node: i, trust: trustLoose - 40})
		}
	}
}
