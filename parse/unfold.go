package parse

import (
	"bytes"
	"slices"
	"strconv"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// maxUnfolded bounds the elements that a page's tags may become in memory,
// some hundred bytes each. Honest pages have some ten thousand.
const maxUnfolded = 1_000_000

// bounded cuts a page whose tags would become too many elements. The HTML
// Standard (13.2.4.3, the list of active formatting elements) has a parser open
// anew, in each paragraph, all formatting that was not closed, so that a small
// page can unfold to gigabytes.
func bounded(doc []byte) (kept []byte, cut bool) {
	if bytes.Count(doc, []byte("<")) < maxUnfolded/maxFormatting || !suspicious(doc) {
		return doc, false
	}
	var u unfolding
	z := html.NewTokenizer(bytes.NewReader(doc))
	at := 0
	for {
		kind := z.Next()
		if kind == html.ErrorToken {
			return doc, false
		}
		raw := z.Raw()
		if kind == html.StartTagToken || kind == html.EndTagToken || kind == html.SelfClosingTagToken {
			whole := bytes.Clone(raw) // the tokenizer works in place
			name, _ := z.TagName()
			u.tag(kind == html.EndTagToken, atom.Lookup(name), whole)
		}
		if u.elements > maxUnfolded {
			return doc[:at], true
		}
		at += len(raw)
	}
}

// suspicious is a quick look that counts what looks like a tag, even inside
// scripts and comments. It errs on the side of suspicion.
func suspicious(doc []byte) bool {
	var u unfolding
	for u.elements <= maxUnfolded {
		i := bytes.IndexByte(doc, '<')
		if i < 0 {
			return false
		}
		doc = doc[i+1:]
		end := len(doc) > 0 && doc[0] == '/'
		name := doc
		if end {
			name = doc[1:]
		}
		n := 0
		for n < len(name) && n < 10 && (name[n]|0x20 >= 'a' && name[n]|0x20 <= 'z' || name[n] >= '0' && name[n] <= '9') {
			n++
		}
		if n == 0 {
			continue
		}
		var lower [10]byte
		for i, c := range name[:n] {
			lower[i] = c | 0x20 // digits have that bit already
		}
		a := atom.Lookup(lower[:n])
		raw := doc
		if formatting[a] {
			if j := bytes.IndexByte(doc[:min(len(doc), 1000)], '>'); j >= 0 {
				raw = doc[:j]
			} else { // unlike all others, by its place
				raw = strconv.AppendInt(nil, int64(len(doc)), 10)
			}
		}
		u.tag(end, a, raw)
	}
	return true
}

var formatting = map[atom.Atom]bool{atom.A: true, atom.B: true, atom.Big: true, atom.Code: true, atom.Em: true, atom.Font: true,
	atom.I: true, atom.Nobr: true, atom.S: true, atom.Small: true, atom.Strike: true, atom.Strong: true, atom.Tt: true, atom.U: true}

// maxFormatting is how many formatting elements can be open: the parser allows
// 512 open elements in all.
const maxFormatting = 512

// unfolding counts the elements that tags become at the most.
type unfolding struct {
	elements int
	open     []openTag
}

type openTag struct {
	name atom.Atom
	raw  string
}

func (u *unfolding) tag(end bool, name atom.Atom, raw []byte) {
	if !formatting[name] {
		u.elements += 1 + len(u.open)
		return
	}
	u.elements++
	if end {
		for i := len(u.open) - 1; i >= 0; i-- {
			if u.open[i].name == name {
				u.open = slices.Delete(u.open, i, i+1)
				return
			}
		}
		return
	}
	// Of equal tags three count, after the Standard's 'Noah's Ark clause'; a
	// second link closes the first.
	same, first := 0, 0
	for i := len(u.open) - 1; i >= 0; i-- {
		if o := u.open[i]; o.name == name && (name == atom.A || o.raw == string(raw)) {
			same, first = same+1, i
		}
	}
	if same >= 3 || same > 0 && name == atom.A {
		u.open = slices.Delete(u.open, first, first+1)
	}
	if len(u.open) < maxFormatting {
		u.open = append(u.open, openTag{name, string(raw)})
	}
}
