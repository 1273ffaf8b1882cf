package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// piece is a picture that is a piece of another one, or holds it.
type piece struct {
	rules.Piece
	best int // rank
}

// pieces lists what the comparison of pictures piece by piece found, by the best
// rank, then the surest first.
func (b *book) pieces() (list []piece) {
	f := b.res.Facts
	for _, found := range f.Pieces {
		for _, p := range found {
			x := piece{Piece: p}
			for _, n := range []int{p.Copy, p.Other} {
				if r := b.rankOf(f.PhotoOf[n].Listing); r > 0 && (x.best == 0 || r < x.best) {
					x.best = r
				}
			}
			list = append(list, x)
		}
	}
	slices.SortFunc(list, func(x, y piece) int {
		return cmp.Or(x.best-y.best, cmp.Compare(y.Match.Score, x.Match.Score), x.Copy-y.Copy, x.Other-y.Other)
	})
	return list
}

func (b *book) addPiece(s *sheet, number int, p *piece, pictured bool) {
	kind := "piece of a picture"
	if p.Within {
		kind = "picture within a picture"
	}
	if p.Match.Mirrored {
		kind += ", mirrored"
	}
	f := b.res.Facts
	var sellers, parts []string
	for _, n := range []int{p.Copy, p.Other} {
		ref := f.PhotoOf[n]
		if name := seller(f.Listings[ref.Listing]); !slices.Contains(sellers, name) {
			sellers = append(sellers, name)
		}
		if part := f.Parts[ref.Listing].ID; part != "" && !slices.Contains(parts, part) {
			parts = append(parts, part)
		}
	}
	alike := report.Sentence(p.Match.Where("picture 1", "picture 2", p.Within) + "; " + report.Likeness(b.photo(p.Copy), b.photo(p.Other)))
	values := []any{number, kind, 2, 2, len(sellers), strings.Join(parts, "; "), ifAbove0(p.best),
		strings.Join([]string{b.placeOf(p.Copy), b.placeOf(p.Other), alike}, "\n")}
	height := s.heightOf(values)
	if b.opt.Thumb != nil && pictured {
		height = max(height, thumbRow)
	}
	s.put(height, values)
}

func (b *book) photo(n int) *listing.Photo { return b.res.Facts.Photo(b.res.Facts.PhotoOf[n]) }

// placeOf says where a picture is used, with the start of its hash.
func (b *book) placeOf(n int) string {
	ref := b.res.Facts.PhotoOf[n]
	p := b.photo(n)
	return fmt.Sprintf("%s, %s: %s%s", b.rankText(ref.Listing), seller(b.res.Facts.Listings[ref.Listing]), report.FileText(p.File, p.Entry), hashStart(p))
}

func piecesNote(n int) string {
	if n == 0 {
		return ""
	}
	rows := "The first row is"
	if n > 1 {
		rows = fmt.Sprintf("The first %d rows are", n)
	}
	return rows + " of pictures that are a piece of another one, or hold it, by the comparison piece by piece."
}

func (b *book) piecePictures(first int, list []piece) (out []picture) {
	for i, p := range list {
		out = append(out, b.inRow(picture{col: firstThumb, row: first + i}, b.photo(p.Copy), b.photo(p.Other))...)
	}
	return out
}
