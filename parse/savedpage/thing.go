package savedpage

import (
	"strings"

	"golang.org/x/net/html"
)

// thing is one item of structured data, the same for JSON-LD, Microdata and
// RDFa.
type thing struct {
	types  []string // local names: "Product"
	id     string
	props  map[string][]value
	order  []string // names of props in the order they came
	source string
	path   string // of the item, "" at the top
	node   int32
	read   bool // already taken for an item
}

// value is one value of a property: text or an item.
type value struct {
	text string
	item *thing
	path string
	node int32
}

func (t *thing) is(names ...string) bool {
	for _, a := range t.types {
		for _, b := range names {
			if strings.EqualFold(a, b) {
				return true
			}
		}
	}
	return false
}

// add stores a value unless it says nothing.
func (t *thing) add(name string, v value) {
	if v.item == nil {
		if v.text = plain(v.text); v.text == "" {
			return
		}
	}
	if t.props == nil {
		t.props = map[string][]value{}
	}
	if len(t.props[name]) == 0 {
		t.order = append(t.order, name)
	}
	if len(t.props[name]) < maxValues {
		t.props[name] = append(t.props[name], v)
	}
}

// maxValues bounds the values of one property.
const maxValues = 500

// plain undoes entities that stand in structured data by mistake and cuts
// what is too long.
func plain(s string) string {
	s = clip(strings.TrimSpace(s), maxText)
	if strings.IndexByte(s, '&') >= 0 {
		s = html.UnescapeString(s)
	}
	if s == "null" || s == "undefined" || s == "N/A" || s == "n/a" {
		return ""
	}
	return s
}

// inheritFrom takes properties that an item lacks from the one around it.
func (t *thing) inheritFrom(outer *thing, names ...string) {
	for _, n := range names {
		if len(t.props[n]) > 0 {
			continue
		}
		for _, v := range outer.props[n] {
			if v.item == nil || v.item != t {
				t.add(n, v)
			}
		}
	}
}

// first gives the first value of the first property that has one.
func (t *thing) first(names ...string) (value, bool) {
	for _, n := range names {
		if v := t.props[n]; len(v) > 0 {
			return v[0], true
		}
	}
	return value{}, false
}

// word gives the text of a value: itself, or the name of the item.
func (v value) word() (string, bool) {
	if v.item == nil {
		return v.text, v.text != ""
	}
	if n, ok := v.item.first("name", "legalName", "value", "@value", "@id"); ok && n.item == nil && n.text != "" {
		return n.text, true
	}
	return "", false
}

func (t *thing) text(names ...string) string {
	for _, n := range names {
		for _, v := range t.props[n] {
			if s, ok := v.word(); ok {
				return s
			}
		}
	}
	return ""
}

// local cuts a vocabulary address down to the name: "https://schema.org/InStock"
// is "InStock".
func local(s string) string {
	s = strings.TrimRight(strings.TrimSpace(s), "/#")
	if i := strings.LastIndexAny(s, "/#:"); i >= 0 {
		return s[i+1:]
	}
	return s
}
