package main

import (
	"bytes"
	"context"
	"fmt"
	"slices"

	"counterfoil/parse"
	"counterfoil/parse/listing"
	"counterfoil/parse/ocr"
	"counterfoil/parse/photo"
	"counterfoil/parse/photocache"
	"counterfoil/parse/table"
	"counterfoil/report"
	"counterfoil/report/labelsheet"
	"counterfoil/rules"
	"counterfoil/rules/labels"
	"counterfoil/rules/photogroup"
	"counterfoil/rules/regions"
	"counterfoil/rules/settings"
)

// readingFlags steer how photos are read.
type readingFlags struct {
	Cache string `placeholder:"DIR" help:"Folder that keeps what was read from photos and pages for later runs; it may be deleted at any time (default: none)."`
	OCR   bool   `name:"ocr" help:"Read plates and box labels on the photos with tesseract, if it is installed."`

	cache *photocache.Cache
}

// positionFlags ask where photos were taken.
type positionFlags struct {
	PhotoPositions bool `help:"Show where photos were taken, if their files say so. This is personal data, often somebody's home; without it, and with --mask-contacts, only that a position is recorded is kept."`
}

// ask makes the intake keep positions if the user wants them and masks nothing. It
// says what the report must tell of it.
func (f *positionFlags) ask(opt *parse.Options, masked bool) (notes []string) {
	opt.Positions = f.PhotoPositions && !masked
	switch {
	case opt.Positions:
		notes = append(notes, "where photos were taken was read, since --photo-positions asked for it; this is personal data, and files may state it wrongly")
	case f.PhotoPositions:
		notes = append(notes, "where photos were taken is not shown: --mask-contacts masks it")
	}
	return notes
}

// photoFlags steer how photos are read and compared.
type photoFlags struct {
	readingFlags
	Pieces bool `help:"Compare the photos of a part at different sellers piece by piece, for crops, collages and screenshots (slower)."`
}

// open makes the intake read photos through the cache, if there is one.
func (f *readingFlags) open(opt *parse.Options) (err error) {
	if f.Cache == "" {
		return nil
	}
	if f.cache, err = photocache.Open(f.Cache); err == nil {
		opt.Photo, err = f.cache.Photos()
	}
	if err == nil {
		opt.Kept, err = f.cache.Pages()
	}
	if err != nil {
		return hinted{fmt.Errorf("the cache cannot be used: %w", err), "name another folder with --cache, or leave it out"}
	}
	return nil
}

// finish reads the lettering on the photos, if that is wanted, and closes the
// cache. It says what the report must tell of it.
func (f *readingFlags) finish(ctx context.Context, batch *parse.Batch, makers *settings.Makers, jobs int, bar *progress) (notes []string) {
	if f.OCR {
		notes = append(notes, f.letter(ctx, batch, makers, jobs, bar))
	}
	if f.cache != nil {
		if err := f.cache.Close(); err != nil {
			notes = append(notes, "the cache could not be written: "+err.Error())
		}
	}
	return notes
}

// letter reads the lettering and says what came of it.
func (f *readingFlags) letter(ctx context.Context, batch *parse.Batch, makers *settings.Makers, jobs int, bar *progress) (note string) {
	engine, err := ocr.Find(ctx)
	if err != nil {
		return err.Error()
	}
	bar.line("reading the lettering on photos with tesseract %s", engine.Version())
	opt := ocr.Options{Patterns: patternsOf(makers), Open: batch.Bytes, Jobs: jobs}
	if f.cache != nil {
		shelf, err := f.cache.Shelf(engine.ShelfName())
		if err != nil {
			return "the cache of photos cannot be used: " + err.Error()
		}
		opt.Shelf = shelf
	}
	s, err := engine.Read(ctx, batch.Listings, opt)
	if err != nil {
		return "the photos were not read to the end: " + err.Error()
	}
	note = fmt.Sprintf("tesseract %s read lettering on %d of %s that may show a plate or label; %s got a number from it; findings that rest on it say so and weigh half",
		engine.Version(), s.Read, report.Plural(s.Photos, "picture"), report.Plural(s.Listings, "listing"))
	if s.Failed > 0 {
		note += fmt.Sprintf("; %d could not be read", s.Failed)
	}
	return note
}

// luma gives the rules pixels for the comparison of pieces, if it is wanted.
func (f *photoFlags) luma(batch *parse.Batch) rules.LumaOf {
	if !f.Pieces {
		return nil
	}
	return func(p *listing.Photo) (l regions.Luma, err error) {
		data, err := batch.Bytes(p)
		if err != nil {
			return l, err
		}
		img, _, err := photo.Gray(data, regions.Side)
		if err != nil {
			return l, err
		}
		return regions.Luma{W: img.Rect.Dx(), H: img.Rect.Dy(), Pix: img.Pix}, nil
	}
}

// compared says how much the comparison of pieces left out.
func compared(f *rules.Facts) (notes []string) {
	if f.Photos.CropsLeft {
		notes = append(notes, fmt.Sprintf("crops of photos were not looked for: there are more than %d different ones", photogroup.MaxCropped))
	}
	if f.PiecesLeft > 0 {
		notes = append(notes, fmt.Sprintf("at least %d more pairs of photos were too many to compare piece by piece", f.PiecesLeft))
	}
	return notes
}

// patternsOf gives the profiles to the reading of lettering.
func patternsOf(makers *settings.Makers) ocr.Patterns {
	if makers == nil {
		return ocr.Patterns{}
	}
	// each asks the profile of one maker, or all when no name is known.
	each := func(name string, fits func(*settings.Maker) bool) bool {
		return slices.ContainsFunc(makers.List, func(m settings.Maker) bool { return (name == "" || m.Name == name) && fits(&m) })
	}
	return ocr.Patterns{
		Brand: func(text string) (string, bool) {
			m := makers.Named(text)
			if m == nil {
				return "", false
			}
			return m.Name, true
		},
		Part: func(maker, text string) (number string, ok bool) {
			ok = each(maker, func(m *settings.Maker) (fits bool) { number, fits = m.Canonical(text); return fits })
			return number, ok
		},
		Serial: func(maker, text string) bool {
			return each(maker, func(m *settings.Maker) bool {
				parts, ok := m.Serial(text)
				return ok && parts.Note == ""
			})
		},
	}
}

// labelFlags are about what a person says of the photos.
type labelFlags struct {
	Labels     []string `type:"existingfile" placeholder:"FILE" help:"What photos show, as you filled it in (XLSX); may be given several times, the later file counts."`
	LabelSheet bool     `help:"Write photo-labels.xlsx, in which you say what the photos show."`
}

// read reads the sheets of labels; nil without any.
func (f *labelFlags) read(l *loader, makers *settings.Makers) *labels.Set {
	if len(f.Labels) == 0 {
		return nil
	}
	words := labelsheet.Vocabulary(makers, photo.Version)
	set := labels.NewSet(words.OfFile)
	for _, name := range f.Labels {
		load(l, "labels", name, func(name string, data []byte) (struct{}, error) {
			r := labels.NewReader(name, words, set)
			if err := table.StreamGrid(bytes.NewReader(data), r.Row); err != nil {
				return struct{}{}, fmt.Errorf("%s: %w", name, err)
			}
			return struct{}{}, r.Err()
		})
	}
	return set
}

// applyLabels writes the labels into the photos and says what became of them.
func applyLabels(set *labels.Set, batch *parse.Batch) (notes []string) {
	if set == nil {
		return nil
	}
	a := set.Apply(batch.Listings)
	return append(slices.Clone(set.Notes()), fmt.Sprintf("labels: %d of %d fit a photo of this batch; they hold for %s of %s",
		a.Used, a.Labels, report.Plural(a.Photos, "photo"), report.Plural(a.Listings, "listing")))
}

// sheet is the file of labels of a report, if it is wanted.
func (f *labelFlags) sheet(res *rules.Result, run *report.Run, x *examination, batch *parse.Batch) []report.File {
	if !f.LabelSheet {
		return nil
	}
	return []report.File{labelsheet.File(res, run, labelsheet.Options{Labels: x.labels, Version: photo.Version, Thumb: x.thumb(batch, 280)})}
}
