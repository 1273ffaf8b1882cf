package rules

import "fmt"

// PhotoAltered finds a picture that was changed on its way from another
// seller.
var PhotoAltered = &Rule{
	ID: "photo-altered", Family: FamilyPhoto, Weight: 9,
	Doc: Doc{
		Title:    "Mirrored, cropped or shrunk copy of a picture",
		Meaning:  "The listing shows a picture that another seller shows larger or the other way round. Mirroring and cropping are done to hide where a picture was taken from.",
		Formula:  "same picture by fingerprint, other bytes, mirrored against the largest copy of the batch (full weight) or with fewer pixels than it (two thirds); a fifth of that for a catalogue picture",
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
			switch {
			case s.member.Mirrored != top.Mirrored:
				strength, how = 1, "the mirror image of"
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
