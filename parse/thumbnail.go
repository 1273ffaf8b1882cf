package parse

import (
	"fmt"
	"image"
	"strings"

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

// cropMargin is the share of a part's height that is shown around it.
const cropMargin = 0.6

// Crop gives a small JPEG of a part of a photo of the batch with a little of what
// is around it.
func (b *Batch) Crop(p *listing.Photo, at listing.Box, side int) (jpeg []byte, w, h int, err error) {
	data, err := b.Bytes(p)
	if err != nil {
		return nil, 0, 0, err
	}
	part := image.Rect(at.Left, at.Top, at.Right, at.Bottom)
	return photo.Crop(data, part.Inset(-int(cropMargin*float64(part.Dy()))), side)
}

// Bytes reads the file of a photo of the batch again.
func (b *Batch) Bytes(p *listing.Photo) ([]byte, error) {
	s := b.files[p.File]
	if s == nil {
		return nil, fmt.Errorf("%s: not a file of this batch", p.File)
	}
	if p.Entry == "" {
		return s.read(b.limits.photo)
	}
	f, err := s.root.Open(s.rel)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if bundle.KindAt(f, s.size) == "" {
		page, err := s.read(b.limits.page)
		if err != nil {
			return nil, err
		}
		return inlined(page, s.name, p.Entry)
	}
	arch, _ := bundle.Open(f, s.size, s.name, b.limits.bundle)
	if arch == nil {
		return nil, fmt.Errorf("%s: can no longer be opened", s.name)
	}
	name, inner, isInner := cutInlined(p.Entry)
	data, err := entryOf(arch, name)
	if err != nil || !isInner {
		return data, err
	}
	return inlined(data, s.name, inner)
}

// inlineMark stands between the name of a page inside a container and the
// ordinal of a picture inside that page.
const inlineMark = "#data:"

// cutInlined parts the name of a picture inside a page inside a container.
func cutInlined(entry string) (page, picture string, ok bool) {
	i := strings.LastIndex(entry, inlineMark)
	if i < 0 {
		return entry, "", false
	}
	return entry[:i], entry[i+1:], true
}

// entryOf reads an entry of a container or of a container in it.
func entryOf(arch *bundle.Archive, name string) ([]byte, error) {
	if _, ok := arch.Find(name); !ok {
		if outer, _, isNested := strings.Cut(name, "!"); isNested {
			if nested, _ := arch.Nested(outer); nested != nil {
				arch = nested
			}
		}
	}
	e, err := arch.Read(name)
	return e.Data, err
}

// inlined finds a picture that lies inside a page, by reading that again.
func inlined(page []byte, file, entry string) (data []byte, err error) {
	doc, _, _ := savedpage.Decode(page, "")
	doc, _ = bounded(doc)
	savedpage.Read(doc, file, "", nothing{}, savedpage.Options{Photo: func(r savedpage.Resource) (listing.Photo, error) {
		if r.Entry == entry {
			data = r.Data
		}
		return photo.Read(r.Data)
	}})
	if data == nil {
		return nil, fmt.Errorf("%s: no picture %s", file, entry)
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
