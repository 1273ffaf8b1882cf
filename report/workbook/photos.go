package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/photogroup"
)

var photoColumns = []column{
	{"Group", 7, whole},
	{"Kind", 22, wrapped},
	{"Photos", 8, whole},
	{"Listings", 9, whole},
	{"Sellers", 9, whole},
	{"Parts", 26, ident},
	{"Best rank", 8, whole},
	{"Where it is used", 62, wrapped},
	{"Picture 1", thumbWidth, plain},
	{"Picture 2", thumbWidth, plain},
	{"Picture 3", thumbWidth, plain},
	{"Picture 4", thumbWidth, plain},
	{"Picture 5", thumbWidth, plain},
	{"Picture 6", thumbWidth, plain},
}

const (
	thumbWidth  = 17 // characters, a little over thumbPixels
	thumbPixels = 112
	thumbRow    = 90 // points
	firstThumb  = 9  // column
)

// photoGroup is a group that spans several listings.
type photoGroup struct {
	*photogroup.Group
	listings []int // numbers, by rank
	best     int   // rank
}

func (b *book) photos() task {
	groups := b.photoGroups()
	shown := groups[:min(len(groups), maxGroups)]
	pieces := b.pieces()
	intro := "Pictures used by more than one listing, those of several sellers first. A picture of one unit at two sellers needs an explanation; a catalogue picture says little. The owner of a copied picture is listed too."
	pictured := ""
	switch {
	case len(groups) == 0 && len(pieces) == 0:
		intro = "No picture was seen on more than one listing."
	case b.opt.Thumb == nil:
		pictured = "Pictures are not shown in this workbook."
	default:
		pictured = fmt.Sprintf("Pictures are shown for the first %d groups of each kind, at most %d each.", maxPictured, maxThumbs)
	}
	s := b.open(sheetPhotos, layout{frozen: 1}, photoColumns, notes(intro, pictured, piecesNote(len(pieces)), cutNote(len(shown), len(groups), "groups"))...)
	var pictures []picture
	return task{s, func() {
		for i := range pieces {
			b.addPiece(s, i+1, &pieces[i], i < maxPictured)
		}
		for i := range shown {
			b.addGroup(s, len(pieces)+i+1, &shown[i], i < maxPictured)
		}
		pictures = append(b.piecePictures(s.first, pieces[:min(len(pieces), maxPictured)]),
			b.pictures(s.first+len(pieces), shown[:min(len(shown), maxPictured)])...)
	}, func() {
		for _, p := range pictures {
			s.do(func() error { return b.addPicture(s.name, p) })
		}
	}}
}

// picture is a thumbnail and its cell.
type picture struct {
	thumb
	col, row int
	below    int // pictures above it in the cell
	alt      string
}

type thumb struct {
	jpeg []byte
	w, h int
	err  error
}

func (t thumb) shown() bool { return t.err == nil && t.w > 0 && t.h > 0 }

// thumbOf makes the small copy of a photo, once for files with the same bytes.
func (b *book) thumbOf(p *listing.Photo) (t thumb) {
	if b.opt.Thumb == nil {
		return t
	}
	b.thumbLock.Lock()
	t, ok := b.thumbs[p.SHA256]
	b.thumbLock.Unlock()
	if ok && p.SHA256 != "" {
		return t
	}
	t.jpeg, t.w, t.h, t.err = b.opt.Thumb(p)
	b.thumbLock.Lock()
	defer b.thumbLock.Unlock()
	b.thumbs[p.SHA256] = t
	return t
}

// pictures makes the thumbnails of groups that stand in rows from first on.
func (b *book) pictures(first int, groups []photoGroup) (out []picture) {
	for i, g := range groups {
		var list []*listing.Photo
		for _, m := range g.Members[:min(len(g.Members), maxThumbs)] {
			list = append(list, b.photo(m.Photo))
		}
		out = append(out, b.inRow(picture{col: firstThumb, row: first + i}, list...)...)
	}
	return out
}

// inRow makes the thumbnails of photos that stand side by side, the first of them
// in the cell of at. One that cannot be shown leaves its cell empty.
func (b *book) inRow(at picture, photos ...*listing.Photo) (out []picture) {
	for _, p := range photos {
		if at.thumb = b.thumbOf(p); at.shown() {
			at.alt = report.FileText(p.File, p.Entry)
			out = append(out, at)
		}
		at.col++
	}
	return out
}

// photoGroups lists the groups that span several listings: several sellers
// first, catalogue pictures last, then by the best rank.
func (b *book) photoGroups() []photoGroup {
	f := b.res.Facts
	if f.Photos == nil {
		return nil
	}
	var out []photoGroup
	groups := f.Photos.Groups()
	for i := range groups {
		g := photoGroup{Group: &groups[i]}
		for _, m := range g.Members {
			if n := f.PhotoOf[m.Photo].Listing; !slices.Contains(g.listings, n) {
				g.listings = append(g.listings, n)
			}
		}
		if len(g.listings) < 2 {
			continue
		}
		slices.SortFunc(g.listings, func(x, y int) int { return b.rank[x] - b.rank[y] })
		for _, n := range g.listings {
			if g.best = b.rank[n]; g.best > 0 {
				break
			}
		}
		out = append(out, g)
	}
	slices.SortStableFunc(out, func(x, y photoGroup) int {
		return cmp.Or(order(x)-order(y), x.best-y.best)
	})
	return out
}

func order(g photoGroup) int {
	switch {
	case g.Catalogue:
		return 2
	case len(g.Sellers) < 2:
		return 1
	}
	return 0
}

func (b *book) addGroup(s *sheet, number int, g *photoGroup, pictured bool) {
	kind := "same picture"
	switch {
	case g.Catalogue:
		kind = "catalogue picture"
	case !g.Printed:
		kind = "same file"
	case len(g.Sellers) < 2:
		kind = "same picture, one seller"
	}
	var mirrored int
	var lines []string
	for i, m := range g.Members {
		if m.Mirrored {
			mirrored++
		}
		if i < manySightings {
			lines = append(lines, b.usedIn(m))
		}
	}
	if mirrored > 0 {
		kind += ", " + report.Plural(mirrored, "mirrored copy")
		kind = strings.Replace(kind, "copys", "copies", 1)
	}
	if more := len(g.Members) - manySightings; more > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", more))
	}
	values := []any{number, kind, len(g.Members), len(g.listings), len(g.Sellers), strings.Join(g.Parts, "; "), ifAbove0(g.best), strings.Join(lines, "\n")}
	height := s.heightOf(values)
	if b.opt.Thumb != nil && pictured {
		height = max(height, thumbRow)
	}
	s.put(height, values)
}

func (b *book) usedIn(m photogroup.Member) string {
	ref := b.res.Facts.PhotoOf[m.Photo]
	l, p := b.res.Facts.Listings[ref.Listing], b.res.Facts.Photo(ref)
	line := fmt.Sprintf("%s, %s: %s", b.rankText(ref.Listing), seller(l), report.FileText(p.File, p.Entry))
	if m.Mirrored {
		line += ", mirrored"
	}
	switch {
	case m.Overlap != nil:
		line += fmt.Sprintf(", cropped: %s of picture 1 and %s of this one show the same", rules.Percent(m.Overlap.OfCentre), rules.Percent(m.Overlap.OfMember))
	case m.SameBytes:
		line += ", same file"
	case m.Distance > 0:
		line += fmt.Sprintf(", %d of 64 bits differ", m.Distance)
	}
	return line + hashStart(p)
}

func hashStart(p *listing.Photo) string {
	if len(p.SHA256) != 64 {
		return ""
	}
	return ", SHA-256 " + p.SHA256[:12] + "…"
}

func (b *book) addPicture(name string, p picture) error {
	cell, err := excelize.CoordinatesToCellName(p.col, p.row)
	if err != nil {
		return err
	}
	scale := min(thumbPixels/float64(p.w), thumbPixels/float64(p.h))
	return b.f.AddPictureFromBytes(name, cell, &excelize.Picture{Extension: ".jpg", File: p.jpeg, Format: &excelize.GraphicOptions{
		AltText: cellText(p.alt), ScaleX: scale, ScaleY: scale, OffsetX: 4, OffsetY: 3 + p.below*pairHeight*4/3,
		Positioning: "oneCell", LockAspectRatio: true}})
}
