package report

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/photogroup"
)

// Likeness says how far a picture is from the first one it stands beside.
func Likeness(first, p *listing.Photo) string {
	switch {
	case first.SHA256 != "" && first.SHA256 == p.SHA256:
		return "the same bytes as the first picture"
	case !first.Printed || !p.Printed:
		return "no fingerprint to compare with the first picture"
	}
	m, alike := photogroup.Like(photoOf(first), photoOf(p), photogroup.DefaultBound)
	text := fmt.Sprintf("%d of 64 bits from the first picture", m.Distance)
	if !alike {
		return text + ", by which alone no copy is told"
	}
	if m.Mirrored {
		text = "as a mirror image " + text
	}
	if o := m.Overlap; o != nil {
		text += fmt.Sprintf("; cropped: %s of the first picture and %s of this one show the same (correlation %.2f)",
			rules.Percent(o.OfCentre), rules.Percent(o.OfMember), o.Score)
	}
	return text
}

// SamePicture tells whether two photos have the same bytes, or one is a copy of the
// other, perhaps cropped, as far as what is known of both can tell it. A casebook
// keeps too little for crops.
func SamePicture(a, b *listing.Photo) bool {
	if a.SHA256 != "" && a.SHA256 == b.SHA256 {
		return true
	}
	_, ok := photogroup.Like(photoOf(a), photoOf(b), photogroup.DefaultBound)
	return ok
}

func photoOf(p *listing.Photo) *photogroup.Photo {
	return &photogroup.Photo{Fingerprint: p.Fingerprint, Mirror: p.Mirror, Printed: p.Printed, Detail: p.Detail}
}
