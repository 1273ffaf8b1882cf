// Package photogroup finds copies of the same picture in a batch by their
// 64-bit fingerprints, and says which sellers and parts share them.
//
// The search is exact: every pair of fingerprints within the bound is found. Crops
// are then looked for among the groups, by fingerprints of the pictures with strips
// cut off, and what is found is confirmed by laying the pictures over each other.
// What is where: photogroup.go the groups, join.go the search, crops.go the crops,
// align.go how pictures are laid over each other.
package photogroup

import (
	"cmp"
	"math/bits"
	"slices"

	"counterfoil/parse/listing"
)

// Photo is one picture of one listing.
type Photo struct {
	Fingerprint uint64
	Mirror      uint64          // fingerprint of the mirror image
	Printed     bool            // whether Fingerprint and Mirror are valid
	Detail      *listing.Detail // nil: crops of the picture are not looked for
	SHA256      string          // of the bytes, "" if unknown
	Listing     int             // the caller's number of the listing
	Seller      string          // "" if unknown
	Part        string          // "" if unknown
}

// Options are the settings of Build. The zero value stands for the defaults.
type Options struct {
	Bound            int     // largest distance of a copy of a whole picture from its group's centre, in bits
	CatalogueSellers int     // see Group.Catalogue
	CatalogueShare   float64 // see Group.Catalogue
}

// The defaults of Options. What they find, and how seldom they take different
// pictures for copies, is measured by TestCopiesAreFound.
const (
	DefaultBound            = 11
	DefaultCatalogueSellers = 4
	DefaultCatalogueShare   = 0.25
	MaxBound                = 14 // larger bounds are cut to it
)

// Group is a set of pictures that show the same, or copies of it.
type Group struct {
	// Members has the centre first, then the others by distance and number.
	Members []Member
	Sellers []string // the sellers that are known, sorted, each once
	Parts   []string // the parts that are known, sorted, each once
	// Printed is false when the members have no fingerprint (flat or undecoded
	// pictures) and are grouped by equal bytes alone.
	Printed bool
	// Catalogue says that the picture is common stock of a part: for one of the
	// parts at least CatalogueSellers sellers use it, and they are at least
	// CatalogueShare of all sellers that show any picture of the part. It then
	// says little about any one of them. The numbers are the project's
	// judgement: common practice, no source.
	Catalogue bool
}

// Member is a picture in a group.
type Member struct {
	Photo    int  // index into the photos given to Build
	Distance int  // bits between its fingerprint (or mirror) and the centre's
	Mirrored bool // its mirror image, not itself, is a copy of the centre
	// Overlap is set when the fingerprints do not tell it, but one of the two is a
	// crop of the other.
	Overlap   *Overlap
	SameBytes bool // at least one other member has the same bytes
}

// Index holds the groups of a batch.
type Index struct {
	groups []Group
	of     []int32 // group of each photo, -1 for none
	// CropsLeft says that crops were not looked for: there were more different
	// pictures than MaxCropped.
	CropsLeft bool
}

// Groups returns the groups with two members or more, by the number of their
// first photo in the batch. The slice belongs to the index.
func (x *Index) Groups() []Group { return x.groups }

// Of returns the group of a photo, or nil if it is like no other.
func (x *Index) Of(photo int) *Group {
	if photo < 0 || photo >= len(x.of) || x.of[photo] < 0 {
		return nil
	}
	return &x.groups[x.of[photo]]
}

// distance gives the bits between a and the nearer of b and its mirror image.
func distance(a, b print) (d int, mirrored bool) {
	straight := bits.OnesCount64(a.print ^ b.print)
	turned := bits.OnesCount64(a.print ^ b.mirror)
	if turned < straight {
		return turned, true
	}
	return straight, false
}

// Build groups the photos. The result depends on their order only in the
// numbering.
func Build(photos []Photo, opt Options) *Index {
	opt = opt.withDefaults()
	x := &Index{of: make([]int32, len(photos))}
	for i := range x.of {
		x.of[i] = -1
	}
	prints, photosOf, details := distinct(photos)
	centre := cluster(prints, details, opt.Bound)
	size := make([]int, len(prints))
	for p, c := range centre {
		size[c] += len(photosOf[p])
	}
	var joined map[int32]link
	joined, x.CropsLeft = joinCrops(prints, details, centre, size, opt.Bound)
	for c, l := range joined {
		size[l.from] += size[c]
	}
	members := map[int32][]Member{}
	for p, c := range centre {
		d, mirrored := distance(prints[c], prints[p])
		var overlap *Overlap
		if l, ok := joined[c]; ok {
			c, mirrored, overlap = l.from, mirrored != l.mirrored, &l.overlap
			d, _ = distance(prints[c], prints[p])
		}
		if size[c] < 2 {
			continue
		}
		for _, photo := range photosOf[p] {
			members[c] = append(members[c], Member{Photo: photo, Distance: d, Mirrored: mirrored, Overlap: overlap})
		}
	}
	for c, list := range members {
		centreFirst(list, photosOf[c][0])
		x.groups = append(x.groups, Group{Members: list, Printed: true})
	}
	x.groups = append(x.groups, byBytes(photos)...)
	finish(x, photos, opt)
	return x
}

func (o Options) withDefaults() Options {
	if o.Bound <= 0 {
		o.Bound = DefaultBound
	}
	o.Bound = min(o.Bound, MaxBound)
	if o.CatalogueSellers <= 0 {
		o.CatalogueSellers = DefaultCatalogueSellers
	}
	if o.CatalogueShare <= 0 {
		o.CatalogueShare = DefaultCatalogueShare
	}
	return o
}

// print is a distinct pair of fingerprints.
type print struct{ print, mirror uint64 }

// distinct gives each pair of fingerprints once, in the order of the first photo
// that has it, the photos of each, and its detail.
func distinct(photos []Photo) (prints []print, photosOf [][]int, details []*listing.Detail) {
	number := map[print]int{}
	for i, p := range photos {
		if !p.Printed {
			continue
		}
		key := print{p.Fingerprint, p.Mirror}
		n, ok := number[key]
		if !ok {
			n = len(prints)
			number[key] = n
			prints, photosOf, details = append(prints, key), append(photosOf, nil), append(details, nil)
		}
		if details[n] == nil {
			details[n] = p.Detail
		}
		photosOf[n] = append(photosOf[n], i)
	}
	return prints, photosOf, details
}

// byBytes groups photos without a fingerprint by their hash.
func byBytes(photos []Photo) []Group {
	members := map[string][]Member{}
	for i, p := range photos {
		if !p.Printed && p.SHA256 != "" {
			members[p.SHA256] = append(members[p.SHA256], Member{Photo: i})
		}
	}
	var out []Group
	for _, list := range members {
		if len(list) > 1 {
			out = append(out, Group{Members: list})
		}
	}
	return out
}

func centreFirst(list []Member, centre int) {
	slices.SortFunc(list, func(a, b Member) int {
		if a.Photo == centre || b.Photo == centre {
			return cmp.Compare(b2i(b.Photo == centre), b2i(a.Photo == centre))
		}
		return cmp.Or(cmp.Compare(a.Distance, b.Distance), cmp.Compare(a.Photo, b.Photo))
	})
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// finish sorts the groups and fills in what is known of their members.
func finish(x *Index, photos []Photo, opt Options) {
	first := func(g Group) int {
		return slices.MinFunc(g.Members, func(a, b Member) int { return cmp.Compare(a.Photo, b.Photo) }).Photo
	}
	slices.SortFunc(x.groups, func(a, b Group) int { return cmp.Compare(first(a), first(b)) })
	sellers := sellersByPart(photos)
	for i := range x.groups {
		g := &x.groups[i]
		same := map[string]int{}
		var list []Photo
		for _, m := range g.Members {
			x.of[m.Photo] = int32(i)
			list = append(list, photos[m.Photo])
			same[photos[m.Photo].SHA256]++
		}
		for k := range g.Members {
			hash := photos[g.Members[k].Photo].SHA256
			g.Members[k].SameBytes = hash != "" && same[hash] > 1
		}
		g.Sellers = known(list, func(p Photo) string { return p.Seller })
		g.Parts = known(list, func(p Photo) string { return p.Part })
		g.Catalogue = catalogue(list, sellers, opt)
	}
}

func known(photos []Photo, value func(Photo) string) []string {
	var out []string
	for _, p := range photos {
		if v := value(p); v != "" {
			out = append(out, v)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

type partSeller struct{ part, seller string }

// sellersByPart counts the sellers that show any picture of each part.
func sellersByPart(photos []Photo) map[string]int {
	seen, count := map[partSeller]bool{}, map[string]int{}
	for _, p := range photos {
		key := partSeller{p.Part, p.Seller}
		if p.Part == "" || p.Seller == "" || seen[key] {
			continue
		}
		seen[key] = true
		count[p.Part]++
	}
	return count
}

func catalogue(group []Photo, all map[string]int, opt Options) bool {
	for part, n := range sellersByPart(group) {
		if n >= opt.CatalogueSellers && float64(n) >= opt.CatalogueShare*float64(all[part]) {
			return true
		}
	}
	return false
}
