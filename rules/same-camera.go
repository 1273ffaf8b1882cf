package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/sellers"
)

// SameCamera finds different pictures of one camera at several sellers.
var SameCamera = &Rule{
	ID: "same-camera", Family: FamilyCross, Weight: 6,
	Doc: Doc{
		Title:    "Pictures of one camera at several sellers",
		Meaning:  "Different pictures of sellers who seem unrelated were taken with one camera, by what it wrote into the files. One hand probably took them, in one place.",
		Formula:  "the same camera by the number of its body, in pictures of which no copy stands at several accounts; 40 % of the weight for the same model and program alone, when 2 to 8 accounts have that pair; none for accounts of one trader. What a camera writes can be edited.",
		Innocent: "A photographer or a distributor who takes pictures for several sellers, a used camera, or a common model.",
		Ask:      "Ask for a fresh photo of the unit beside today's date, and who takes the seller's pictures.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPhotos, NeedCamera, NeedSeller},
	Run: func(p *Pass) Answer {
		switch {
		case !p.Listing.PhotosKnown || len(p.Listing.Photos) == 0:
			return Lacks(NeedPhotos)
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		}
		wrote := false
		best := Silent()
		for k := range p.Listing.Photos {
			ph := &p.Listing.Photos[k]
			kind, value, ok := cameraOf(ph)
			if !ok {
				continue
			}
			wrote = true
			if p.stoodElsewhere(p.FirstPhoto[p.N] + k) {
				continue
			}
			if a := p.sameCamera(ph, kind, value); a.finding != nil && (best.finding == nil || a.finding.Strength > best.finding.Strength) {
				best = a
			}
		}
		if !wrote {
			return Lacks(NeedCamera)
		}
		return best
	},
}

// sameCamera looks for other sellers with pictures of a camera.
func (p *Pass) sameCamera(own *listing.Photo, kind sellers.Kind, value string) Answer {
	evidence, others := []Evidence{QuotePhoto(own)}, map[string]bool{}
	for _, l := range p.Network.LinksOf(p.SellerKeys[p.N]) {
		if l.Kind != kind || l.Value != value || l.Common {
			continue
		}
		for _, q := range l.Evidence {
			if g := p.SellerGroups[q.Listing]; g != p.SellerGroup() && !others[g] {
				others[g] = true
				if len(evidence) < 5 {
					evidence = append(evidence, QuotePhoto(&p.Listings[q.Listing].Photos[q.Photo-1]))
				}
			}
		}
	}
	if len(others) == 0 {
		return Silent()
	}
	if kind == sellers.SameDevice {
		return Found(fmt.Sprintf("A picture has the same camera model and program as different pictures at %s.", count(len(others), "other seller")), evidence...).At(0.4)
	}
	return Found(fmt.Sprintf("A picture is of the same camera as different pictures at %s.", count(len(others), "other seller")), evidence...)
}
