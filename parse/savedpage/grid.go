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
	blocks   map[blockKey]int // how many blocks each has
	children map[int32]int
	links    map[int32]bool
}

// around calls f for each element around a sum that may be a block: up to
// twelve levels, not as far as the item's heading.
func (f *families) around(s *spot, call func(block int32, k blockKey)) {
	p := f.p
	for j, up := s.i, 0; up < 12 && j > 0; j, up = p.nodes[j].parent, up+1 {
		n := p.nodes[j].n
		if p.title >= 0 && p.contains(j, p.title) || isBody(n) {
			return
		}
		call(j, blockKey{p.nodes[j].parent, n.Data, firstClass(n)})
	}
}

// repeats reports whether the blocks of a family make up at least half of what
// their parent holds, and this one leads to another page.
func (f *families) repeats(block int32, k blockKey) bool {
	n, ok := f.children[k.parent]
	if !ok {
		n = f.p.children(k.parent)
		f.children[k.parent] = n
	}
	if 2*f.blocks[k] < n {
		return false
	}
	linked, ok := f.links[block]
	if !ok {
		linked = f.p.hasLink(block)
		f.links[block] = linked
	}
	return linked
}

// group finds repeated blocks: siblings of the same kind that each show a
// price. Three or more are blocks of other offers.
func (r *reader) group(list []spot) {
	f := &families{r.p, map[blockKey]int{}, map[int32]int{}, map[int32]bool{}}
	counted := map[int32]bool{}
	for i := range list {
		f.around(&list[i], func(block int32, k blockKey) {
			if !counted[block] {
				counted[block] = true
				f.blocks[k]++
			}
		})
	}
	marked := map[int32]bool{}
	for i := range list {
		s := &list[i]
		best := 1
		f.around(s, func(block int32, k blockKey) {
			if n := f.blocks[k]; n > best && f.repeats(block, k) {
				best, s.group, s.block = n, k.parent, block
			}
		})
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
			if h := attr(n, "href"); h != "" && h[0] != '#' && !strings.HasPrefix(h, "javascript:") {
				return true
			}
		}
	}
	return p.nodes[i].n.Parent != nil && p.nodes[i].n.Parent.DataAtom == atom.A
}
