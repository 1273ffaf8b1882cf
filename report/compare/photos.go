package compare

import (
	"cmp"
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// mostPhotos bounds the photos of a listing that are compared.
const mostPhotos = 100

// photosChanged compares the photos by bytes, fingerprint and, where both sides
// have what tells them, as crops of one another; where both sides show which photos
// there are.
func (c *comparison) photosChanged(m *match) {
	if !m.old.l.PhotosKnown || !m.new.l.PhotosKnown || m.old.l.Brief != m.new.l.Brief {
		return
	}
	a, b := readable(m.old.l), readable(m.new.l)
	if len(a) < len(m.old.l.Photos) || len(b) < len(m.new.l.Photos) || len(a)+len(b) == 0 {
		return // what could not be read may be any of them
	}
	removed, added := unlike(a, b), unlike(b, a)
	if len(removed)+len(added) == 0 {
		return
	}
	ch := c.about(PhotosChanged, m)
	ch.Field = listing.PhotoFiles
	ch.OldValue, ch.NewValue = report.Plural(len(a), "photo"), report.Plural(len(b), "photo")
	kept := len(a) - len(removed)
	switch {
	case len(added) == 0:
		ch.Statement = fmt.Sprintf("%s removed, %d kept.", were(len(removed)), kept)
	case len(removed) == 0:
		ch.Statement = fmt.Sprintf("%s added, %d kept.", were(len(added)), kept)
	case kept == 0:
		ch.Statement = fmt.Sprintf("All photos were replaced: %d went, %d came.", len(removed), len(added))
		ch.Attention = WorthALook
	default:
		ch.Statement = fmt.Sprintf("Photos were replaced: %d went, %d came, %d kept.", len(removed), len(added), kept)
		ch.Attention = WorthALook
	}
	ch.Evidence = append(photoQuotes("before", removed), photoQuotes("after", added)...)
	c.add(ch)
}

func were(n int) string {
	if n == 1 {
		return "1 photo was"
	}
	return fmt.Sprintf("%d photos were", n)
}

// readable lists the photos that can be told apart.
func readable(l *listing.Listing) []*listing.Photo {
	var list []*listing.Photo
	for i := range l.Photos[:min(len(l.Photos), mostPhotos)] {
		if p := &l.Photos[i]; p.Printed || p.SHA256 != "" {
			list = append(list, p)
		}
	}
	return list
}

// unlike lists the photos of a that are like none of b.
func unlike(a, b []*listing.Photo) []*listing.Photo {
	var list []*listing.Photo
next:
	for _, p := range a {
		for _, q := range b {
			if report.SamePicture(p, q) {
				continue next
			}
		}
		list = append(list, p)
	}
	return list
}

// photoQuotes is the evidence of up to three photos.
func photoQuotes(side string, list []*listing.Photo) []Evidence {
	var out []Evidence
	for _, p := range list[:min(len(list), 3)] {
		e := rules.QuotePhoto(p)
		e.Quote = cmp.Or(e.Quote, "photo "+report.FileText(p.File, p.Entry))
		out = append(out, Evidence{side, e})
	}
	return out
}
