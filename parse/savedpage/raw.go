package savedpage

import (
	"bytes"
	"io"
	"strconv"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// Half of a shop's page is scripts and styles, which the parser goes through
// byte by byte. They are set aside: the parser sees a marker for each, and the
// node that gets the marker gets the text back.
type setAside struct {
	texts []span // of the document
	back  []bool // which of them a node got back
	again bool   // a marker turned up where it must not
}

const (
	minAside = 256 // bytes worth a marker
	marker   = "\x01aside "
)

// shorten gives the document with markers for its long scripts and styles.
// Nothing depends on finding them all, nor on what is found being one: see
// whole.
func shorten(doc []byte) (io.Reader, *setAside) {
	s := &setAside{}
	var parts []io.Reader
	done := 0
	for at := 0; ; {
		t, name := nextRaw(doc, at)
		if name == "" {
			break
		}
		end := rawEnd(doc, t.end, name) - len("</")
		if end < 0 {
			break
		}
		comment := inComment(doc[at:t.start])
		at = end
		if comment {
			if k := bytes.Index(doc[t.start:], []byte("-->")); k >= 0 {
				at = t.start + k
			}
			continue
		}
		if text := doc[t.end:end]; len(text) >= minAside && plainRaw(text, name) && !isName(doc[end+len("</")+len(name):]) {
			parts = append(parts, bytes.NewReader(doc[done:t.end]), strings.NewReader(marker+strconv.Itoa(len(s.texts))))
			s.texts = append(s.texts, span{int32(t.end), int32(end)})
			done = end
		}
	}
	s.back = make([]bool, len(s.texts))
	return io.MultiReader(append(parts, bytes.NewReader(doc[done:]))...), s
}

// nextRaw finds the next start tag of a script or style, "" when there is none.
func nextRaw(doc []byte, at int) (t struct{ start, end int }, name string) {
	for {
		k := bytes.Index(doc[at:], []byte("<s"))
		if k < 0 {
			return t, ""
		}
		at += k + 1
		for _, name := range [...]string{"script", "style"} {
			if bytes.HasPrefix(doc[at:], []byte(name)) && !isName(doc[at+len(name):]) {
				t.start, t.end = at-1, at+tagEnd(doc[at:])
				return t, name
			}
		}
	}
}

// inComment reports whether a comment is open at the end of s.
func inComment(s []byte) bool {
	k := bytes.LastIndex(s, []byte("<!--"))
	return k >= 0 && !bytes.Contains(s[k:], []byte("-->"))
}

// plainRaw reports whether a text stays the same wherever it stands. After
// "<!--" the end of a script is another matter (HTML Standard, section 13.2.5,
// the script data states), and in an SVG picture a style may hold references.
func plainRaw(text []byte, name string) bool {
	if name == "style" && bytes.ContainsAny(text, "<&") {
		return false
	}
	return !bytes.Contains(text, []byte("<!--")) && bytes.IndexByte(text, 0) < 0
}

// restore gives the text of a script or style back.
func (s *setAside) restore(n *html.Node, doc []byte) {
	if n.FirstChild == nil || n.DataAtom != atom.Style && (n.DataAtom != atom.Script || n.Namespace != "") {
		return
	}
	k, ok := strings.CutPrefix(n.FirstChild.Data, marker)
	if !ok {
		return
	}
	i, err := strconv.Atoi(k)
	if err != nil || i < 0 || i >= len(s.back) || s.back[i] {
		s.again = true
		return
	}
	s.back[i] = true
	text := string(doc[s.texts[i].start:s.texts[i].end])
	if strings.IndexByte(text, '\r') >= 0 {
		text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	}
	n.FirstChild.Data = text
}

// whole reports whether every text is back in its place. If not, something
// else looked like a script, as in a comment, and the document is to be parsed
// as it is.
func (s *setAside) whole() bool {
	for _, b := range s.back {
		if !b {
			return false
		}
	}
	return !s.again
}
