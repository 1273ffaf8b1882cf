package savedpage

import (
	"bytes"
	"io"
	"strconv"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// A third of a usual page is the text of scripts and styles, which the parser
// reads byte by byte and copies four times. It is taken out before and put back
// after the parse: a mark stands for it in between. The tree is the same as
// without that, for the parser is in the same state on both sides of a mark, if
// each mark turns out to be the only text of a script or style of HTML; where
// one does not, the page is parsed anew as it stands.

// minCut is the least text that is worth the detour, and markStart begins a
// mark. A page that holds it is parsed as it stands.
const (
	minCut    = 200
	markStart = '\x02'
)

// cut is the text of a script or style, as a range of the document.
type cut struct {
	start, end int
	back       bool // it was put back into the tree
}

// cutsOf finds the texts of scripts and styles. It need not be right about
// broken markup: [lightened.restore] notices.
func cutsOf(doc []byte) []cut {
	if bytes.IndexByte(doc, markStart) >= 0 {
		return nil
	}
	var cuts []cut
	for at := 0; ; {
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
		if rest[0]|0x20 == 's' && hasFold(rest, "svg") { // where script and style are markup
			if e := bytes.Index(rest, []byte("</svg")); e > 0 {
				at += e
			}
			continue
		}
		name := rawNameAt(rest)
		if name == "" {
			continue
		}
		at += tagEnd(rest)
		start := at
		if at = rawEnd(doc, at, name); at < 0 {
			return cuts
		}
		if text := doc[start : at-2]; (name == "script" || name == "style") && mayCut(text) &&
			at+len(name) < len(doc) && strings.IndexByte(" \t\r\n\f/>", doc[at+len(name)]) >= 0 {
			cuts = append(cuts, cut{start: start, end: at - 2})
		}
	}
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
	back int // how many were put back

	at, next int    // what Read is to give next
	mark     []byte // the rest of a mark
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
			end = l.cuts[l.next].start
		}
		k := copy(b[n:], l.doc[l.at:end])
		n, l.at = n+k, l.at+k
		switch {
		case l.at < end:
		case l.next < len(l.cuts):
			l.mark = strconv.AppendInt([]byte{markStart}, int64(l.next), 10)
			l.at = l.cuts[l.next].end
			l.next++
		case n == 0:
			return 0, io.EOF
		default:
			return n, nil
		}
	}
	return n, nil
}

// restore puts the text of a script or style back.
func (l *lightened) restore(n *html.Node) {
	c := n.FirstChild
	if c == nil || c.NextSibling != nil || n.Namespace != "" || c.Type != html.TextNode || c.Data[0] != markStart {
		return
	}
	i, err := strconv.Atoi(c.Data[1:])
	if err != nil || i >= len(l.cuts) || l.cuts[i].back {
		return
	}
	x := &l.cuts[i]
	if is := n.DataAtom == atom.Style; is != (l.doc[x.end+3]|0x20 == 't') {
		return // the end tag is another's
	}
	x.back = true
	l.back++
	c.Data = string(l.doc[x.start:x.end])
	if strings.IndexByte(c.Data, '\r') >= 0 { // as the parser does
		c.Data = strings.ReplaceAll(strings.ReplaceAll(c.Data, "\r\n", "\n"), "\r", "\n")
	}
}

// whole reports whether every cut was put back.
func (l *lightened) whole() bool { return l.back == len(l.cuts) }
