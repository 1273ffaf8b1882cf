// Package labels carries what a person said about pictures to all copies of
// them, in this batch and in later ones.
//
// A label belongs to a picture, not to a listing: it is found again by the
// SHA-256 of the file, else by the fingerprint, so that one look at a picture
// serves every listing that shows it. labels.go holds the set, sheet.go the rows
// of the workbook in which a person writes them.
package labels

import (
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/rules/photogroup"
)

// Label is what a person said about one picture.
type Label struct {
	SHA256      string // of the file that was looked at
	Fingerprint uint64
	Mirror      uint64
	Printed     bool            // whether Fingerprint and Mirror are valid
	Detail      *listing.Detail // nil: the label is not carried to crops
	Views       []string        // views, then marks, as the sheet has them
	Looks       []listing.Look
	Note        string
}

// Set holds labels, at most one for a file.
type Set struct {
	list   []Label
	bySHA  map[string]int
	ofFile map[string]bool // marks that hold for the very file only
	notes  []string
}

// NewSet makes an empty set. ofFile names the marks that belong to one file and
// not to the picture, such as a watermark laid over a copy: they are not carried
// to other files.
func NewSet(ofFile []string) *Set {
	s := &Set{bySHA: map[string]int{}, ofFile: map[string]bool{}}
	for _, m := range ofFile {
		s.ofFile[m] = true
	}
	return s
}

// Len is the number of labels.
func (s *Set) Len() int { return len(s.list) }

// Notes gives what the run must say of the sheets that were read.
func (s *Set) Notes() []string { return s.notes }

// All gives the labels in the order in which they came. The slice belongs to the
// set.
func (s *Set) All() []Label { return s.list }

// Add puts in a label. For a file that has one already, what the new label says
// replaces what the old one said: views and note together, and each feature by
// itself.
func (s *Set) Add(l Label) {
	at, ok := s.bySHA[l.SHA256]
	if !ok {
		s.bySHA[l.SHA256] = len(s.list)
		s.list = append(s.list, l)
		return
	}
	old := &s.list[at]
	if len(l.Views) > 0 || l.Note != "" {
		old.Views, old.Note = l.Views, l.Note
	}
	for _, look := range l.Looks {
		old.Looks = slices.DeleteFunc(slices.Clone(old.Looks), func(k listing.Look) bool {
			return k.Maker == look.Maker && k.Feature == look.Feature
		})
		old.Looks = append(old.Looks, look)
	}
}

// Find gives the label of a photo: that of its file, else that of the nearest
// picture within the bound at which copies are found, mirrored or not, else that
// of one that it is a crop of, or that is a crop of it; nil if there is none. same
// says that the label is of the very file.
func (s *Set) Find(p *listing.Photo) (label *Label, same bool) {
	if at, ok := s.bySHA[p.SHA256]; ok && p.SHA256 != "" {
		return &s.list[at], true
	}
	if !p.Printed {
		return nil, false
	}
	best, surest := photogroup.DefaultBound+1, 0.0
	own := photogroup.Photo{Fingerprint: p.Fingerprint, Mirror: p.Mirror, Printed: true, Detail: p.Detail}
	for i := range s.list {
		l := &s.list[i]
		m, ok := photogroup.Like(&photogroup.Photo{Fingerprint: l.Fingerprint, Mirror: l.Mirror, Printed: l.Printed, Detail: l.Detail}, &own, photogroup.DefaultBound)
		switch {
		case !ok:
		case m.Overlap == nil && m.Distance < best:
			label, best = l, m.Distance
		case m.Overlap != nil && best > photogroup.DefaultBound && m.Overlap.Score > surest:
			label, surest = l, m.Overlap.Score
		}
	}
	return label, false
}

// Applied counts what became of the labels.
type Applied struct {
	Labels   int // in the set
	Used     int // that fitted a photo of the batch
	Photos   int // photos that got one
	Listings int // listings with such a photo
}

// Apply writes the labels into the photos of a batch: views and marks with By
// "label", and the looks of features.
func (s *Set) Apply(batch []*listing.Listing) Applied {
	type match struct {
		label *Label
		same  bool
	}
	found := map[string]match{} // by SHA-256: files are looked up once
	used := map[*Label]bool{}
	a := Applied{Labels: len(s.list)}
	for _, l := range batch {
		labelled := false
		for i := range l.Photos {
			p := &l.Photos[i]
			m, ok := found[p.SHA256]
			if !ok {
				m.label, m.same = s.Find(p)
				found[p.SHA256] = m
			}
			if m.label == nil {
				continue
			}
			s.write(p, m.label, m.same)
			used[m.label], labelled = true, true
			a.Photos++
		}
		if labelled {
			a.Listings++
		}
	}
	a.Used = len(used)
	return a
}

func (s *Set) write(p *listing.Photo, l *Label, same bool) {
	// Photos of one file share their slices.
	p.Views = slices.Clone(p.Views)
	for _, name := range l.Views {
		if !same && s.ofFile[name] || slices.ContainsFunc(p.Views, func(v listing.View) bool { return v.Name == name && v.BySight() }) {
			continue
		}
		p.Views = append(p.Views, listing.View{Name: name, By: "label", Text: name})
	}
	p.Looks = slices.Clone(l.Looks)
}
