package parse

import (
	"bytes"
	"fmt"

	"counterfoil/parse/bundle"
	"counterfoil/parse/listing"
	"counterfoil/parse/photo"
	"counterfoil/parse/savedpage"
)

// Thumbnail gives a small JPEG of a photo of the batch, for reports. The file
// is read again, since pixels are not kept.
func (b *Batch) Thumbnail(p *listing.Photo, side int) (jpeg []byte, w, h int, err error) {
	data, err := b.Bytes(p)
	if err != nil {
		return nil, 0, 0, err
	}
	return photo.Thumbnail(data, side)
}

// Bytes reads the file of a photo of the batch again.
func (b *Batch) Bytes(p *listing.Photo) ([]byte, error) {
	s := b.files[p.File]
	if s == nil {
		return nil, fmt.Errorf("%s: not a file of this batch", p.File)
	}
	data, err := s.read(b.limits.photo)
	if err != nil || p.Entry == "" {
		return data, err
	}
	return entryOf(s, data, p.Entry)
}

// entryOf finds a picture that lies inside a container or page, by reading it
// again.
func entryOf(s *source, page []byte, entry string) (data []byte, err error) {
	if arch, _ := bundle.Open(bytes.NewReader(page), int64(len(page)), s.name, bundle.Limits{}); arch != nil {
		e, err := arch.Read(entry)
		return e.Data, err
	}
	doc, _, _ := savedpage.Decode(page, "")
	savedpage.Read(doc, s.name, "", nothing{}, savedpage.Options{Photo: func(r savedpage.Resource) (listing.Photo, error) {
		if r.Entry == entry {
			data = r.Data
		}
		return photo.Read(r.Data)
	}})
	if data == nil {
		return nil, fmt.Errorf("%s: no picture %s", s.name, entry)
	}
	return data, nil
}

// Close lets go of the folders that were read.
func (b *Batch) Close() { b.tree.close() }

// nothing are the resources of a page of which only the pictures inside it are
// wanted.
type nothing struct{}

func (nothing) Open(string) (savedpage.Resource, error) {
	return savedpage.Resource{}, savedpage.ErrNotSaved
}
