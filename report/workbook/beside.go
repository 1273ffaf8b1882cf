package workbook

import (
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// Bounds of the pictures on the sheet of findings.
const (
	maxLaid    = 80 // findings with pictures
	maxPairs   = 3  // of one finding, one below the other
	firstLaid  = 8  // column
	pairHeight = thumbRow + 2
)

// pair is a picture of the listing and the one that a finding compares it with:
// another listing's, or a specimen of the maker's profile.
type pair struct{ own, other *listing.Photo }

func (b *book) laidNote() string {
	if b.opt.Thumb == nil {
		return ""
	}
	return fmt.Sprintf("The first %d findings that compare pictures have them side by side, at most %d pairs each: the listing's, and the other listing's or the maker profile's specimen.", maxLaid, maxPairs)
}

// laid finds the pairs of the first findings, by rank, that compare pictures.
func (b *book) laid(shown []*rules.Judged) map[*rules.Finding][]pair {
	others := map[string]*listing.Photo{} // by file and hash
	var chosen []*rules.Judged
	candidates := 0
	for _, j := range shown {
		if candidates >= maxLaid {
			break
		}
		if len(j.Listing.Photos) == 0 {
			continue
		}
		chosen = append(chosen, j)
		for i := range j.Findings {
			f := &j.Findings[i]
			if len(f.Evidence) < 2 || ownPhoto(j.Listing, f.Evidence[0]) == nil {
				continue
			}
			compares := false
			for _, e := range f.Evidence[1:] {
				if ownPhoto(j.Listing, e) == nil {
					others[e.File+"\x00"+e.SHA256], compares = nil, true
				}
			}
			if compares {
				candidates++
			}
		}
	}
	note := func(p *listing.Photo) {
		key := report.FileText(p.File, p.Entry) + "\x00" + p.SHA256
		if got, wanted := others[key]; wanted && got == nil {
			others[key] = p
		}
	}
	if len(others) > 0 {
		for _, l := range b.res.Facts.Listings {
			for k := range l.Photos {
				note(&l.Photos[k])
			}
		}
		for _, p := range b.res.Facts.Makers.Pictures() {
			note(p)
		}
	}
	found := map[*rules.Finding][]pair{}
	for _, j := range chosen {
		for i := range j.Findings {
			if list := pairsOf(j, &j.Findings[i], others); len(list) > 0 && len(found) < maxLaid {
				found[&j.Findings[i]] = list
			}
		}
	}
	return found
}

// pairsOf takes each own picture of a finding with the first other one after it.
func pairsOf(j *rules.Judged, f *rules.Finding, others map[string]*listing.Photo) (list []pair) {
	var own *listing.Photo
	for _, e := range f.Evidence {
		if p := ownPhoto(j.Listing, e); p != nil {
			own = p
		} else if p := others[e.File+"\x00"+e.SHA256]; p != nil && own != nil && len(list) < maxPairs {
			list, own = append(list, pair{own, p}), nil
		}
	}
	return list
}

func ownPhoto(l *listing.Listing, e rules.Evidence) *listing.Photo {
	for i := range l.Photos {
		if p := &l.Photos[i]; p.SHA256 == e.SHA256 && report.FileText(p.File, p.Entry) == e.File {
			return p
		}
	}
	return nil
}

// likenesses says how alike the pictures of the pairs are; a specimen is another
// picture and is not measured.
func (b *book) likenesses(pairs []pair) string {
	if len(pairs) == 0 {
		return ""
	}
	specimens := b.res.Facts.Makers.Pictures()
	var lines []string
	for _, p := range pairs {
		if !slices.Contains(specimens, p.other) {
			lines = append(lines, "Pictures: "+report.Likeness(p.own, p.other)+".")
		}
	}
	return strings.Join(lines, "\n")
}

// besides makes the small copies of the pairs that stand in a row.
func (b *book) besides(row int, pairs []pair) (out []picture) {
	for i, two := range pairs {
		out = append(out, b.inRow(picture{col: firstLaid, row: row, below: i}, two.own, two.other)...)
	}
	return out
}
