package sample

import (
	"context"
	"fmt"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// Audited runs the rules over listings written as one text each: fields by
// their canonical names, "name: value" on lines. Listings without a key of their
// own are A1, A2, ... "view: serial-plate+box-label" adds a photo.
func Audited(opt rules.Options, texts ...string) (*rules.Result, error) {
	if opt.AsOf.IsZero() {
		opt.AsOf = AsOf
	}
	batch := make([]*listing.Listing, len(texts))
	for i, text := range texts {
		l := &listing.Listing{Key: fmt.Sprintf("A%d", i+1), File: "in/offers.csv", SHA256: hash, Row: i + 2}
		for line := range strings.Lines(text) {
			name, value, _ := strings.Cut(strings.TrimSpace(line), ": ")
			if name == "view" {
				addPhoto(l, value)
				continue
			}
			if n := listing.NameOf(name); n != listing.NoField {
				l.Set(listing.Field{Name: n, Value: value, Raw: value, From: listing.Cell(l.Row, name)})
			}
		}
		batch[i] = l
	}
	return rules.Audit(context.Background(), batch, opt)
}

func addPhoto(l *listing.Listing, views string) {
	file := fmt.Sprintf("in/%s-%d.jpg", l.Key, len(l.Photos)+1)
	p := listing.Photo{File: file, SHA256: fmt.Sprintf("%064x", len(l.Photos)+1000*l.Row), Format: "jpeg", From: listing.Cell(l.Row, "photo_files")}
	for view := range strings.SplitSeq(views, "+") {
		p.Views = append(p.Views, listing.View{Name: view, By: "tag", Text: view})
	}
	l.PhotosKnown, l.Photos = true, append(l.Photos, p)
}
