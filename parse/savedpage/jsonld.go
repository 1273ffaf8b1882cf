package savedpage

import (
	"sort"
	"strconv"
	"strings"

	"golang.org/x/net/html"

	"counterfoil/parse/listing"
)

const srcJSON = "json-ld"

// maxThings bounds the items of one page.
const maxThings = 20_000

// jsonLD reads every application/ld+json block of the page. A context is never
// fetched: names are taken as those of schema.org, whatever prefix they carry.
func (r *reader) jsonLD() []*thing {
	var top []*thing
	for _, i := range r.p.scripts {
		n := r.p.nodes[i].n
		if n.FirstChild == nil || !isLD(attr(n, "type")) {
			continue
		}
		values, mended, err := parseJSON(scriptText(n))
		if err != nil {
			r.problem(listing.Partial, i, srcJSON, scriptText(n),
				"structured data was not read: "+err.Error(), "the visible page is read instead")
			continue
		}
		if mended != "" {
			r.problem(listing.Notice, i, srcJSON, scriptText(n), mended, "")
		}
		b := ldBuilder{node: i}
		for _, v := range values {
			top = append(top, b.top(v, 0)...)
		}
	}
	resolve(top)
	return top
}

func isLD(t string) bool {
	t, _, _ = strings.Cut(t, ";")
	return strings.EqualFold(strings.TrimSpace(t), "application/ld+json")
}

func scriptText(n *html.Node) string {
	if n.FirstChild.NextSibling == nil {
		return n.FirstChild.Data
	}
	var b strings.Builder
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		b.WriteString(c.Data)
	}
	return b.String()
}

type ldBuilder struct {
	node  int32
	count int
}

// top gives the items at the top of a block: the block, the members of an
// array, the members of @graph.
func (b *ldBuilder) top(v any, depth int) []*thing {
	if depth > maxJSONDepth {
		return nil
	}
	switch v := v.(type) {
	case []any:
		var out []*thing
		for _, x := range v {
			out = append(out, b.top(x, depth+1)...)
		}
		return out
	case map[string]any:
		var out []*thing
		if _, typed := v["@type"]; typed || v["@graph"] == nil {
			if t := b.thing(v, "", depth); t != nil {
				out = append(out, t)
			}
		}
		if g, ok := v["@graph"]; ok {
			out = append(out, b.top(g, depth+1)...)
		}
		return out
	}
	return nil
}

func (b *ldBuilder) thing(m map[string]any, path string, depth int) *thing {
	if b.count++; b.count > maxThings || depth > maxJSONDepth {
		return nil
	}
	t := &thing{source: srcJSON, path: path, node: b.node}
	switch v := m["@type"].(type) {
	case string:
		t.types = []string{local(v)}
	case []any:
		for _, x := range v {
			if s, ok := x.(string); ok {
				t.types = append(t.types, local(s))
			}
		}
	}
	t.id, _ = m["@id"].(string)
	for _, k := range sortedKeys(m) {
		if k == "@context" || k == "@graph" || k == "@type" {
			continue
		}
		name := local(k)
		b.values(t, name, m[k], join(path, name), depth+1)
	}
	return t
}

func sortedKeys(m map[string]any) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func (b *ldBuilder) values(t *thing, name string, v any, path string, depth int) {
	switch v := v.(type) {
	case []any:
		for i, x := range v {
			if i >= maxValues {
				return
			}
			p := path
			if len(v) > 1 {
				p += "[" + strconv.Itoa(i) + "]"
			}
			if depth < maxJSONDepth {
				b.values(t, name, x, p, depth+1)
			}
		}
	case map[string]any:
		if s, ok := v["@value"]; ok {
			t.add(name, value{text: scalarText(s), path: path, node: b.node})
		} else if c := b.thing(v, path, depth); c != nil {
			t.add(name, value{item: c, path: path, node: b.node})
		}
	default:
		t.add(name, value{text: scalarText(v), path: path, node: b.node})
	}
}

func scalarText(v any) string {
	switch v := v.(type) {
	case string:
		return v
	case bool:
		return strconv.FormatBool(v)
	case interface{ String() string }: // json.Number keeps the digits as written
		return v.String()
	}
	return ""
}

// resolve fills references between the items of one page: {"@id": "#offer"}
// stands for the item of that id.
func resolve(top []*thing) {
	byID := map[string]*thing{}
	var all []*thing
	var walk func(t *thing, depth int)
	walk = func(t *thing, depth int) {
		all = append(all, t)
		if t.id != "" && len(t.types) > 0 && byID[t.id] == nil {
			byID[t.id] = t
		}
		if depth >= maxJSONDepth {
			return
		}
		for _, n := range t.order {
			for _, v := range t.props[n] {
				if v.item != nil {
					walk(v.item, depth+1)
				}
			}
		}
	}
	for _, t := range top {
		walk(t, 0)
	}
	for _, t := range all {
		for _, n := range t.order {
			vs := t.props[n]
			for i, v := range vs {
				if v.item == nil || len(v.item.types) > 0 || v.item.id == "" {
					continue
				}
				if to := byID[v.item.id]; to != nil && to != t {
					vs[i].item = to
				}
			}
		}
	}
}
