package evidence

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html/template"
	"slices"
	"strings"
	"sync"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// photoView is one picture among those that a finding quotes.
type photoView struct {
	Src      template.URL // data: URI, "" when the picture is not shown
	W, H     int          // pixels of the small copy
	Alt      string
	Own      bool
	Other    *refView
	Size     string
	Likeness string // to the listing's own picture
	Caption  string
	Specimen bool   // a picture of the maker profile
	Said     string // what a label or the profile says of it
	Views    string
	Place    string
	Position string // where it was taken, if the user asked
	File     fileView
}

// photos shows pictures, the listing's own first, each with its likeness to the
// first of them.
func (s *Set) photos(j *rules.Judged, refs []rules.PhotoRef) []photoView {
	slices.SortStableFunc(refs, func(a, b rules.PhotoRef) int {
		return ownFirst(a.Listing == j.N, b.Listing == j.N)
	})
	var list []photoView
	for i, ref := range refs {
		if slices.Contains(refs[:i], ref) {
			continue
		}
		v := s.photo(j, ref)
		if i > 0 {
			v.Likeness = report.Likeness(s.res.Facts.Photo(refs[0]), s.res.Facts.Photo(ref))
		}
		list = append(list, v)
	}
	return list
}

func (s *Set) photo(j *rules.Judged, ref rules.PhotoRef) photoView {
	p := s.res.Facts.Photo(ref)
	v := photoView{Own: ref.Listing == j.N, Size: pixels(p), Caption: see(p.Caption, 300), Views: viewsOf(p),
		Place: see(p.From.String(), textLimit), Position: positionOf(p), File: s.file(p.File, p.Entry, p.SHA256)}
	whose := "Picture of this listing"
	if !v.Own {
		other := s.ref(ref.Listing)
		v.Other = &other
		whose = fmt.Sprintf("Picture of the listing of rank %d", other.Rank)
	}
	v.Alt = whose + ", " + v.Size
	if v.Views != "" {
		v.Alt += ", showing " + v.Views
	}
	v.Src, v.W, v.H = s.thumbs.of(p)
	return v
}

// ownFirst compares two pieces of evidence: those of the page's own listing stand
// before others.
func ownFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

func pixels(p *listing.Photo) string {
	if p.Width <= 0 || p.Height <= 0 {
		return "size not known"
	}
	return fmt.Sprintf("%d x %d pixels", p.Width, p.Height)
}

func positionOf(p *listing.Photo) string {
	if p.Position == nil {
		return ""
	}
	return p.Position.String()
}

// viewsOf names what a photo shows, as far as it is known.
func viewsOf(p *listing.Photo) string {
	var list []string
	for _, v := range p.Views {
		if name := strings.ReplaceAll(v.Name, "-", " "); !slices.Contains(list, name) {
			list = append(list, name)
		}
	}
	return see(strings.Join(list, ", "), textLimit)
}

// thumbs makes small copies, each once as long as they are few.
type thumbs struct {
	make func(p *listing.Photo) ([]byte, int, int, error)
	mu   sync.Mutex
	kept map[string]thumb
	size int
}

type thumb struct {
	src  template.URL
	w, h int
}

// thumbMemory bounds what is kept of the small copies, in bytes.
const thumbMemory = 24 << 20

func (t *thumbs) of(p *listing.Photo) (src template.URL, w, h int) {
	t.mu.Lock()
	got, ok := t.kept[p.SHA256]
	t.mu.Unlock()
	if !ok {
		got = t.read(p)
		t.keep(p.SHA256, got)
	}
	return got.src, got.w, got.h
}

var jpegStart = []byte{0xff, 0xd8, 0xff}

func (t *thumbs) read(p *listing.Photo) thumb {
	if t.make == nil {
		return thumb{}
	}
	data, w, h, err := t.make(p)
	if err != nil || !bytes.HasPrefix(data, jpegStart) {
		return thumb{}
	}
	return thumb{template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(data)), w, h}
}

func (t *thumbs) keep(sha string, got thumb) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if sha == "" || t.size+len(got.src) > thumbMemory {
		return
	}
	if t.kept == nil {
		t.kept = map[string]thumb{}
	}
	t.kept[sha] = got
	t.size += len(got.src)
}

// photoRows bounds the table of a listing's photos.
const photoRows = 24

// photoTable lists the photos of a listing with their hashes.
func (s *Set) photoTable(l *listing.Listing) (list []photoView, more int) {
	for i := range first(l.Photos, photoRows) {
		p := &l.Photos[i]
		list = append(list, photoView{Size: pixels(p), Views: viewsOf(p), Caption: see(p.Caption, 300), Place: see(p.From.String(), textLimit),
			Position: positionOf(p), File: s.file(p.File, p.Entry, p.SHA256)})
	}
	return list, max(0, len(l.Photos)-photoRows)
}
