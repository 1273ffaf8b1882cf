package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// PhotoOtherUnit finds one picture on listings of different things.
var PhotoOtherUnit = &Rule{
	ID: "photo-other-unit", Family: FamilyCross, Weight: 9,
	Doc: Doc{
		Title:    "The same picture with another part, condition or serial",
		Meaning:  "The picture on this listing also stands for a unit with another serial, another condition or another part number. It can show one of them at most.",
		Formula:  "same picture by fingerprint; another serial at full weight, another condition at two thirds, another part at half; a fifth of that for a catalogue picture, half when no copy is known to show a plate or a box label, a quarter when all other sellers' copies are smaller",
		Innocent: "A family picture for several variants, or a catalogue picture.",
		Ask:      "Ask for a photo of the very unit, with its plate.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPhotos, NeedFingerprints},
	Run: func(p *Pass) Answer {
		if lack, ok := p.photoGap(); !ok {
			return Lacks(lack)
		}
		best := Silent()
		for k := range p.Listing.Photos {
			g := p.Photos.Of(p.FirstPhoto[p.N] + k)
			if g == nil || !g.Printed {
				continue
			}
			for _, m := range g.Members {
				ref := p.PhotoOf[m.Photo]
				if ref.Listing == p.N {
					continue
				}
				strength, what, field := p.otherUnit(ref.Listing)
				if p.isCatalogue(g) {
					strength *= 0.2
				} else if !p.showsOneUnit(g) {
					strength *= 0.5
				} else if p.SellerGroups[ref.Listing] != p.SellerGroup() && p.isOriginal(sharedPhoto{group: g}) {
					strength *= 0.25
				}
				if strength > 0 && (best.finding == nil || strength > best.finding.Strength) {
					best = Found(fmt.Sprintf("A picture of this listing also stands for a unit with %s.", what),
						QuotePhoto(&p.Listing.Photos[k]), QuotePhoto(p.Photo(ref)),
						p.Quote(field), Quote(p.Listings[ref.Listing], field, "")).At(strength)
				}
			}
		}
		return best
	},
}

// otherUnit says in what another listing with the same picture differs.
func (p *Pass) otherUnit(n int) (strength float64, what string, field listing.Name) {
	other := &Pass{Facts: p.Facts, N: n, Listing: p.Listings[n]}
	a, fa := p.serial()
	b, fb := other.serial()
	if a != "" && b != "" && a != b && fa[0] == fb[0] {
		return 1, "the serial " + other.Listing.Value(fb[0]), fa[0]
	}
	if a, b := p.Listing.Value(listing.Condition), other.Listing.Value(listing.Condition); a != "" && b != "" && a != b {
		return 0.67, "the condition " + b, listing.Condition
	}
	if a, b := p.Part().ID, other.Part().ID; a != "" && b != "" && a != b {
		return 0.5, "the part number " + b, p.Part().Field
	}
	return 0, "", listing.NoField
}
