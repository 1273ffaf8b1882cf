package rules

import (
	"context"
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/rules/regions"
)

// Piece says that a picture shows a part of another seller's, or holds that
// picture within it.
type Piece struct {
	Copy, Other int // photo numbers in PhotoOf; Copy is taken for the later one
	// Within says that Copy holds Other, as a screenshot or a collage does;
	// otherwise Copy is a piece of Other.
	Within bool
	Match  regions.Match // of the smaller in the larger picture
}

// Bounds of the comparison of pieces, which takes about 10 milliseconds a pair.
const (
	maxPiecePhotos = 1000
	maxPiecePairs  = 2000
)

// finerBy is the ratio of pixels for the same content from which one of two
// copies is called the finer one.
const finerBy = 1.15

// buildPieces compares pictures of one part at different sellers piece by piece,
// if the caller gives their pixels. Pictures that are copies by fingerprint are
// compared once, for the first of their group; catalogue pictures are left out.
func (f *Facts) buildPieces() {
	if f.Luma == nil {
		return
	}
	pairs, left := f.piecePairs()
	f.PiecesLeft = left
	prepared := map[int]*regions.Picture{}
	var needed []int
	for _, p := range pairs {
		for _, n := range p {
			if _, ok := prepared[n]; !ok {
				prepared[n] = nil
				needed = append(needed, n)
			}
		}
	}
	ready := make([]*regions.Picture, len(needed))
	eachChunk(context.Background(), len(needed), f.Jobs, func(i int) {
		if l, err := f.Luma(f.Photo(f.PhotoOf[needed[i]])); err == nil {
			ready[i] = regions.Prepare(l)
		}
	})
	for i, n := range needed {
		prepared[n] = ready[i]
	}
	found := make([]*Piece, len(pairs))
	eachChunk(context.Background(), len(pairs), f.Jobs, func(i int) {
		a, b := pairs[i][0], pairs[i][1]
		if prepared[a] != nil && prepared[b] != nil {
			found[i] = f.piece(a, b, prepared)
		}
	})
	f.Pieces = map[int][]Piece{}
	for _, p := range found {
		if p != nil {
			f.Pieces[p.Copy] = append(f.Pieces[p.Copy], *p)
		}
	}
}

// piecePairs lists the pairs to compare, and how many more there would be.
func (f *Facts) piecePairs() (pairs [][2]int, left int) {
	byPart := map[string][]int{}
	var parts []string
	photos := 0
	for n, ref := range f.PhotoOf {
		part := f.Parts[ref.Listing].ID
		if g := f.Photos.Of(n); part == "" || f.SellerGroups[ref.Listing] == "" || g != nil && (g.Catalogue || g.Members[0].Photo != n) {
			continue
		}
		if photos++; photos > maxPiecePhotos {
			left++
			continue
		}
		if byPart[part] == nil {
			parts = append(parts, part)
		}
		byPart[part] = append(byPart[part], n)
	}
	for _, part := range parts {
		list := byPart[part]
		for i, a := range list {
			for _, b := range list[i+1:] {
				switch {
				case f.SellerGroups[f.PhotoOf[a].Listing] == f.SellerGroups[f.PhotoOf[b].Listing]:
				case len(pairs) == maxPiecePairs:
					left++
				default:
					pairs = append(pairs, [2]int{a, b})
				}
			}
		}
	}
	return pairs, left
}

// piece compares two pictures both ways. The one with fewer pixels for the same
// content is the copy; when they have as many, the piece is.
func (f *Facts) piece(a, b int, prepared map[int]*regions.Picture) *Piece {
	part, whole := a, b
	m, ok := regions.Find(prepared[a], prepared[b])
	if back, fits := regions.Find(prepared[b], prepared[a]); fits && back.Score > m.Score {
		part, whole, m, ok = b, a, back, true
	}
	if !ok {
		return nil
	}
	inWhole := (m.Right - m.Left) * float64(f.Photo(f.PhotoOf[whole]).Width)
	if float64(f.Photo(f.PhotoOf[part]).Width) > finerBy*inWhole {
		return &Piece{Copy: whole, Other: part, Within: true, Match: m}
	}
	return &Piece{Copy: part, Other: whole, Match: m}
}

// pieces lists the pieces that the listing's pictures are, the surest first.
func (p *Pass) pieces() (list []Piece) {
	for k := range p.Listing.Photos {
		list = append(list, p.Pieces[p.FirstPhoto[p.N]+k]...)
	}
	slices.SortStableFunc(list, func(a, b Piece) int {
		switch {
		case a.Match.Score > b.Match.Score:
			return -1
		case a.Match.Score < b.Match.Score:
			return 1
		}
		return 0
	})
	return list
}

// LumaOf gives a picture's grey pixels for the comparison of pieces, at most
// regions.Side of them on the longer side.
type LumaOf func(*listing.Photo) (regions.Luma, error)
