package rules

import (
	"fmt"

	"counterfoil/rules/photogroup"
)

// PhotoAltered finds a picture that was changed on its way from another
// seller.
var PhotoAltered = &Rule{
	ID: "photo-altered", Family: FamilyPhoto, Weight: 9,
	Doc: Doc{
		Title:   "Mirrored, cropped or shrunk copy of a picture",
		Meaning: "The listing shows a picture that another seller shows larger or the other way round. Mirroring and cropping are done to hide where a picture was taken from.",
		Formula: fmt.Sprintf("same picture by fingerprint, other bytes, mirrored against the largest copy of the batch or cropped (full weight) or with fewer pixels than it (two thirds); a fifth of that for a catalogue picture. A crop is found by the fingerprint of the other picture with 8 %% cut off one or two sides, and confirmed by a correlation of at least %.2f where both show the same, %.3f after evening the light",
			photogroup.LeastPlain, photogroup.LeastEvened),
		Innocent: "A phone that mirrors, a marketplace that shrinks pictures, or the same trader on two marketplaces.",
		Ask:      "Ask for the original file of the picture or a fresh one.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPhotos, NeedFingerprints, NeedSeller},
	Run: func(p *Pass) Answer {
		if lack, ok := p.photoGap(); !ok {
			return Lacks(lack)
		}
		if p.SellerGroup() == "" {
			return Lacks(NeedSeller)
		}
		best := Silent()
		for _, s := range p.sharedPhotos() {
			top := p.largest(s.group)
			ref := p.PhotoOf[top.Photo]
			original := p.Photo(ref)
			if p.SellerGroups[ref.Listing] == p.SellerGroup() || original.SHA256 == s.photo.SHA256 {
				continue
			}
			strength, how := 0.0, ""
			shown, cropped := shownOf(s.member, top)
			switch {
			case s.member.Mirrored != top.Mirrored:
				strength, how = 1, "the mirror image of"
			case cropped:
				strength, how = 1, fmt.Sprintf("a crop, with %s, of", Percent(shown))
			case s.photo.Width*s.photo.Height < original.Width*original.Height:
				strength, how = 0.67, "a smaller copy of"
			}
			if p.isCatalogue(s.group) {
				strength *= 0.2
			}
			if strength > 0 && (best.finding == nil || strength > best.finding.Strength) {
				best = Found(fmt.Sprintf("A picture of this listing (%d x %d) is %s one of another seller (%d x %d).",
					s.photo.Width, s.photo.Height, how, original.Width, original.Height),
					QuotePhoto(s.photo), QuotePhoto(original)).At(strength)
			}
		}
		return best
	},
}

// cropFrom is the share of a picture that may be lost by cutting frames and
// margins alone.
const cropFrom = 0.97

// shownOf gives the share of the largest copy that another one shows, and whether
// it is a crop of it, as far as it is known: one of the two is like the centre of
// the group.
func shownOf(m, largest photogroup.Member) (share float64, cropped bool) {
	switch {
	case m.Overlap != nil && largest.Overlap == nil:
		share = m.Overlap.OfCentre
	case m.Overlap == nil && largest.Overlap != nil:
		share = largest.Overlap.OfMember
	default:
		return 1, false
	}
	return share, share < cropFrom
}
