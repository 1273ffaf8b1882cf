// Package ocr reads serials, part numbers and makers' names from photos of
// serial plates and box labels with Tesseract, a program that the user may have
// installed. Without it nothing is read.
//
// A reading is never more than a hint: characters are misread with great
// confidence. Each reading therefore keeps its confidence and its place, several
// passes over a picture must agree, and only what two passes agree on or what is
// read with very high confidence is put into a listing's fields.
//
// ocr.go holds the run over a batch, engine.go the program, pass.go the ways in
// which a picture is shown to it, words.go its answer, numbers.go what is made
// of it.
package ocr

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"counterfoil/parse/listing"
)

// Patterns know how the user's makers write. A nil function knows nothing.
type Patterns struct {
	// Brand gives the maker whose name the text is.
	Brand func(text string) (maker string, ok bool)
	// Part and Serial say whether a text has the form of a part number or a
	// serial of the maker, of any maker when maker is "". Part gives the number
	// as the maker writes it.
	Part   func(maker, text string) (canonical string, ok bool)
	Serial func(maker, text string) bool
}

// Shelf keeps what was read between runs, by SHA-256.
type Shelf interface {
	Get(sha256 string, v any) bool
	Put(sha256 string, v any)
}

// Options steer a run.
type Options struct {
	Patterns Patterns
	Open     func(*listing.Photo) ([]byte, error) // reads a photo's file again
	Shelf    Shelf                                // may be nil
	Jobs     int                                  // pictures at a time; 0: one for each processor
}

// Summary says what a run did.
type Summary struct {
	Photos   int // distinct pictures looked at
	Read     int // with at least one reading
	Failed   int // that could not be opened or that the program gave up on
	Listings int // that got a field from a picture
}

// wanted says whether a photo may show a plate or a label: it is known to, or
// its view is not known. What an extract says of its lettering stands: its file
// need not be here.
func wanted(p *listing.Photo) bool {
	if p.SHA256 == "" || p.Width < minSide || p.Height < minSide || len(p.Readings) > 0 || p.Lettering != "" {
		return false
	}
	return kindOf(p) != "" || len(p.Views) == 0
}

// minSide is the least side in pixels of a picture in which lettering is looked
// for.
const minSide = 120

// kindOf is the view of a plate or box label that the photo is known to show,
// "" when neither or both.
func kindOf(p *listing.Photo) string {
	plate, box := p.Shows(listing.ViewSerialPlate), p.Shows(listing.ViewBoxLabel)
	switch {
	case plate && !box:
		return listing.ViewSerialPlate
	case box && !plate:
		return listing.ViewBoxLabel
	}
	return ""
}

// Read reads the photos of a batch that may show a plate or a label, each
// picture once, and writes the readings into the photos, and sure ones into the
// listings' fields where they have none. The result does not depend on the
// number of jobs or on the shelf. It ends early only with ctx.
func (e *Engine) Read(ctx context.Context, batch []*listing.Listing, opt Options) (Summary, error) {
	byKey := map[string][]*listing.Photo{}
	var keys []string
	for _, l := range batch {
		for i := range l.Photos {
			if p := &l.Photos[i]; wanted(p) {
				key := kindOf(p) + " " + p.SHA256
				if byKey[key] == nil {
					keys = append(keys, key)
				}
				byKey[key] = append(byKey[key], p)
			}
		}
	}
	found := make([]picture, len(keys))
	jobs := cmp.Or(opt.Jobs, runtime.GOMAXPROCS(0))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(jobs, len(keys)) {
		wg.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= len(keys) {
					return
				}
				found[i] = e.picture(ctx, byKey[keys[i]][0], opt)
			}
		})
	}
	wg.Wait()
	s := Summary{Photos: len(keys)}
	if err := ctx.Err(); err != nil {
		return s, err
	}
	for i, key := range keys {
		if found[i].err != nil {
			s.Failed++
		}
		if len(found[i].readings) > 0 {
			s.Read++
		}
		for _, p := range byKey[key] {
			p.Readings, p.Lettering = found[i].readings, found[i].lettering
			if v := found[i].view; v != "" && kindOf(p) == "" {
				p.Views = append(slices.Clone(p.Views), listing.View{Name: v, By: "ocr", Text: found[i].sign})
			}
		}
	}
	for _, l := range batch {
		if fill(l) {
			s.Listings++
		}
	}
	return s, nil
}

// picture is what was found in one picture.
type picture struct {
	readings []listing.Reading
	view     string // the view that its words tell, "" when it was known or is not told
	sign     string // the words that tell it
	// lettering is what the best pass read well, lines kept.
	lettering string
	err       error
}

// errChanged says that the file is no longer the one that was fingerprinted.
var errChanged = fmt.Errorf("the file has changed")

func (e *Engine) picture(ctx context.Context, p *listing.Photo, opt Options) picture {
	kind := kindOf(p)
	var kept memory
	if opt.Shelf != nil {
		opt.Shelf.Get(p.SHA256, &kept)
	}
	was := len(kept.Passes)
	used, err := e.passes(ctx, &kept, kind != "", opt.Patterns, func() ([]byte, error) {
		data, err := opt.Open(p)
		if sum := sha256.Sum256(data); err == nil && hex.EncodeToString(sum[:]) != p.SHA256 {
			err = errChanged
		}
		return data, err
	})
	if err == nil && opt.Shelf != nil && len(kept.Passes) > was {
		opt.Shelf.Put(p.SHA256, &kept)
	}
	out := picture{err: err}
	if kind == "" {
		kind, out.sign = told(used)
		out.view = kind
	}
	out.readings = readings(used, kind, opt.Patterns)
	out.lettering = lettering(used)
	if len(out.readings) == 0 {
		out.view = ""
	}
	return out
}

// fill puts the surest readings into fields that the listing has not.
func fill(l *listing.Listing) (filled bool) {
	for _, n := range []listing.Name{listing.PlateSerial, listing.PlatePartNumber, listing.BoxSerial} {
		if l.Has(n) {
			continue
		}
		var best listing.Reading
		var from *listing.Photo
		for i := range l.Photos {
			for _, r := range l.Photos[i].Readings {
				if r.Field == n && r.Confidence >= listing.SureReading && r.Confidence > best.Confidence {
					best, from = r, &l.Photos[i]
				}
			}
		}
		if from == nil {
			continue
		}
		l.Set(listing.Field{Name: n, Value: best.Value, Raw: best.Raw, From: listing.Place{Source: listing.SourceOCR,
			Path: fmt.Sprintf("%s at %s, confidence %.0f %%", path.Base(cmp.Or(from.Entry, from.File)), best.Box, 100*best.Confidence)}})
		filled = true
	}
	return filled
}
