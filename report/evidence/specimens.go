package evidence

import (
	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// specimens are the pictures of the maker profiles, by file and SHA-256.
type specimens map[[2]string]*listing.Photo

func specimensOf(res *rules.Result) specimens {
	of := specimens{}
	for _, p := range res.Facts.Makers.Pictures() {
		of[[2]string{report.FileText(p.File, p.Entry), p.SHA256}] = p
	}
	return of
}

// quoted finds the picture that a piece of evidence quotes, nil for none.
func (x specimens) quoted(e rules.Evidence) *listing.Photo { return x[[2]string{e.File, e.SHA256}] }

// pairs shows each photo of a finding with the specimens quoted right after it.
func (s *Set) pairs(j *rules.Judged, list []rules.Evidence) (pairs [][]photoView) {
	for _, e := range list {
		if ref, ok := s.look.photo(j.N, e); ok {
			v := s.photo(j, ref)
			v.Said = see(e.Quote, textLimit)
			pairs = append(pairs, []photoView{v})
		} else if p := s.specimens.quoted(e); p != nil && len(pairs) > 0 {
			v := photoView{Specimen: true, Said: see(e.Quote, textLimit), Size: pixels(p), Place: see(e.Place, textLimit),
				File: fileView{Name: see(p.File, textLimit), SHA: p.SHA256}} // no file of the input: no link
			v.Alt = "Specimen of the maker profile, " + v.Size
			v.Src, v.W, v.H = s.thumbs.of(p)
			pairs[len(pairs)-1] = append(pairs[len(pairs)-1], v)
		}
	}
	return pairs
}
