package savedpage

import (
	"bytes"
	"net/url"
	"path"
	"strings"

	"counterfoil/parse/listing"
)

// addressID takes the identifier that the page's own address carries, first one
// that the page repeats as a value of its own, in an attribute, a script or a
// text. It is the listing's id and no item number: that needs a label or
// markup.
func (r *reader) addressID() {
	u, err := url.Parse(r.address())
	if err != nil {
		return
	}
	id := ""
	for _, t := range addressTokens(u) {
		if r.repeated(t) {
			id = t
			break
		}
		if id == "" && len(t) >= minTail {
			id = t
		}
	}
	if id != "" {
		r.put(candidate{name: listing.ListingID, raw: id, source: srcMeta, path: "address", node: r.facts.nodes["canonical"], trust: trustLoose - 100})
	}
}

// sameID reports whether two identifiers differ in separators only, or in
// letters before the digits that one of them lacks: an address often has the
// digits only.
func sameID(a, b string) bool {
	a, b = listing.CanonicalNumber(a), listing.CanonicalNumber(b)
	if len(a) < len(b) {
		a, b = b, a
	}
	return a == b || len(b) >= minTail && digits(b) && strings.TrimLeft(a, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == b
}

// minTail is the least length of an identifier that nothing else supports.
const minTail = 6

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
			if tail := s[len(strings.TrimRight(s, "0123456789")):]; len(tail) >= minTail && len(tail) < len(s) {
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
