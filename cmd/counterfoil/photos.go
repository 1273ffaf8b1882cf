package main

import (
	"bytes"
	"context"
	"fmt"

	"counterfoil/parse"
	"counterfoil/parse/listing"
	"counterfoil/parse/photocache"
	"counterfoil/parse/table"
	"counterfoil/report"
	"counterfoil/report/labelsheet"
	"counterfoil/rules"
	"counterfoil/rules/labels"
	"counterfoil/rules/settings"
)

// photoFlags steer how photos are read.
type photoFlags struct {
	Cache string `placeholder:"DIR" help:"Folder that keeps what was read from photos for later runs; it may be deleted at any time (default: none)."`

	cache *photocache.Cache
}

// open makes the intake read photos through the cache, if there is one.
func (f *photoFlags) open(opt *parse.Options) (err error) {
	if f.Cache == "" {
		return nil
	}
	if f.cache, err = photocache.Open(f.Cache); err == nil {
		opt.Photo, err = f.cache.Photos()
	}
	if err != nil {
		return hinted{fmt.Errorf("the cache cannot be used: %w", err), "name another folder with --cache, or leave it out"}
	}
	return nil
}

// finish reads what photos are read for beside their fingerprints, and closes
// the cache. It says what the report must tell of it.
func (f *photoFlags) finish(ctx context.Context, batch *parse.Batch, makers *settings.Makers) (notes []string) {
	if f.cache != nil {
		if err := f.cache.Close(); err != nil {
			notes = append(notes, "the cache of photos could not be written: "+err.Error())
		}
	}
	return notes
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
	words := labelsheet.Vocabulary(makers)
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
	return []string{fmt.Sprintf("labels: %d of %d fit a photo of this batch; they hold for %s of %s",
		a.Used, a.Labels, report.Plural(a.Photos, "photo"), report.Plural(a.Listings, "listing"))}
}

// sheet is the file of labels of a report, if it is wanted.
func (f *labelFlags) sheet(res *rules.Result, run *report.Run, set *labels.Set, batch *parse.Batch) []report.File {
	if !f.LabelSheet {
		return nil
	}
	return []report.File{labelsheet.File(res, run, labelsheet.Options{Labels: set,
		Thumb: func(p *listing.Photo) ([]byte, int, int, error) { return batch.Thumbnail(p, 280) }})}
}
