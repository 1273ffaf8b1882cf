package savedpage

import (
	"bytes"
	"net/url"
	"path"
	"strings"

	"counterfoil/parse/listing"
)

// addressID takes the identifier that the page's own address carries. It is the
// listing's id; the item's number too when the page repeats it as a value of
// its own, in an attribute, a script or a text.
func (r *reader) addressID() {
	u, err := url.Parse(r.address())
	if err != nil {
		return
	}
	node := r.facts.nodes["canonical"]
	tokens := addressTokens(u)
	id, quoted := "", false
	for _, t := range tokens {
		if quoted = r.repeated(t); quoted {
			id = t
			break
		}
		if id == "" && len(t) >= 6 {
			id = t
		}
	}
	if id != "" {
		c := candidate{name: listing.ListingID, raw: id, source: srcMeta, path: "address", node: node, trust: trustLoose - 100}
		r.put(c)
		if quoted || len(id) >= 8 && digits(id) {
			c.name, c.trust = listing.SKU, trustLoose-70
			r.put(c)
		}
	}
}

// addressTokens lists what may be an identifier in an address, the likeliest
// first: a parameter named so, the last part of the path, the digits at its
// end.
func addressTokens(u *url.URL) []string {
	var out []string
	q := u.Query()
	for _, k := range [...]string{"sku", "pid", "id", "itemId", "productId", "product_id", "childSku", "item", "goods_id"} {
		if v := q.Get(k); isID(v) {
			out = append(out, v)
		}
	}
	parts := strings.Split(strings.Trim(u.Path, "/"), "/")
	for k := len(parts) - 1; k >= 0 && k >= len(parts)-2; k-- {
		s := strings.TrimSuffix(parts[k], path.Ext(parts[k]))
		if isID(s) {
			out = append(out, s)
			if tail := s[len(strings.TrimRight(s, "0123456789")):]; len(tail) >= 6 && len(tail) < len(s) {
				out = append(out, tail)
			}
			continue
		}
		words := strings.FieldsFunc(s, func(c rune) bool { return c == '-' || c == '_' || c == '.' || c == ',' })
		if n := len(words); n > 1 {
			for _, w := range [2]string{words[n-1], words[0]} {
				w = strings.TrimLeft(w, "pxPX")
				if len(w) >= 5 && digits(w) {
					out = append(out, w)
				}
			}
		}
	}
	return out
}

// isID tells an identifier from a word: one run of letters and digits, five or
// more, at least three digits among them.
func isID(s string) bool {
	n := 0
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case '0' <= c && c <= '9':
			n++
		case 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z':
		default:
			return false
		}
	}
	return len(s) >= 5 && len(s) <= 30 && n >= 3
}

// repeated reports whether a token stands in the document as a value by itself.
func (r *reader) repeated(id string) bool {
	doc, token := r.p.doc, []byte(id)
	for at := 1; at < len(doc); {
		k := bytes.Index(doc[at:], token)
		if k < 0 {
			return false
		}
		before, end := doc[at+k-1], at+k+len(token)
		if end < len(doc) && strings.Contains(`"" '' >< :, := =&`, string([]byte{before, doc[end]})) && before != ' ' {
			return true
		}
		at = end
	}
	return false
}
