package parse

import (
	"cmp"
	"context"
	"io"
	"slices"
	"strings"
	"sync"

	"counterfoil/parse/listing"
)

// Lines are the listings that [Extract] read.
type Lines struct {
	Problems []listing.Problem // see listing.SortProblems

	tree  *tree
	list  *sourceList
	spool *spool
	items []item
}

// item is a listing to be written, from the spool or from memory.
type item struct {
	spooled *stub
	held    *listing.Listing
	// Where it stands, where the first of its captures stands in the order in
	// which they are joined, and what orders those.
	best, first listing.CaptureRef
	known       int
	source, seq int32
}

// Extract reads the inputs like [Read] for a caller who wants the lines alone.
// Listings of pages lie in a temporary file meanwhile; those that may be captures
// of one listing are read back and joined, so that memory does not grow with the
// others. The lines must be closed.
func Extract(ctx context.Context, inputs []string, opt Options) (*Lines, error) {
	list := &sourceList{}
	t, err := walkTo(ctx, inputs, list.add)
	if err != nil {
		return nil, err
	}
	in := newIntake(opt)
	in.album.forgets = true
	for i := range list.list {
		in.pages.addStems(list.name(i))
	}
	g := &gathering{in: in, tree: t, list: list, spool: newSpool(), is: make([]uint8, len(list.list)),
		problems: map[int][]listing.Problem{}, told: map[int][]listing.Problem{}, held: map[int][]heldListing{}, named: names{}, pages: names{}}
	err = in.eachOf(ctx, len(list.list), list.bytes(), list.source, func(i int, s *source) { g.take(i, s, in.read(ctx, s)) })
	if err == nil {
		var l *Lines
		if l, err = g.finish(); err == nil {
			return l, nil
		}
	}
	t.close()
	g.spool.close()
	return nil, err
}

// gathering is what [Extract] keeps of the sources, by their index.
type gathering struct {
	in    *intake
	tree  *tree
	list  *sourceList
	spool *spool

	mu       sync.Mutex
	is       []uint8
	problems map[int][]listing.Problem
	told     map[int][]listing.Problem
	held     map[int][]heldListing
	named    names // photos of listings that an extract brought
	pages    names // that were read as pages
}

// Bits of gathering.is.
const (
	aResource = 1 << iota
	aLoosePhoto
)

// heldListing is a listing that is not in the spool, with its number among those
// of its source.
type heldListing struct {
	*listing.Listing
	seq int32
}

func (g *gathering) take(i int, s *source, o outcome) {
	var held []heldListing
	for seq, l := range o.listings {
		if !g.spool.put(i, seq, s.name, l) {
			held = append(held, heldListing{l, int32(seq)})
		}
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	if o.resource {
		g.is[i] |= aResource
	}
	if o.loosePhoto {
		g.is[i] |= aLoosePhoto
	}
	if len(o.problems) > 0 {
		g.problems[i] = o.problems
	}
	if len(o.told) > 0 {
		g.told[i] = o.told
	}
	if len(held) > 0 {
		g.held[i] = held
	}
	for _, l := range o.listings {
		for k := range l.Photos {
			if l.File != s.name {
				g.named.add(l.Photos[k].File)
			}
		}
	}
	for _, c := range o.captures {
		g.pages.addPage(c)
	}
}

// finish joins the captures and puts the listings in order, as [intake.gather]
// does.
func (g *gathering) finish() (*Lines, error) {
	l := &Lines{Problems: g.tree.problems, tree: g.tree, list: g.list, spool: g.spool}
	g.in.addFolders(g.pages)
	var told [][]listing.Problem
	for i := range g.list.list {
		name := g.list.name(i)
		if g.is[i]&aResource != 0 || g.in.isResource(name) {
			g.is[i] |= aResource
			continue
		}
		l.Problems = append(l.Problems, g.problems[i]...)
		if len(g.told[i]) > 0 {
			told = append(told, g.told[i])
		}
		if g.is[i]&aLoosePhoto != 0 && !g.in.album.names.has(name) {
			l.Problems = append(l.Problems, unusedPhoto(name))
		}
	}
	items, joined, err := g.join()
	if err != nil {
		return nil, err
	}
	l.items = items
	l.Problems = append(l.Problems, joined...)
	l.Problems = append(l.Problems, toldAnew(l.Problems, told, func(photo string) bool { return g.named.has(photo) || g.in.album.names.has(photo) })...)
	listing.SortProblems(l.Problems)
	return l, nil
}

// join makes the items, in order.
func (g *gathering) join() (items []item, problems []listing.Problem, err error) {
	stubs := slices.DeleteFunc(g.spool.stubs, func(s stub) bool { return g.is[s.source]&aResource != 0 })
	slices.SortFunc(stubs, func(a, b stub) int { return cmp.Or(cmp.Compare(a.source, b.source), cmp.Compare(a.seq, b.seq)) })
	shared := g.shared(stubs)
	var read [][]*listing.Listing
	origin := map[*listing.Listing]item{}
	for i := range g.is {
		list := g.heldOf(i)
		for ; len(stubs) > 0 && int(stubs[0].source) == i; stubs = stubs[1:] {
			s := &stubs[0]
			if !shared.by(&s.traces) {
				ref := listing.CaptureRef{File: cmp.Or(s.file, g.list.name(i)), Entry: s.entry}
				items = append(items, item{spooled: s, best: ref, first: ref, known: int(s.known), source: s.source, seq: s.seq})
				continue
			}
			l, err := g.spool.listing(s, g.list.name(i))
			if err != nil {
				return nil, nil, err
			}
			list = append(list, heldListing{l, s.seq})
		}
		if len(list) == 0 {
			continue
		}
		slices.SortFunc(list, func(a, b heldListing) int { return cmp.Compare(a.seq, b.seq) })
		one := make([]*listing.Listing, len(list))
		for k, h := range list {
			one[k] = h.Listing
			origin[h.Listing] = item{source: int32(i), seq: h.seq}
		}
		read = append(read, one)
	}
	offers, problems := join(read)
	best := map[*listing.Listing]*capture{}
	for _, o := range offers {
		it := origin[o.first.Listing]
		it.held, it.best, it.first, it.known = o.best.Listing, o.best.Ref(), o.first.Ref(), o.first.known()
		best[it.held] = o.best
		items = append(items, it)
	}
	slices.SortFunc(items, func(a, b item) int {
		return cmp.Or(refByPlace(a.best, b.best), cmp.Compare(b.known, a.known), refByPlace(a.first, b.first),
			cmp.Compare(a.source, b.source), cmp.Compare(a.seq, b.seq))
	})
	var named []*capture
	for _, it := range items {
		if it.held != nil {
			named = append(named, best[it.held])
		}
	}
	name(named)
	return items, problems, nil
}

func refByPlace(a, b listing.CaptureRef) int {
	return cmp.Or(strings.Compare(a.File, b.File), strings.Compare(a.Entry, b.Entry), cmp.Compare(a.Row, b.Row))
}

// heldOf gives the listings of a source that are in memory.
func (g *gathering) heldOf(i int) []heldListing {
	if g.is[i]&aResource != 0 {
		return nil
	}
	return g.held[i]
}

// sums are sums of texts that several listings have.
type sums map[sum]bool

// by reports whether a listing must be held against others before it can be
// joined and named. One that has an id or an address is not named by its place.
func (s sums) by(t *traces) bool {
	return s[t.id] || s[t.hostID] || s[t.address] || s[t.bytes] || t.id == 0 && t.address == 0 && s[t.place]
}

// shared gives the sums that several listings have; of the bytes of a capture,
// those that came through several sources.
func (g *gathering) shared(stubs []stub) sums {
	if len(stubs) == 0 {
		return nil
	}
	var all []sum
	for i := range g.is {
		seen := map[sum]bool{}
		add := func(t *traces) {
			for _, x := range [...]sum{t.id, t.hostID, t.address, t.place} {
				if x != 0 {
					all = append(all, x)
				}
			}
			if !seen[t.bytes] {
				seen[t.bytes] = true
				all = append(all, t.bytes)
			}
		}
		for ; len(stubs) > 0 && int(stubs[0].source) == i; stubs = stubs[1:] {
			add(&stubs[0].traces)
		}
		for _, h := range g.heldOf(i) {
			t := tracesOf(captureOf(h.Listing))
			add(&t)
		}
	}
	slices.Sort(all)
	several := sums{}
	for i := 1; i < len(all); i++ {
		if all[i] == all[i-1] {
			several[all[i]] = true
		}
	}
	return several
}

// Write writes the lines. change may be nil; else it is called with each listing
// before.
func (l *Lines) Write(w io.Writer, change func(*listing.Listing)) error {
	for _, it := range l.items {
		if it.spooled != nil && change == nil {
			line, err := l.spool.line(it.spooled)
			if err == nil {
				_, err = w.Write(line)
			}
			if err != nil {
				return err
			}
			continue
		}
		one := it.held
		if it.spooled != nil {
			var err error
			if one, err = l.spool.listing(it.spooled, it.best.File); err != nil {
				return err
			}
		}
		if change != nil {
			change(one)
		}
		if err := listing.WriteLine(w, one); err != nil {
			return err
		}
	}
	return nil
}

// Close lets go of the folders that were read and of the temporary file.
func (l *Lines) Close() {
	l.spool.close()
	l.tree.close()
}
