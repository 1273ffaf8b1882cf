package savedpage

import (
	"bytes"
	"errors"
	"strings"
	"sync"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// Bounds of one page. A page beyond one of them is read up to the bound.
const (
	maxNodes = 400_000
	maxAttr  = 4 << 10 // bytes of an attribute that is looked into
	maxText  = 16 << 10
	// maxWork bounds the nodes visited while looking for text, so that nested
	// hostile markup costs no more than a few seconds.
	maxWork = 50_000_000
	// maxOpen keeps a document below the parser's own limit of 512 open
	// elements when it is parsed a second time, pruned.
	maxOpen = 200
)

// info is one element or text of the page, in document order.
type info struct {
	n      *html.Node
	parent int32 // -1 for the document
	end    int32 // index after the last node of the subtree
	own    mark  // what the element's own names say
	ctx    mark  // own and those of the ancestors below the page's main part
}

// page is a parsed document with what every mechanism shares.
type page struct {
	doc   []byte
	root  *html.Node
	nodes []info
	light *lightened // nil when the document was parsed as it stands
	micro []int32    // elements with itemscope, itemprop or itemref
	rdfa  []int32    // elements with typeof or property
	// Lists of nodes in document order, so that no mechanism walks the tree
	// again for what it needs.
	head     []int32 // meta, link, title and comments
	scripts  []int32
	headings []int32 // h1 to h6 and what is named a title
	texts    []int32 // texts with letters or digits
	named    []int32 // elements whose names say what they hold
	buttons  []int32 // button, input and what looks or is named so
	images   []int32
	data     []int32 // elements with a data attribute that may be a field
	lang     string
	title    int32 // the heading of the item, -1 if there is none
	pruned   bool
	cut      bool
	base     string
	buf      []byte // scratch of text
	searched int    // bytes searched for the ends of elements
	work     int    // nodes visited while looking for text
}

// parse reads the tree. A document nested deeper than the parser allows is
// pruned and parsed again. Of what was taken out of the document for the parse,
// all comes back into the tree only if all is wanted; else what no mechanism of
// this package looks at there stays out.
func parse(doc []byte, all bool) (*page, error) {
	if cuts := cutsOf(doc); len(cuts) > 0 {
		light := &lightened{doc: doc, cuts: cuts, all: all}
		if root, err := html.Parse(light); err == nil {
			p := &page{doc: doc, title: -1, root: root, light: light}
			p.index(light)
			if light.whole() {
				return p, nil
			}
			p.release()
		}
	}
	p := &page{doc: doc, title: -1}
	root, err := html.Parse(bytes.NewReader(doc))
	if err != nil {
		p.pruned = true
		if root, err = html.Parse(bytes.NewReader(prune(doc))); err != nil {
			return nil, err
		}
	}
	p.root = root
	p.index(&lightened{})
	return p, nil
}

// prune drops start tags that would nest too deep, those that only group or
// style first, so that the rest of a hostile or broken document can be read.
func prune(doc []byte) []byte {
	type tag struct {
		name atom.Atom
		kept bool
	}
	var out bytes.Buffer
	var stack []tag
	depth := 0
	z := html.NewTokenizer(bytes.NewReader(doc))
	for {
		switch z.Next() {
		case html.ErrorToken:
			return out.Bytes()
		case html.StartTagToken:
			raw := z.Raw()
			b, _ := z.TagName()
			name := atom.Lookup(b)
			if void[name] {
				out.Write(raw)
				continue
			}
			kept := depth < maxOpen || depth < 2*maxOpen && !grouping[name]
			if kept {
				depth++
				out.Write(raw)
			}
			stack = append(stack, tag{name, kept})
		case html.EndTagToken:
			raw := z.Raw()
			b, _ := z.TagName()
			n := len(stack)
			if n == 0 || stack[n-1].name != atom.Lookup(b) {
				continue
			}
			if stack[n-1].kept {
				depth--
				out.Write(raw)
			}
			stack = stack[:n-1]
		default:
			out.Write(z.Raw())
		}
	}
}

var grouping = map[atom.Atom]bool{0: true, atom.Div: true, atom.Span: true, atom.Section: true, atom.Article: true,

	atom.B: true, atom.I: true, atom.Font: true, atom.Em: true, atom.Strong: true, atom.Center: true, atom.Ul: true, atom.Ol: true,
	atom.Table: true, atom.Tbody: true, atom.Blockquote: true, atom.Dl: true, atom.Svg: true, atom.Small: true, atom.Big: true}

var void = map[atom.Atom]bool{atom.Area: true, atom.Base: true, atom.Br: true, atom.Col: true,

	atom.Embed: true, atom.Hr: true, atom.Img: true, atom.Input: true, atom.Link: true,
	atom.Meta: true, atom.Source: true, atom.Track: true, atom.Wbr: true}

var errTooLarge = errors.New("too large")

// nodeLists keeps the memory of page.nodes between pages.
var nodeLists = sync.Pool{New: func() any { return new([]info) }}

// maxKept bounds the nodes for which memory is kept.
const maxKept = 100_000

// release ends the use of the page.
func (p *page) release() {
	if cap(p.nodes) <= maxKept {
		clear(p.nodes)
		list := p.nodes[:0]
		nodeLists.Put(&list)
	}
	p.nodes = nil
}

// index flattens the tree without recursion and notes what the names of each
// element say. It puts back what was taken out of the document before.
func (p *page) index(light *lightened) {
	p.nodes = *nodeLists.Get().(*[]info)
	var words seenNames
	n, parent := p.root, int32(-1)
	for n != nil {
		at := int32(len(p.nodes))
		if at >= maxNodes {
			p.cut = true
			break
		}
		p.nodes = append(p.nodes, info{n: n, parent: parent})
		switch n.Type {
		case html.ElementNode:
			m := p.look(n, at, &words, light)
			if n.DataAtom == atom.Script || n.DataAtom == atom.Style {
				light.restore(n)
			}
			p.nodes[at].own = m
			p.list(n, at, m)
		case html.TextNode:
			if solid(n.Data) {
				p.texts = append(p.texts, at)
			}
		case html.CommentNode:
			p.head = append(p.head, at)
		}
		if n.FirstChild != nil {
			n, parent = n.FirstChild, at
			continue
		}
		p.nodes[at].end = at + 1
		for n != p.root && n.NextSibling == nil {
			n = n.Parent
			p.nodes[parent].end = int32(len(p.nodes))
			parent = p.nodes[parent].parent
		}
		if n == p.root {
			break
		}
		n = n.NextSibling
	}
	for i := range p.nodes { // what the bound cut off has no end yet
		if p.nodes[i].end == 0 {
			p.nodes[i].end = int32(len(p.nodes))
		}
	}
}

// solid reports whether a text is more than white space.
func solid(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] > ' ' {
			return true
		}
	}
	return false
}

// list files an element under the lists it belongs to.
func (p *page) list(n *html.Node, at int32, m mark) {
	switch n.DataAtom {
	case atom.Meta, atom.Link, atom.Title:
		p.head = append(p.head, at)
	case atom.Script:
		p.scripts = append(p.scripts, at)
	case atom.Img:
		p.images = append(p.images, at)
	case atom.H1, atom.H2, atom.H3, atom.H4, atom.H5, atom.H6:
		p.headings = append(p.headings, at)
	case atom.Button, atom.Input:
		p.buttons = append(p.buttons, at)
	default:
		if m&titleName != 0 {
			p.headings = append(p.headings, at)
		}
		if m&(button|buyName|stockName) != 0 {
			p.buttons = append(p.buttons, at)
		}
	}
	if m&(brandName|sellerName|skuName|descName) != 0 {
		p.named = append(p.named, at)
	}
}

// look reads the attributes of one element.
func (p *page) look(n *html.Node, at int32, words *seenNames, light *lightened) mark {
	m := tagMarks(n.DataAtom)
	micro, rdfa := false, false
	for i := range n.Attr {
		a := &n.Attr[i]
		if len(a.Val) > 1 && a.Val[0] == markStart {
			light.value(n, i)
		}
		switch a.Key {
		case "class", "id":
			m |= words.marks(a.Val)
		case "itemscope", "itemprop", "itemref":
			micro = true
		case "typeof", "property":
			rdfa = true
		case "shadowrootmode", "shadowroot", "shadowmode": // text of the page, not a mould for scripts
			if n.DataAtom == atom.Template {
				m &^= noText
			}
		case "hidden":
			m |= hidden
		case "aria-hidden":
			if a.Val == "true" {
				m |= ariaHidden
			}
		case "role":
			if a.Val == "button" {
				m |= button
			}
		case "style":
			m |= styleMarks(a.Val)
		case "lang":
			if n.DataAtom == atom.Html {
				p.lang = a.Val
			}
		case "href":
			if n.DataAtom == atom.Base && p.base == "" {
				p.base = a.Val
			}
		default:
			if len(a.Key) < 7 || a.Key[:5] != "data-" {
				continue
			}
			if isHook(a.Key) {
				m |= words.marks(a.Val)
			} else if _, ok := dataField(a.Key); ok && (len(p.data) == 0 || p.data[len(p.data)-1] != at) {
				p.data = append(p.data, at)
			}
		}
	}
	if micro {
		p.micro = append(p.micro, at)
	}
	if rdfa && !isMetaTag(attr(n, "property")) {
		p.rdfa = append(p.rdfa, at)
	}
	return m
}

// isHook tells attributes by which a site's own tests and measurements name an
// element.
func isHook(key string) bool {
	for _, p := range [...]string{"test", "qa", "auto", "cy", "hook", "role", "component"} {
		if strings.HasPrefix(key[5:], p) {
			return true
		}
	}
	return false
}

func styleMarks(s string) mark {
	if s == "" || len(s) > maxAttr {
		return 0
	}
	var m mark
	if i := strings.Index(s, "display"); i >= 0 && strings.HasPrefix(strings.TrimLeft(s[i+7:], ": "), "none") {
		m |= hidden
	}
	if strings.Contains(s, "line-through") {
		m |= struck
	}
	return m
}

// inherit carries marks down the tree. A mark of an element that holds the
// item's heading says nothing about its parts: the whole page may be called
// "related-products-enabled".
func (p *page) inherit() {
	for i := range p.nodes {
		x := &p.nodes[i]
		own := x.own
		if p.title >= 0 && int32(i) <= p.title && x.end > p.title {
			own &^= wholePage
		}
		x.ctx = own &^ notInherited
		if x.parent >= 0 {
			x.ctx |= p.nodes[x.parent].ctx &^ notInherited
		}
		x.ctx |= own & notInherited
	}
}

// contains reports whether node b is a or stands inside it.
func (p *page) contains(a, b int32) bool { return a <= b && b < p.nodes[a].end }

func (p *page) tag(i int32) atom.Atom {
	if p.nodes[i].n.Type != html.ElementNode {
		return 0
	}
	return p.nodes[i].n.DataAtom
}

// attr gives an attribute, "" when absent or larger than the bound.
func attr(n *html.Node, key string) string {
	for i := range n.Attr {
		if n.Attr[i].Key == key {
			if len(n.Attr[i].Val) > maxText {
				return ""
			}
			return n.Attr[i].Val
		}
	}
	return ""
}

func hasAttr(n *html.Node, key string) bool {
	for i := range n.Attr {
		if n.Attr[i].Key == key {
			return true
		}
	}
	return false
}

// elements calls f for each element of a subtree, itself included.
func (p *page) elements(i int32, f func(j int32, n *html.Node)) {
	for j := i; j < p.nodes[i].end && p.work < maxWork; j++ {
		p.work++
		if p.nodes[j].n.Type == html.ElementNode {
			f(j, p.nodes[j].n)
		}
	}
}

// path names an element for a reader: "main > div.price > span".
func (p *page) path(i int32) string {
	var parts []string
	for j := i; j > 0 && len(parts) < 4; j = p.nodes[j].parent {
		n := p.nodes[j].n
		if n.Type != html.ElementNode || n.DataAtom == atom.Html || n.DataAtom == atom.Body {
			continue
		}
		parts = append(parts, step(n))
		if attr(n, "id") != "" {
			break
		}
	}
	for a, b := 0, len(parts)-1; a < b; a, b = a+1, b-1 {
		parts[a], parts[b] = parts[b], parts[a]
	}
	return strings.Join(parts, " > ")
}

func step(n *html.Node) string {
	s := n.Data
	if id := attr(n, "id"); id != "" && len(id) < 40 && !strings.ContainsAny(id, " >,\n\t") {
		return s + "#" + id
	}
	if c := strings.Fields(attr(n, "class")); len(c) > 0 && len(c[0]) < 40 && !strings.ContainsAny(c[0], ">,") {
		s += "." + c[0]
	}
	return s
}
