package savedpage

import (
	"bytes"
	"maps"
	"slices"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"counterfoil/parse/listing"
)

// pending marks a place whose Start is still the index of a node. Byte ranges
// are looked up together, at the end, and only for what is reported.
const pending = -1

func (r *reader) place(c candidate) listing.Place {
	return listing.Place{Source: c.source, Path: c.path, Start: c.node, End: pending}
}

// resolvePlaces turns the nodes of all reported places into byte ranges.
func (r *reader) resolvePlaces() {
	wanted := map[int32]span{}
	r.eachPlace(func(p *listing.Place, _ string) {
		if p.End == pending {
			wanted[p.Start] = span{}
		}
	})
	r.p.locate(wanted)
	r.eachPlace(func(p *listing.Place, raw string) {
		if p.End != pending {
			return
		}
		s := wanted[p.Start]
		if p.Source == srcJSON && r.p.searched < maxSearch {
			r.p.searched += int(s.end - s.start)
			s = narrow(r.p.doc, s, p.Path, raw)
		}
		p.Start, p.End = s.start, s.end
	})
}

// eachPlace calls f for every place of the result.
func (r *reader) eachPlace(f func(p *listing.Place, raw string)) {
	for _, l := range r.out.Listings {
		for _, x := range l.Fields() {
			f(&x.From, x.Raw)
			l.Set(x)
		}
		for i := range l.Disagreements {
			f(&l.Disagreements[i].Kept.From, l.Disagreements[i].Kept.Raw)
			f(&l.Disagreements[i].Other.From, l.Disagreements[i].Other.Raw)
		}
		for i := range l.Photos {
			f(&l.Photos[i].From, "")
		}
	}
	for i := range r.out.Problems {
		f(&r.out.Problems[i].Place, "")
	}
	for i := range r.out.Candidates {
		f(&r.out.Candidates[i].From, r.out.Candidates[i].Raw)
	}
}

// span is a half-open byte range of the document.
type span struct{ start, end int32 }

// narrow finds one property within a block of JSON-LD, when its name and value
// stand there once.
func narrow(doc []byte, s span, path, raw string) span {
	if s.end <= s.start || raw == "" {
		return s
	}
	name := path[strings.LastIndexByte(path, '.')+1:]
	name, _, _ = strings.Cut(name, "[")
	key := []byte(`"` + name + `"`)
	found := span{}
	for at := int(s.start); ; {
		k := bytes.Index(doc[at:s.end], key)
		if k < 0 {
			break
		}
		start := at + k
		at = start + len(key)
		rest := bytes.TrimLeft(doc[at:s.end], " \t\r\n:")
		rest = bytes.TrimPrefix(rest, []byte(`"`))
		if bytes.HasPrefix(rest, []byte(raw)) {
			if found.end > 0 {
				return s
			}
			found = span{int32(start), s.end - int32(len(rest)) + int32(len(raw))}
		}
	}
	if found.end > 0 {
		return found
	}
	return s
}

// tagAt is one start tag of the source.
type tagAt struct{ start, end int32 }

// tagsOf are the start tags of one name.
type tagsOf struct {
	name string
	tags []tagAt
	last int // how many are of use
	raw  bool
}

// locate fills the byte ranges of nodes. The parser keeps no offsets, so the
// start tags of the source are counted by name and matched with the elements
// of the tree; a match is taken only when the attributes agree. What cannot be
// matched stays empty.
func (p *page) locate(wanted map[int32]span) {
	nodes := make([]int32, 0, len(wanted))
	for i := range wanted {
		if p.nodes[i].n.Type == html.ElementNode {
			nodes = append(nodes, i)
		}
	}
	if len(nodes) == 0 || len(p.doc) > 1<<30 {
		return
	}
	slices.Sort(nodes)
	names := map[string]*tagsOf{}
	for _, i := range nodes {
		if n := p.nodes[i].n; names[n.Data] == nil {
			names[n.Data] = &tagsOf{name: n.Data, raw: rawText(n.Data)}
		}
	}
	ordinals := p.ordinals(nodes, names)
	scanTags(p.doc, names)
	for k, i := range nodes {
		n := p.nodes[i].n
		wanted[i] = p.match(n, names[n.Data].tags, ordinals[k])
	}
}

// reach is how far from its ordinal a tag is looked for: repair of broken markup
// by the parser may shift it.
const reach = 40

// ordinals counts each node among the elements of its name, and tells for each
// name how many tags of the source are of use.
func (p *page) ordinals(nodes []int32, names map[string]*tagsOf) (ordinals []int) {
	counts := make([]nameCount, 0, len(names))
	var first [256]int // by the last byte of the atom, where to begin in counts, from 1
	for _, n := range slices.Sorted(maps.Keys(names)) {
		c := nameCount{name: n, atom: atom.Lookup([]byte(n))}
		c.next = first[byte(c.atom)]
		counts = append(counts, c)
		first[byte(c.atom)] = len(counts)
	}
	for i, k := int32(0), 0; k < len(nodes); i++ {
		n := p.nodes[i].n
		if n.Type != html.ElementNode {
			continue
		}
		at := first[byte(n.DataAtom)]
		for at > 0 && (counts[at-1].atom != n.DataAtom || n.DataAtom == 0 && counts[at-1].name != n.Data) {
			at = counts[at-1].next
		}
		if at == 0 {
			continue
		}
		c := &counts[at-1]
		if i == nodes[k] {
			ordinals = append(ordinals, c.count)
			names[n.Data].last = c.count + 1 + reach
			k++
		}
		c.count++
	}
	return ordinals
}

// nameCount counts the elements of one name.
type nameCount struct {
	name  string
	atom  atom.Atom // 0 for names that HTML does not know
	count int
	next  int // of those with the same last byte of the atom
}

// match finds the start tag of an element near its ordinal.
func (p *page) match(n *html.Node, tags []tagAt, at int) span {
	for d := 0; d < reach; d++ {
		for _, k := range [2]int{at + d, at - d} {
			if k >= 0 && k < len(tags) && p.sameTag(n, p.doc[tags[k].start:tags[k].end]) {
				return span{tags[k].start, p.closing(n, tags[k])}
			}
		}
	}
	return span{}
}

// sameTag compares the attributes of an element with the source of a tag.
// Values with character references differ in the source and are not compared.
func (p *page) sameTag(n *html.Node, src []byte) bool {
	for i := range n.Attr {
		a := &n.Attr[i]
		if v, ok := p.value(a); ok {
			if !bytes.ContainsAny(v, "<>'\u00a0") && !bytes.Contains(src, v) {
				return false
			}
			continue
		}
		if a.Val == "" || strings.ContainsAny(a.Val, "&<>\"'\r\u00a0") {
			continue
		}
		if !bytes.Contains(src, []byte(a.Val)) {
			return false
		}
	}
	return len(n.Attr) > 0 || bytes.IndexByte(src, '=') < 0
}

// Bounds of looking for the end of an element, and of a value in a block of
// JSON, in bytes: for one place, and for all places of a page.
const (
	maxElement = 64 << 10
	maxSearch  = 64 << 20
)

// closing finds the end of the element that a tag opens.
func (p *page) closing(n *html.Node, t tagAt) int32 {
	if void[n.DataAtom] {
		return t.end
	}
	doc := p.doc[t.end:min(len(p.doc), int(t.end)+maxElement)]
	if n.DataAtom == atom.Script {
		doc = p.doc[t.end:]
	}
	if p.searched > maxSearch {
		return t.end
	}
	open := []byte("<" + n.Data)
	depth := 1
	var buf [30]byte
	for at := 0; at < len(doc); {
		k := bytes.IndexByte(doc[at:], '<')
		if k < 0 {
			break
		}
		at += k
		rest := doc[at:]
		switch {
		case len(rest) > len(open)+1 && rest[1] == '/' && hasFold(rest[2:], n.Data) && !isName(rest[2+len(n.Data):]):
			if depth--; depth == 0 {
				p.searched += at
				if e := bytes.IndexByte(rest, '>'); e >= 0 {
					return t.end + int32(at+e+1)
				}
			}
		case n.DataAtom != atom.Script && len(rest) > len(open) && hasFold(rest[1:], n.Data) && !isName(rest[len(open):]):
			if n.DataAtom == atom.P { // a paragraph ends where the next begins
				return t.end + int32(at)
			}
			depth++
		case n.DataAtom == atom.P && len(rest) > 3 && rest[1] == '/' && isBlock(atom.Lookup(tagName(rest[2:], &buf))):
			return t.end + int32(at)
		}
		at++
	}
	p.searched += len(doc)
	return t.end
}

// hasFold reports whether s begins with a name of ASCII letters, in any case.
func hasFold(s []byte, name string) bool {
	if len(s) < len(name) {
		return false
	}
	for i := range len(name) {
		if s[i] != name[i] && lower(s[i]) != lower(name[i]) {
			return false
		}
	}
	return true
}

func lower(c byte) byte {
	if 'A' <= c && c <= 'Z' {
		return c + 'a' - 'A'
	}
	return c
}

func isName(s []byte) bool {
	return len(s) > 0 && (isWord(s[0]) || s[0] == ':')
}

// scanTags notes the start tags of the wanted names. Comments and the text of
// script, style and the like hold no tags. The scan ends when every name has
// as many tags as are of use.
func scanTags(doc []byte, names map[string]*tagsOf) {
	var initial [256][]*tagsOf
	for n, list := range names {
		if isPlainName(n) {
			initial[n[0]] = append(initial[n[0]], list)
		}
	}
	for _, n := range rawNames {
		if names[n] == nil {
			initial[n[0]] = append(initial[n[0]], &tagsOf{name: n, raw: true})
		}
	}
	open := len(names)
	for at := 0; at < len(doc); {
		k := bytes.IndexByte(doc[at:], '<')
		if k < 0 || at+k+1 >= len(doc) {
			return
		}
		at += k
		rest := doc[at:]
		list := named(rest[1:], initial[rest[1]|0x20])
		switch {
		case list != nil:
		case bytes.HasPrefix(rest, []byte("<!--")):
			e := bytes.Index(rest[4:], []byte("-->"))
			if e < 0 {
				return
			}
			at += 4 + e + 3
			continue
		default:
			at++
			continue
		}
		end := at + tagEnd(rest)
		if list.last > 0 {
			list.tags = append(list.tags, tagAt{int32(at), int32(end)})
			if len(list.tags) == list.last {
				if open--; open == 0 {
					return
				}
			}
		}
		at = end
		if list.raw {
			if at = rawEnd(doc, at, list.name); at < 0 {
				return
			}
		}
	}
}

// named finds the name with which a tag begins.
func named(tag []byte, lists []*tagsOf) *tagsOf {
next:
	for _, list := range lists {
		n := len(list.name)
		if len(tag) < n || len(tag) > n && isWord(tag[n]) {
			continue
		}
		for i := range n {
			if lower(tag[i]) != list.name[i] {
				continue next
			}
		}
		return list
	}
	return nil
}

// isPlainName reports whether a name is one that [named] can find.
func isPlainName(s string) bool {
	for i := range len(s) {
		if !isWord(s[i]) || 'A' <= s[i] && s[i] <= 'Z' {
			return false
		}
	}
	return s != "" && s[0] >= 'a' && s[0] <= 'z'
}

var rawNames = []string{"script", "style", "textarea", "title", "noscript", "iframe", "xmp", "noembed", "noframes"}

func rawText(name string) bool { return slices.Contains(rawNames, name) }

func rawEnd(doc []byte, at int, name string) int {
	for {
		k := bytes.Index(doc[at:], []byte("</"))
		if k < 0 {
			return -1
		}
		at += k + 2
		if hasFold(doc[at:], name) {
			return at
		}
	}
}

// tagName gives the name of a start tag in lower case, in buf.
func tagName(s []byte, buf *[30]byte) []byte {
	n := 0
	for n < len(s) && n < len(buf) && isWord(s[n]) {
		buf[n] = lower(s[n])
		n++
	}
	if n == 0 || s[0] < 'A' {
		return nil
	}
	return buf[:n]
}

// tagEnd gives the length of a tag, quoted attribute values included.
func tagEnd(s []byte) int {
	// Most tags hold no '>' in a value: then the quotation marks pair up.
	if k := bytes.IndexByte(s, '>'); k >= 0 && bytes.Count(s[:k], []byte{'"'})%2 == 0 && bytes.IndexByte(s[:k], '\'') < 0 {
		return k + 1
	}
	var quote byte
	for i := 1; i < len(s); i++ {
		switch c := s[i]; {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case (c == '"' || c == '\'') && lastSolid(s[:i]) == '=':
			quote = c
		case c == '>':
			return i + 1
		}
	}
	return len(s)
}

func lastSolid(s []byte) byte {
	for i := len(s) - 1; i >= 0; i-- {
		if s[i] > ' ' {
			return s[i]
		}
	}
	return 0
}
