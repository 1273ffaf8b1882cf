package main

import (
	"fmt"

	"counterfoil/parse"
	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules/settings"
)

// maxSpecimens bounds the pictures that the profiles of a run name.
const maxSpecimens = 500

// openSpecimens reads the pictures that the profiles of a file name and notes
// them as settings of the run. What cannot be read is left out, and said.
func openSpecimens(l *loader, file string, makers *settings.Makers) (s *parse.Specimens, notes []string) {
	if makers == nil {
		return nil, nil
	}
	count := 0
	for i := range makers.List {
		m := &makers.List[i]
		for k := range m.Features {
			f := &m.Features[k]
			for _, ref := range f.Specimens {
				if count++; count > maxSpecimens {
					continue
				}
				var err error
				if s == nil {
					if s, err = parse.OpenSpecimens(file); err != nil {
						l.errs = append(l.errs, err)
						return nil, nil
					}
				}
				p, err := s.Photo(ref)
				if err != nil {
					notes = append(notes, fmt.Sprintf("%s: maker %s, feature %s: the specimen %q is not shown: %s", file, m.Name, f.ID, listing.Shorten(ref, 200), err))
					continue
				}
				if !l.has(p.File) {
					l.files = append(l.files, report.SettingFile{Role: "specimen", File: p.File, SHA256: p.SHA256, Size: p.Size})
				}
				f.Pictures = append(f.Pictures, p)
			}
		}
	}
	if count > maxSpecimens {
		notes = append(notes, fmt.Sprintf("%s: only the first %d of %d specimens are shown", file, maxSpecimens, count))
	}
	return s, notes
}

func (l *loader) has(file string) bool {
	for _, f := range l.files {
		if f.File == file {
			return true
		}
	}
	return false
}

// thumbOf makes a small JPEG of a photo.
type thumbOf = func(*listing.Photo) (jpeg []byte, w, h int, err error)

// thumb makes small copies of the batch's photos and of the specimens, with side
// pixels on the longer side.
func (x *examination) thumb(batch *parse.Batch, side int) thumbOf {
	return func(p *listing.Photo) ([]byte, int, int, error) {
		if x.specimens.Has(p) {
			return x.specimens.Thumbnail(p, side)
		}
		return batch.Thumbnail(p, side)
	}
}

// cropOf makes small copies of parts of the batch's photos.
func cropOf(batch *parse.Batch) func(*listing.Photo, listing.Box) ([]byte, int, int, error) {
	return func(p *listing.Photo, at listing.Box) ([]byte, int, int, error) { return batch.Crop(p, at, 360) }
}
