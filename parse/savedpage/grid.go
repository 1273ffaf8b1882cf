package savedpage

import (
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// blockKey names a family of blocks: children of one element, built alike.
type blockKey struct {
	parent int32
	tag    string
	class  string
}

// families counts the blocks around sums.
type families struct {
	p        *page
	blocks   map[blockKey]*int // how many blocks each has
	children map[int32]int
	links    map[int32]bool
}

// member is an element around a sum that may be a block.
type member struct {
	block, parent int32
	family        *int // how many blocks its family has
}

// around adds each element around a sum that may be a block: up to twelve levels,
// not as far as the item's heading.
func (f *families) around(s *spot, list []member) []member {
	p := f.p
	for j, up := s.i, 0; up < 12 && j > 0; j, up = p.nodes[j].parent, up+1 {
		n := p.nodes[j].n
		if p.title >= 0 && p.contains(j, p.title) || isBody(n) {
			break
		}
		k := blockKey{p.nodes[j].parent, n.Data, firstClass(n)}
		if f.blocks[k] == nil {
			f.blocks[k] = new(int)
		}
		list = append(list, member{j, k.parent, f.blocks[k]})
	}
	return list
}

// repeats reports whether the blocks of a family make up at least half of what
// their parent holds, and this one leads to another page.
func (f *families) repeats(m member) bool {
	n, ok := f.children[m.parent]
	if !ok {
		n = f.p.children(m.parent)
		f.children[m.parent] = n
	}
	if 2**m.family < n {
		return false
	}
	linked, ok := f.links[m.block]
	if !ok {
		linked = f.p.hasLink(m.block)
		f.links[m.block] = linked
	}
	return linked
}

// group finds repeated blocks: siblings of the same kind that each show a
// price. Three or more are blocks of other offers.
func (r *reader) group(list []spot) {
	f := &families{r.p, map[blockKey]*int{}, map[int32]int{}, map[int32]bool{}}
	counted := map[int32]bool{}
	members := make([]member, 0, 4*len(list))
	ends := make([]int, len(list))
	for i := range list {
		start := len(members)
		members = f.around(&list[i], members)
		ends[i] = len(members)
		for _, m := range members[start:] {
			if !counted[m.block] {
				counted[m.block] = true
				*m.family++
			}
		}
	}
	marked := map[int32]bool{}
	for i := range list {
		s := &list[i]
		best, start := 1, 0
		if i > 0 {
			start = ends[i-1]
		}
		for _, m := range members[start:ends[i]] {
			if n := *m.family; n > best && f.repeats(m) {
				best, s.group, s.block = n, m.parent, m.block
			}
		}
		s.pair = best == 2
		if s.repeated() && !marked[s.block] {
			marked[s.block] = true
			for j := s.block; j < r.p.nodes[s.block].end; j++ {
				r.p.nodes[j].ctx |= grid
			}
		}
	}
}

// firstClass and the tag tell whether two siblings are built alike.
func firstClass(n *html.Node) string {
	c := strings.TrimSpace(attr(n, "class"))
	if i := strings.IndexByte(c, ' '); i > 0 {
		return c[:i]
	}
	return c
}

// children counts the child elements of a node that a reader may see.
func (p *page) children(i int32) int {
	n := 0
	for j := i + 1; j < p.nodes[i].end; j = p.nodes[j].end {
		if x := &p.nodes[j]; x.n.Type == html.ElementNode && x.own&(noText|hidden) == 0 {
			n++
		}
	}
	return n
}

// hasLink reports whether a block leads to another page.
func (p *page) hasLink(i int32) bool {
	for j := i; j < p.nodes[i].end; j++ {
		if n := p.nodes[j].n; n.DataAtom == atom.A {
			if h := p.href(n); h != "" && h[0] != '#' && !strings.HasPrefix(h, "javascript:") {
				return true
			}
		}
	}
	return p.nodes[i].n.Parent != nil && p.nodes[i].n.Parent.DataAtom == atom.A
}
