package savedpage

import (
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

const srcMicro = "microdata"

// microdata reads the items of the page after the HTML Standard, section
// Microdata. Beyond the standard, a content attribute counts on any element,
// as it does in RDFa and as shop templates use it.
func (r *reader) microdata() []*thing {
	m := micro{r: r, source: srcMicro, prop: "itemprop", adopted: map[int32]bool{}}
	m.crawl(r.p.micro, nil)
	for i := 0; i < len(m.refs); i++ { // refs grows while nested items come in
		m.follow(m.refs[i])
	}
	return m.all()
}

// all adds to the top items those that say they are a property but that no
// item owns: templates with a broken item are read as far as possible.
func (m *micro) all() []*thing {
	for _, t := range m.orphans {
		if !m.adopted[t.node] {
			m.top = append(m.top, t)
		}
	}
	return m.top
}

// micro collects items from elements in document order. It serves Microdata
// and RDFa, which differ only in how an element says what it is.
type micro struct {
	r       *reader
	source  string
	prop    string
	top     []*thing
	orphans []*thing
	adopted map[int32]bool
	refs    []ref
	byID    map[string]int32
	count   int
}

type ref struct {
	to  *thing
	ids string
}

type open struct {
	t   *thing
	end int32
}

// crawl reads elements (indices in document order). The properties outside any
// item go to outer, if there is one.
func (m *micro) crawl(elements []int32, outer *thing) {
	var stack []open
	for _, i := range elements {
		for len(stack) > 0 && i >= stack[len(stack)-1].end {
			stack = stack[:len(stack)-1]
		}
		owner := outer
		if len(stack) > 0 {
			owner = stack[len(stack)-1].t
		}
		n := m.r.p.nodes[i].n
		names := strings.Fields(attr(n, m.prop))
		item := m.item(n, i)
		if item != nil {
			if owner != nil && len(names) > 0 {
				item.path = join(owner.path, local(names[0]))
			} else if outer == nil && len(names) == 0 {
				m.top = append(m.top, item)
			} else if outer == nil {
				m.orphans = append(m.orphans, item)
			}
			stack = append(stack, open{item, m.r.p.nodes[i].end})
		}
		if owner != nil && item != nil {
			m.adopted[i] = true
		}
		for _, name := range names {
			m.put(owner, local(name), i, item)
		}
	}
}

func (m *micro) put(owner *thing, name string, i int32, item *thing) {
	if owner == nil {
		if item == nil {
			m.r.loose = append(m.r.loose, value{text: m.text(i), path: name, node: i})
		}
		return
	}
	v := value{item: item, path: join(owner.path, name), node: i}
	if item == nil {
		v.text = m.text(i)
	}
	owner.add(name, v)
}

// item makes the item that an element opens, nil when it opens none.
func (m *micro) item(n *html.Node, i int32) *thing {
	var types string
	if m.source == srcMicro {
		if !hasAttr(n, "itemscope") {
			return nil
		}
		types = attr(n, "itemtype")
	} else if types = attr(n, "typeof"); types == "" {
		return nil
	}
	if m.count++; m.count > maxThings {
		return nil
	}
	t := &thing{source: m.source, node: i, id: attr(n, "itemid")}
	for _, s := range strings.Fields(types) {
		t.types = append(t.types, local(s))
	}
	if ids := attr(n, "itemref"); ids != "" && m.source == srcMicro {
		m.refs = append(m.refs, ref{t, ids})
	}
	return t
}

// follow adds the properties of the elements that an item refers to by id.
func (m *micro) follow(f ref) {
	if m.byID == nil {
		m.byID = m.r.p.ids()
	}
	for k, id := range strings.Fields(f.ids) {
		at, ok := m.byID[id]
		if !ok || k >= 50 || m.count > maxThings || m.r.p.contains(at, f.to.node) {
			continue
		}
		list := within(m.r.p.micro, at, m.r.p.nodes[at].end)
		m.count += len(list) // an element that many items refer to is still bounded
		m.crawl(list, f.to)
	}
}

// ids gives the first element of each id.
func (p *page) ids() map[string]int32 {
	out := map[string]int32{}
	p.elements(0, func(i int32, n *html.Node) {
		if id := attr(n, "id"); id != "" {
			if _, ok := out[id]; !ok {
				out[id] = i
			}
		}
	})
	return out
}

// within gives the part of a sorted list that lies in [from, to).
func within(list []int32, from, to int32) []int32 {
	a := lowerBound(list, from)
	return list[a:lowerBound(list, to)]
}

func lowerBound(list []int32, x int32) int {
	lo, hi := 0, len(list)
	for lo < hi {
		if mid := (lo + hi) / 2; list[mid] < x {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo
}

// text gives the value of a property's element.
func (m *micro) text(i int32) string {
	n := m.r.p.nodes[i].n
	if hasAttr(n, "content") {
		return attr(n, "content")
	}
	switch n.DataAtom {
	case atom.Audio, atom.Embed, atom.Iframe, atom.Img, atom.Source, atom.Track, atom.Video:
		return firstOf(attr(n, "src"), attr(n, "data-src"))
	case atom.A, atom.Area, atom.Link:
		return m.link(i)
	case atom.Object:
		return attr(n, "data")
	case atom.Data, atom.Meter, atom.Input:
		return attr(n, "value")
	case atom.Time:
		return firstOf(attr(n, "datetime"), m.r.p.text(i, maxText))
	}
	if m.source == srcRDFa && hasAttr(n, "resource") {
		return attr(n, "resource")
	}
	return m.r.p.text(i, maxText)
}

// link gives the address of a link, and for the properties that are names the
// words a buyer reads: <a itemprop="brand" href="/brand/x">X</a>.
func (m *micro) link(i int32) string {
	n := m.r.p.nodes[i].n
	switch local(attr(n, m.prop)) {
	case "brand", "name", "manufacturer", "seller", "model", "sku", "mpn":
		if s := m.r.p.text(i, 300); s != "" {
			return s
		}
	}
	return m.r.p.href(n)
}

func firstOf(list ...string) string {
	for _, s := range list {
		if s != "" {
			return s
		}
	}
	return ""
}
