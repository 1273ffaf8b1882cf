package evidence

import (
	"bytes"
	"cmp"
	"encoding/base64"
	"html/template"
	"path"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// crop shows the part of a photo from which a machine read what is quoted. of is
// the listing quoted, below zero when it is not known.
func (s *Set) crop(own, of int, e rules.Evidence) (src template.URL, w, h int) {
	place, read := strings.CutPrefix(e.Place, listing.SourceOCR+" ")
	if !read || s.cut == nil {
		return "", 0, 0
	}
	if of < 0 {
		of = own
	}
	at := strings.LastIndex(" "+place, " at ")
	if at < 0 {
		return "", 0, 0
	}
	name := strings.TrimSpace((" " + place)[:at])
	where, _, _ := strings.Cut((" " + place)[at+len(" at "):], ", confidence")
	l := s.res.Facts.Listings[of]
	for i := range l.Photos {
		p := &l.Photos[i]
		if p.SHA256 != e.SHA256 && path.Base(cmp.Or(p.Entry, p.File)) != name {
			continue
		}
		for k := range p.Readings {
			if p.Readings[k].Box.String() != where {
				continue
			}
			data, w, h, err := s.cut(p, p.Readings[k].Box)
			if err == nil && bytes.HasPrefix(data, jpegStart) {
				return template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(data)), w, h
			}
		}
	}
	return "", 0, 0
}
