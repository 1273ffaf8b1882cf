package rules

import (
	"counterfoil/parse/listing"
	"counterfoil/rules/photogroup"
)

// What the photo rules share.

// photoGap says why photos could not be examined; ok is true when they can.
func (p *Pass) photoGap() (lack Need, ok bool) {
	if !p.Listing.PhotosKnown || len(p.Listing.Photos) == 0 {
		return NeedPhotos, false
	}
	if !p.hasPrints(p.N) {
		return NeedFingerprints, false
	}
	return noNeed, true
}

// shared is one of the listing's photos that other sellers use as well.
type sharedPhoto struct {
	photo  *listing.Photo
	member photogroup.Member
	group  *photogroup.Group
	others []PhotoRef // one for each other seller group, in batch order
}

// sharedPhotos lists the listing's photos that stand at other known sellers.
func (p *Pass) sharedPhotos() []sharedPhoto {
	own := p.SellerGroup()
	if own == "" {
		return nil
	}
	var list []sharedPhoto
	for k := range p.Listing.Photos {
		n := p.FirstPhoto[p.N] + k
		g := p.Photos.Of(n)
		if g == nil || !g.Printed {
			continue
		}
		s := sharedPhoto{photo: &p.Listing.Photos[k], group: g}
		seen := map[string]bool{}
		for _, m := range g.Members {
			ref := p.PhotoOf[m.Photo]
			if m.Photo == n {
				s.member = m
			}
			if seller := p.SellerGroups[ref.Listing]; seller != "" && seller != own && !seen[seller] {
				seen[seller] = true
				s.others = append(s.others, ref)
			}
		}
		if len(s.others) > 0 {
			list = append(list, s)
		}
	}
	return list
}

// quotes is the evidence of a shared photo: the listing's own and up to four
// others.
func (p *Pass) photoQuotes(own *listing.Photo, others []PhotoRef) []Evidence {
	list := []Evidence{QuotePhoto(own)}
	for _, ref := range others[:min(len(others), 4)] {
		list = append(list, QuotePhoto(p.Photo(ref)))
	}
	return list
}

// largest gives the member of a group with the most pixels, then the most
// bytes: the copy nearest to the camera.
func (p *Pass) largest(g *photogroup.Group) photogroup.Member {
	best := g.Members[0]
	for _, m := range g.Members[1:] {
		a, b := p.Photo(p.PhotoOf[m.Photo]), p.Photo(p.PhotoOf[best.Photo])
		if x, y := a.Width*a.Height, b.Width*b.Height; x > y || x == y && a.Size > b.Size {
			best = m
		}
	}
	return best
}

// isOriginal reports whether the copy with the most pixels is the listing's own
// or its seller's, and every other seller's copy is smaller: then the picture
// was more likely taken from this seller than by him.
// His copy may also be the only one with what a camera wrote, or the first
// captured by a month: see SourceOf.
func (p *Pass) isOriginal(s sharedPhoto) bool {
	if first := p.SourceOf(s.group); first != "" && first == p.SellerKeys[p.N] {
		return true
	}
	top := p.PhotoOf[p.largest(s.group).Photo]
	if p.SellerGroups[top.Listing] != p.SellerGroup() {
		return false
	}
	most := p.Photo(top)
	for _, m := range s.group.Members {
		ref := p.PhotoOf[m.Photo]
		if ph := p.Photo(ref); p.SellerGroups[ref.Listing] != p.SellerGroup() && ph.Width*ph.Height >= most.Width*most.Height {
			return false
		}
	}
	return true
}

// showsOneUnit reports whether some copy of the picture is known to show what
// only one unit has: its plate or its box label.
func (p *Facts) showsOneUnit(g *photogroup.Group) bool {
	for _, m := range g.Members {
		ph := p.Photo(p.PhotoOf[m.Photo])
		if ph.Shows(listing.ViewSerialPlate) || ph.Shows(listing.ViewBoxLabel) {
			return true
		}
	}
	return false
}

// isCatalogue reports whether many sellers of a part use the picture and none
// of the copies is known to show what only one unit has.
func (p *Pass) isCatalogue(g *photogroup.Group) bool { return g.Catalogue && !p.showsOneUnit(g) }

// views counts the listing's photos and those whose view is known.
func (p *Pass) views() (photos, known int) {
	for i := range p.Listing.Photos {
		if len(p.Listing.Photos[i].Views) > 0 {
			known++
		}
	}
	return len(p.Listing.Photos), known
}
