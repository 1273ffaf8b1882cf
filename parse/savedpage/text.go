package savedpage

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// isBlock tells the elements at whose edges words do not join.
func isBlock(a atom.Atom) bool {
	switch a {
	case atom.Div, atom.P, atom.Li, atom.Ul, atom.Ol, atom.Table, atom.Tr, atom.Td, atom.Th, atom.Br,
		atom.Dl, atom.Dt, atom.Dd, atom.H1, atom.H2, atom.H3, atom.H4, atom.H5, atom.H6, atom.Section,
		atom.Article, atom.Header, atom.Footer, atom.Figure, atom.Figcaption, atom.Option, atom.Button, atom.Label,
		atom.Aside, atom.Main, atom.Nav, atom.Address, atom.Blockquote, atom.Pre, atom.Hr, atom.Form, atom.Fieldset,
		atom.Legend, atom.Details, atom.Summary, atom.Caption:
		return true
	}
	return false
}

// text gives the visible text of a subtree with single spaces, at most limit
// bytes. Script, style and hidden parts are left out.
func (p *page) text(i int32, limit int) string {
	q := squeezer{buf: p.buf[:0]}
	p.eachText(i, func(t string, apart bool) bool {
		if apart {
			q.space()
		}
		q.add(t)
		return len(q.buf) <= limit
	})
	p.buf = q.buf
	return clip(string(q.buf), limit)
}

// squeezer joins texts with runs of white space folded to one space.
type squeezer struct {
	buf     []byte
	pending bool
}

func (q *squeezer) space() { q.pending = len(q.buf) > 0 }

func (q *squeezer) add(s string) {
	for i := 0; i < len(s); {
		c := s[i]
		switch {
		case c <= ' ' || c == 0x7f:
			q.space()
			i++
		case c < utf8.RuneSelf:
			start := i
			for i < len(s) && s[i] > ' ' && s[i] < 0x7f {
				i++
			}
			q.write(s[start:i])
		default:
			r, size := utf8.DecodeRuneInString(s[i:])
			if isSpace(r) {
				q.space()
			} else {
				q.write(s[i : i+size])
			}
			i += size
		}
	}
}

func (q *squeezer) write(s string) {
	if q.pending {
		q.buf = append(q.buf, ' ')
		q.pending = false
	}
	q.buf = append(q.buf, s...)
}

// clip cuts s to at most n bytes at a rune's edge.
func clip(s string, n int) string {
	if len(s) <= n {
		return s
	}
	for n > 0 && !utf8.RuneStart(s[n]) {
		n--
	}
	return s[:n]
}

func (p *page) eachText(i int32, f func(text string, apart bool) bool) {
	p.eachTextFrom(i, i, f)
}

// eachTextFrom is eachText without the nodes before from.
func (p *page) eachTextFrom(i, from int32, f func(text string, apart bool) bool) {
	end := p.nodes[i].end
	apart := false
	last := from // the last text
	for j := from; j < end && p.work < maxWork; j++ {
		p.work++
		x := &p.nodes[j]
		switch x.n.Type {
		case html.TextNode:
			if !f(x.n.Data, apart || p.blockEnds(last, j)) {
				return
			}
			apart, last = false, j
		case html.ElementNode:
			if j != i && (x.own&(hidden|noText) != 0) {
				j = x.end - 1
				continue
			}
			if isBlock(x.n.DataAtom) {
				apart = true
			}
		}
	}
}

// blockEnds reports whether a block that holds node a ends before node b.
func (p *page) blockEnds(a, b int32) bool {
	for j := p.nodes[a].parent; j >= 0 && p.nodes[j].end <= b; j = p.nodes[j].parent {
		if isBlock(p.nodes[j].n.DataAtom) {
			return true
		}
	}
	return false
}

// lines gives the visible text of a subtree with line breaks between blocks,
// without the nodes before from.
func (p *page) lines(i, from int32, limit int) string {
	var b strings.Builder
	p.eachTextFrom(i, from, func(s string, apart bool) bool {
		t := squeeze(s)
		switch {
		case t == "":
			return true
		case b.Len() == 0:
		case apart:
			b.WriteByte('\n')
		case s[0] > ' ' && strings.IndexByte(".,;:!?)", s[0]) >= 0: // "by <b>Acme</b>."
		default:
			b.WriteByte(' ')
		}
		b.WriteString(t)
		return b.Len() < limit
	})
	return clip(b.String(), limit)
}

// squeeze folds runs of white space to one space.
func squeeze(s string) string {
	plain := true
	space := true
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c >= utf8.RuneSelf || c < ' ' || c == ' ' && space {
			plain = false
			break
		}
		space = c == ' '
	}
	if plain && !space {
		return s
	}
	q := squeezer{buf: make([]byte, 0, len(s))}
	q.add(s)
	return string(q.buf)
}

func isSpace(r rune) bool {
	return unicode.IsSpace(r) || r == '\u200b' || r == '\ufeff' || unicode.IsControl(r)
}
