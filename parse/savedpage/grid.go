package savedpage

import (
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// group finds repeated blocks: siblings of the same kind, three or more, that
// each show a price.
func (r *reader) group(list []spot) {
	type key struct {
		parent int32
		kind   string
	}
	p := r.p
	blocks := map[key]map[int32]bool{}
	children := map[int32]int{}
	links := map[int32]bool{}
	linked := func(j int32) bool {
		has, ok := links[j]
		if !ok {
			has = r.hasLink(j)
			links[j] = has
		}
		return has
	}
	marked := map[int32]bool{}
	each := func(s *spot, f func(block int32, k key)) {
		for j, up := s.i, 0; up < 12 && j > 0; j, up = p.nodes[j].parent, up+1 {
			if p.title >= 0 && p.contains(j, p.title) || isBody(p.nodes[j].n) {
				return
			}
			f(j, key{p.nodes[j].parent, kind(p.nodes[j].n)})
		}
	}
	for i := range list {
		each(&list[i], func(j int32, k key) {
			if blocks[k] == nil {
				blocks[k] = map[int32]bool{}
			}
			blocks[k][j] = true
		})
	}
	for i := range list {
		best := 1
		each(&list[i], func(j int32, k key) {
			if _, ok := children[k.parent]; !ok {
				children[k.parent] = p.children(k.parent)
			}
			if n := len(blocks[k]); n > best && 2*n >= children[k.parent] && linked(j) {
				best = n
				list[i].group, list[i].block = k.parent, j
			}
		})
		list[i].pair = best == 2
		if s := &list[i]; s.repeated() && !marked[s.block] {
			marked[s.block] = true
			for j := s.block; j < p.nodes[s.block].end; j++ {
				p.nodes[j].ctx |= grid
			}
		}
	}
}

// kind tells whether two siblings are built alike.
func kind(n *html.Node) string {
	c := attr(n, "class")
	if i := strings.IndexByte(strings.TrimSpace(c), ' '); i > 0 {
		c = strings.TrimSpace(c)[:i]
	}
	return n.Data + "." + c
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
func (r *reader) hasLink(i int32) bool {
	for j := i; j < r.p.nodes[i].end; j++ {
		if n := r.p.nodes[j].n; n.DataAtom == atom.A {
			if h := attr(n, "href"); h != "" && h[0] != '#' && !strings.HasPrefix(h, "javascript:") {
				return true
			}
		}
	}
	return r.p.nodes[i].n.Parent != nil && r.p.nodes[i].n.Parent.DataAtom == atom.A
}
