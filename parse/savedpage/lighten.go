package savedpage

import (
	"bytes"
	"cmp"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// Half of a usual page is the text of scripts and styles and long values of
// attributes, which the parser reads byte by byte and copies several times. They
// are taken out before and put back after the parse: a mark stands for each in
// between. But for the text of long styles, which nothing reads, the tree can be
// made the same as without that, for the parser is in the same state on both sides of a
// mark, if each mark turns out to be the only text of a script or style of HTML,
// or the whole value of an attribute; where one does not, the page is parsed anew
// as it stands.

// minCut and minValue are the least text and attribute value that are worth the
// detour. markStart begins a mark, which is maxMark bytes long at most; a page
// that holds it is parsed as it stands.
const (
	minCut    = 200
	minValue  = 32
	markStart = '\x02'
	maxMark   = 11
)

// cut is the text of a script or style or the value of an attribute, as a range
// of the document.
type cut struct {
	start, end int32
	value      bool // of an attribute
	back       bool // it was put back into the tree
}

// cutsOf finds the texts of scripts and styles, and long values of attributes.
// It need not be right about broken markup: [lightened.restore] and
// [lightened.values] notice.
func cutsOf(doc []byte) []cut {
	if len(doc) > math.MaxInt32 || bytes.IndexByte(doc, markStart) >= 0 || refersToMark(doc) {
		return nil
	}
	cuts := make([]cut, 0, len(doc)>>9)
	for at, svg := 0, 0; ; {
		k := bytes.IndexByte(doc[at:], '<')
		if k < 0 || at+k+1 >= len(doc) {
			return cuts
		}
		at += k + 1
		rest := doc[at:]
		if rest[0] == '!' {
			if bytes.HasPrefix(rest, []byte("!--")) {
				e := bytes.Index(rest[3:], []byte("-->"))
				if e < 0 {
					return cuts
				}
				at += 3 + e + 3
			}
			continue
		}
		if c := rest[0] | 0x20; c < 'a' || c > 'z' {
			continue
		}
		name := ""
		if at >= svg {
			if rest[0]|0x20 == 's' && hasFold(rest, "svg") { // where script and style are markup
				svg = len(doc) // where nothing ends it: the rest is not searched again
				if k := bytes.Index(rest, []byte("</svg")); k >= 0 {
					svg = at + k
				}
			} else {
				name = rawNameAt(rest)
			}
		}
		at = cutValues(&cuts, doc, at)
		if name == "" {
			continue
		}
		start := at
		if at = rawEnd(doc, at, name); at < 0 {
			return cuts
		}
		if text := doc[start : at-2]; (name == "script" || name == "style") && mayCut(text) &&
			at+len(name) < len(doc) && strings.IndexByte(" \t\r\n\f/>", doc[at+len(name)]) >= 0 {
			cuts = append(cuts, cut{start: int32(start), end: int32(at - 2)})
		}
	}
}

// refersToMark reports whether a numeric character reference stands for
// markStart.
func refersToMark(doc []byte) bool {
	for {
		k := bytes.Index(doc, []byte("&#"))
		if k < 0 {
			return false
		}
		doc = doc[k+2:]
		rest := doc
		if len(rest) > 0 && rest[0]|0x20 == 'x' {
			rest = rest[1:]
		}
		rest = bytes.TrimLeft(rest, "0")
		if len(rest) > 0 && rest[0] == '2' && (len(rest) == 1 || strings.IndexByte("0123456789abcdefABCDEF", rest[1]) < 0) {
			return true
		}
	}
}

// cutValues adds the long values between double quotation marks of the tag whose
// name is at an index, and gives the index after the tag.
func cutValues(cuts *[]cut, doc []byte, at int) int {
	name := at
	end, quote := -1, -1 // of the tag, as far as is known, and the next mark in it
	for {
		if end < at {
			k := bytes.IndexByte(doc[at:], '>')
			if k < 0 {
				return len(doc)
			}
			end = at + k
			quote = -1
		}
		if quote < at {
			quote = end // where there is none: not searched again for each value
			if k := bytes.IndexByte(doc[at:end], '"'); k >= 0 {
				quote = at + k
			}
		}
		head := doc[at:quote]
		if k := bytes.Index(head, []byte("='")); k >= 0 {
			e := bytes.IndexByte(doc[at+k+2:], '\'')
			if e < 0 {
				return len(doc)
			}
			at += k + 2 + e + 1
			continue
		}
		if quote == end {
			return end + 1
		}
		at = quote + 1
		if doc[at-2] != '=' {
			continue
		}
		e := bytes.IndexByte(doc[at:], '"')
		if e < 0 {
			return len(doc)
		}
		if e >= minValue && mayCutValue(doc[at:at+e]) && !isFormatting(doc[name:]) {
			*cuts = append(*cuts, cut{start: int32(at), end: int32(at + e), value: true})
		}
		at += e + 1
	}
}

// mayCutValue refuses what the parser would change.
func mayCutValue(s []byte) bool {
	return bytes.IndexByte(s, '&') < 0 && bytes.IndexByte(s, '\r') < 0 && bytes.IndexByte(s, 0) < 0
}

// isFormatting tells the elements of which the parser drops the fourth that is
// open with the same attributes. Links never nest, so they are not among them.
func isFormatting(tag []byte) bool {
	var buf [30]byte
	switch atom.Lookup(tagName(tag, &buf)) {
	case atom.B, atom.Big, atom.Code, atom.Em, atom.Font, atom.I, atom.Nobr, atom.S, atom.Small, atom.Strike,
		atom.Strong, atom.Tt, atom.U:
		return true
	}
	return false
}

// rawNameAt gives the name of an element whose text is no markup, if s begins
// with it.
func rawNameAt(s []byte) string {
	switch s[0] | 0x20 {
	case 's', 't', 'n', 'i', 'x':
		for _, name := range rawNames {
			if len(s) > len(name) && s[0]|0x20 == name[0] && hasFold(s, name) && !isName(s[len(name):]) {
				return name
			}
		}
	}
	return ""
}

// mayCut refuses what the parser would change or end elsewhere: a NUL, and
// comment marks, behind which a script may hold the end of another.
func mayCut(text []byte) bool {
	return len(text) >= minCut && bytes.IndexByte(text, 0) < 0 && !bytes.Contains(text, []byte("<!"))
}

// lightened is a document without its cuts.
type lightened struct {
	doc  []byte
	cuts []cut
	back int  // how many were found in the tree again
	all  bool // put all back, and not only what this package reads there

	at, next int    // what Read is to give next
	mark     []byte // the rest of a mark
	buf      [24]byte
	seen     seenTexts
}

// seenTexts keeps texts just seen.
type seenTexts [256]string

// text is string(b).
func (seen *seenTexts) text(b []byte) string {
	at := &seen[place(b)]
	if *at != string(b) {
		*at = string(b)
	}
	return *at
}

// Read gives the document with marks for the cuts.
func (l *lightened) Read(b []byte) (int, error) {
	n := 0
	for n < len(b) {
		if len(l.mark) > 0 {
			k := copy(b[n:], l.mark)
			n, l.mark = n+k, l.mark[k:]
			continue
		}
		end := len(l.doc)
		if l.next < len(l.cuts) {
			end = int(l.cuts[l.next].start)
		}
		k := copy(b[n:], l.doc[l.at:end])
		n, l.at = n+k, l.at+k
		switch {
		case l.at < end:
		case l.next < len(l.cuts):
			l.buf[0] = markStart
			l.mark = strconv.AppendInt(l.buf[:1], int64(l.next), 10)
			l.at = int(l.cuts[l.next].end)
			l.next++
		case n == 0:
			return 0, io.EOF
		default:
			return n, nil
		}
	}
	return n, nil
}

// markOf gives the cut that a text of the tree is the mark of, -1 if it is none.
func (l *lightened) markOf(s string) int {
	if l == nil || len(s) < 2 || len(s) > maxMark || s[0] != markStart {
		return -1
	}
	k, err := strconv.Atoi(s[1:])
	if err != nil || k >= len(l.cuts) {
		return -1
	}
	return k
}

func (l *lightened) found(x *cut) {
	if !x.back {
		x.back = true
		l.back++
	}
}

// restore puts the text of a script back, if that is structured data; of others
// little is asked for, see [page.script]. The text of a style stays out.
func (l *lightened) restore(n *html.Node) {
	c := n.FirstChild
	if c == nil || c.NextSibling != nil || n.Namespace != "" || c.Type != html.TextNode {
		return
	}
	k := l.markOf(c.Data)
	if k < 0 || l.cuts[k].back || l.cuts[k].value {
		return
	}
	x := &l.cuts[k]
	if is := n.DataAtom == atom.Style; is != (l.doc[x.end+3]|0x20 == 't') {
		return // the end tag is another's
	}
	l.found(x)
	switch {
	case n.DataAtom == atom.Style:
		c.Data = "" // nothing reads it
	case l.all || isLD(attr(n, "type")):
		c.Data = string(l.script(x))
	}
}

// script gives the text of a script as the parser does.
func (l *lightened) script(x *cut) []byte {
	text := l.doc[x.start:x.end]
	if bytes.IndexByte(text, '\r') >= 0 {
		text = bytes.ReplaceAll(bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")), []byte("\r"), []byte("\n"))
	}
	return text
}

// script gives the text of a script, which must not be changed.
func (p *page) script(n *html.Node) []byte {
	if n.FirstChild == nil {
		return nil
	}
	if k := p.light.markOf(n.FirstChild.Data); k >= 0 {
		return p.light.script(&p.light.cuts[k])
	}
	return []byte(n.FirstChild.Data)
}

// value puts the value of the i-th attribute back, if it is a mark. The parser may
// have made several elements of one tag.
func (l *lightened) value(n *html.Node, i int) {
	a := &n.Attr[i]
	k := l.markOf(a.Val)
	if k < 0 || !l.cuts[k].value {
		return
	}
	x := &l.cuts[k]
	l.found(x)
	switch isLink := n.DataAtom == atom.A && n.Namespace == ""; {
	case isLink && (i > 0 && n.Attr[i-1].Key == a.Key || i+1 < len(n.Attr) && n.Attr[i+1].Key == a.Key):
		l.sorted(n.Attr)
	case l.all || isRead(a.Key) && !(isLink && a.Key == "href"):
		a.Val = l.seen.text(l.doc[x.start:x.end])
	}
}

// sorted puts the values of a link back and sorts its attributes by key and value,
// as the parser does.
func (l *lightened) sorted(list []html.Attribute) {
	for i := range list {
		if k := l.markOf(list[i].Val); k >= 0 && l.cuts[k].value {
			l.found(&l.cuts[k])
			list[i].Val = string(l.doc[l.cuts[k].start:l.cuts[k].end])
		}
	}
	slices.SortFunc(list, func(a, b html.Attribute) int {
		return cmp.Or(cmp.Compare(a.Namespace, b.Namespace), cmp.Compare(a.Key, b.Key), cmp.Compare(a.Val, b.Val))
	})
}

// isRead tells the attributes whose values this package looks at. The addresses of
// links are so many that they are asked for by [page.href].
func isRead(key string) bool {
	if len(key) > 6 && key[:5] == "data-" {
		if _, ok := dataField(key); ok || isHook(key) {
			return true
		}
		return key == "data-srcset" || slices.Contains(zoomAttrs, key)
	}
	return readAttrs[key]
}

var readAttrs = map[string]bool{"class": true, "id": true, "style": true, "lang": true, "role": true, "hidden": true, "aria-hidden": true,
	"aria-label": true, "type": true, "name": true, "value": true, "title": true, "alt": true, "src": true, "srcset": true, "href": true, "rel": true,
	"content": true, "property": true, "typeof": true, "resource": true, "about": true, "itemprop": true, "itemtype": true, "itemid": true,
	"itemref": true, "itemscope": true, "datetime": true, "data": true, "width": true, "height": true, "disabled": true}

// href gives the address that an element leads to, "" when it has none or one
// larger than the bound.
func (p *page) href(n *html.Node) string {
	h := attr(n, "href")
	if k := p.light.markOf(h); k >= 0 && p.light.cuts[k].value {
		x := &p.light.cuts[k]
		if x.end-x.start > maxText {
			return ""
		}
		return p.light.seen.text(p.light.doc[x.start:x.end])
	}
	return h
}

// value gives the value of an attribute in the source, where that is marked.
func (p *page) value(a *html.Attribute) ([]byte, bool) {
	if k := p.light.markOf(a.Val); k >= 0 && p.light.cuts[k].value {
		x := &p.light.cuts[k]
		return p.light.doc[x.start:x.end], true
	}
	return nil, false
}

// whole reports whether every cut was found again.
func (l *lightened) whole() bool { return l.back == len(l.cuts) }
