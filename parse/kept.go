package parse

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"reflect"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/parse/savedpage"
)

// PageStore keeps what was read from pages between runs. Get gives what Put
// stored under a name of 64 hex digits, or nothing: a store may forget, and it
// must never give anything else. It belongs to one build of the program, and is
// safe for concurrent use.
type PageStore interface {
	Get(name string) ([]byte, bool)
	Put(name string, value []byte)
}

// keptPage is what a page gave, with the files that had a say in it.
type keptPage struct {
	Opened   []openedFile
	Listings []keptListing
	Problems []listing.Problem
}

type keptListing struct {
	Listing *listing.Listing
	Fields  []listing.Field
}

// openedFile is one reference that was followed, and what lay there.
type openedFile struct {
	Ref         string
	File, Entry string `json:",omitempty"`
	SHA256      string `json:",omitempty"`
	Err         string `json:",omitempty"`
	Photo       bool   `json:",omitempty"` // it was read as a photo

	data []byte // until its hash is known
}

// keptName names what a page gives by all that decides it but the files it
// refers to; "" when it is not kept.
func (in *intake) keptName(data []byte, at pageAt) string {
	if in.opt.Kept == nil || in.opt.Explain || in.opt.Positions || in.opt.Pages != nil {
		return ""
	}
	sum := sha256.Sum256(data)
	h := sha256.Sum256([]byte(strings.Join([]string{hex.EncodeToString(sum[:]), at.file, at.entry, at.sha,
		at.contentType, at.url, at.date, in.opt.Encoding}, "\x00")))
	return hex.EncodeToString(h[:])
}

// recall gives what a page gave before, if every file that had a say in it is
// still what it was. The files are opened and the photos read as the page's
// reader would: the album must know them.
func (in *intake) recall(name string, at pageAt, files savedpage.Resources) (o outcome, ok bool) {
	value, ok := in.opt.Kept.Get(name)
	if !ok {
		return o, false
	}
	var k keptPage
	if json.Unmarshal(value, &k) != nil || !k.sound() {
		return o, false
	}
	photo := in.photoOf(at)
	for _, was := range k.Opened {
		is := openedFile{Ref: was.Ref, Photo: was.Photo}
		r, err := files.Open(was.Ref)
		switch {
		case err != nil:
			is.Err = err.Error()
		case was.Photo:
			p, _ := photo(r)
			is.File, is.Entry, is.SHA256 = r.File, r.Entry, p.SHA256
		default:
			is.File, is.Entry, is.SHA256 = r.File, r.Entry, sumOf(r.Data)
		}
		if !reflect.DeepEqual(is, was) {
			return o, false
		}
	}
	o.listings, o.problems = k.listings(), k.Problems
	return o, true
}

// sound reports whether every listing is there and has fields of known names, in
// their order.
func (k *keptPage) sound() bool {
	for _, one := range k.Listings {
		if one.Listing == nil {
			return false
		}
		last := listing.NoField
		for _, f := range one.Fields {
			if f.Name <= last || f.Name.String() == "" {
				return false
			}
			last = f.Name
		}
	}
	return true
}

func (k *keptPage) listings() (list []*listing.Listing) {
	for _, one := range k.Listings {
		for _, f := range one.Fields {
			one.Listing.Set(f)
		}
		one.Listing.Pack(nil)
		list = append(list, one.Listing)
	}
	return list
}

// keep stores what a page gave, if the stored form gives just that again.
func (in *intake) keep(name string, rec *recorder, o *outcome) {
	k := keptPage{Opened: rec.hashed(), Problems: o.problems}
	for _, l := range o.listings {
		k.Listings = append(k.Listings, keptListing{l, l.Fields()})
	}
	value, err := json.Marshal(k)
	if err != nil {
		return
	}
	var back keptPage
	if json.Unmarshal(value, &back) != nil || !reflect.DeepEqual(back.Opened, k.Opened) ||
		!reflect.DeepEqual(back.Problems, o.problems) || !reflect.DeepEqual(back.listings(), o.listings) {
		return // say, a name that is not UTF-8
	}
	in.opt.Kept.Put(name, value)
}

// recorder notes what a page opens.
type recorder struct {
	files savedpage.Resources
	log   []openedFile
}

// Open implements [savedpage.Resources].
func (rec *recorder) Open(ref string) (savedpage.Resource, error) {
	r, err := rec.files.Open(ref)
	o := openedFile{Ref: ref}
	if err != nil {
		o.Err = err.Error()
	} else {
		o.File, o.Entry, o.data = r.File, r.Entry, r.Data
	}
	rec.log = append(rec.log, o)
	return r, err
}

// photo notes the hash of a photo that was opened.
func (rec *recorder) photo(read func(savedpage.Resource) (listing.Photo, error)) func(savedpage.Resource) (listing.Photo, error) {
	return func(r savedpage.Resource) (listing.Photo, error) {
		p, err := read(r)
		for i := len(rec.log) - 1; i >= 0; i-- {
			if o := &rec.log[i]; o.data != nil && o.File == r.File && o.Entry == r.Entry {
				o.SHA256, o.Photo, o.data = p.SHA256, true, nil
				break
			}
		}
		return p, err
	}
}

func (rec *recorder) hashed() []openedFile {
	for i := range rec.log {
		if o := &rec.log[i]; o.Err == "" && !o.Photo {
			o.SHA256, o.data = sumOf(o.data), nil
		}
	}
	return rec.log
}

func sumOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}
