package parse

import (
	"cmp"
	"errors"
	"path"
	"slices"
	"sync"

	"counterfoil/parse/listing"
	"counterfoil/parse/photo"
	"counterfoil/parse/savedpage"
)

// album reads each photo file once, however many listings show it.
type album struct {
	fingerprint func(data []byte) (listing.Photo, error)
	positions   bool // read where the photos were taken, too

	mu   sync.Mutex
	seen map[string]*print
	from map[string]*source // files that were opened for a page or table
	// folders are the folders of saved files from which a page took a photo,
	// by the page name that they had when they were saved.
	folders names

	// forgets says that what was read of the photos is not asked for later. Those
	// just seen are kept, in seen and older, and of the files that were opened the
	// names.
	forgets bool
	older   map[string]*print
	names   names
}

// recent is how many photos are kept by an album that forgets, in each of two
// maps.
const recent = 500

type print struct {
	once  sync.Once
	photo listing.Photo
	err   error
}

// newAlbum makes an album that reads photos by fingerprint, nil for [photo.Read].
func newAlbum(fingerprint func(data []byte) (listing.Photo, error)) *album {
	if fingerprint == nil {
		fingerprint = photo.Read
	}
	return &album{fingerprint: fingerprint, seen: map[string]*print{}, from: map[string]*source{}, folders: names{}, names: names{}}
}

// read fingerprints a photo; it may be called from several goroutines.
func (a *album) read(r savedpage.Resource) (listing.Photo, error) {
	key := r.File + "\x00" + r.Entry
	p := a.print(key)
	p.once.Do(func() {
		p.photo, p.err = a.fingerprint(r.Data)
		p.photo.File, p.photo.Entry = r.File, r.Entry
		if a.positions && p.photo.HasLocation { // what a cache must not hold is read here
			p.photo.Position = photo.Position(r.Data)
		}
	})
	return p.photo, p.err
}

// print gives the place for what is read of a photo.
func (a *album) print(key string) *print {
	a.mu.Lock()
	defer a.mu.Unlock()
	p := a.seen[key]
	if p != nil {
		return p
	}
	if p = a.older[key]; p == nil {
		p = &print{}
	}
	if a.forgets && len(a.seen) >= recent {
		a.seen, a.older = map[string]*print{}, a.seen
	}
	a.seen[key] = p
	return p
}

// opened notes where a file came from; of a page also the page's directory.
func (a *album) opened(s *source, page string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	switch {
	case a.forgets:
		a.names.add(s.name)
	case a.from[s.name] == nil:
		a.from[s.name] = s
	}
	dir := path.Dir(s.name)
	if stem := pageOfFolder(path.Base(dir)); page != "" && stem != "" && path.Dir(dir) == page {
		a.folders.add(path.Join(page, stem))
	}
}

// files gives the files that hold the photos read, by name.
func (a *album) files() map[string]*source { return a.from }

// captures gives one capture for each photo file read, by name.
func (a *album) captures() []listing.Capture {
	var list []listing.Capture
	for name, s := range a.from {
		if p := a.seen[name+"\x00"]; p != nil {
			list = append(list, s.capture(kindPhoto, p.photo.SHA256, p.photo.Size, 0))
		}
	}
	slices.SortFunc(list, func(a, b listing.Capture) int { return cmp.Compare(a.File, b.File) })
	return list
}

// resolve reads the photos that a table row names. Those that cannot be read
// are problems and are left out; when none is left the listing's photos are
// not observed.
func (a *album) resolve(l *listing.Listing, res savedpage.Resources) []listing.Problem {
	var problems []listing.Problem
	kept := l.Photos[:0]
	for _, named := range l.Photos {
		r, err := res.Open(named.File)
		var ph listing.Photo
		if err == nil {
			ph, err = a.read(r)
		}
		if err != nil {
			problems = append(problems, photoProblem(l, named, err))
			var perr *photo.Error
			if !errors.As(err, &perr) || perr.Kind != photo.NotDecoded {
				continue
			}
		}
		ph.Views, ph.From, ph.Caption = named.Views, named.From, path.Base(named.File)
		kept = append(kept, ph)
	}
	l.Photos = kept
	return problems
}

func photoProblem(l *listing.Listing, named listing.Photo, err error) listing.Problem {
	p := listing.Problem{Severity: listing.Partial, Reason: "the photo cannot be opened: " + reasonOf(err)}
	var perr *photo.Error
	switch {
	case errors.As(err, &perr):
		p = perr.Problem()
	case errors.Is(err, savedpage.ErrNotSaved):
		p.Reason, p.Hint = "no such photo file beside the table", "put the photo there, or correct the cell"
	case errors.Is(err, savedpage.ErrOutside):
		p.Reason, p.Hint = "the photo lies outside the table's folder or is a link; it is not opened", "copy it beside the table"
	case errors.Is(err, savedpage.ErrRemote):
		p.Reason, p.Hint = "the photo is an address on the network; nothing is fetched", "save it beside the table"
	}
	p.File, p.Entry, p.Place = l.File, l.Entry, named.From
	p.Field, p.Raw = listing.PhotoFiles, listing.Shorten(named.File, listing.RawLimit)
	return p
}
