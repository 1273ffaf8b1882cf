package rules

import (
	"fmt"
	"slices"

	"counterfoil/parse/listing"
)

// NoPlateView finds a listing whose photos do not show the serial plate.
var NoPlateView = &Rule{
	ID: "no-plate-view", Family: FamilyPhoto, Weight: 4,
	Doc: Doc{
		Title:    "No view of the serial plate",
		Meaning:  "The listing shows photos, and none is known to show the serial plate, which a careful seller photographs first (common practice, no source).",
		Formula:  "views come from the user's tags, captions, alternative texts and file names; full weight when the view of every photo is known, 60 % when of some, not assessed when of none",
		Innocent: "A used part whose plate is worn, a plate photo without a caption, or a habit of hiding serials from cloners.",
		Ask:      "Ask for a sharp photo of the serial plate.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPhotos, NeedViews},
	Run: func(p *Pass) Answer {
		return p.viewsAnswer([]string{listing.ViewSerialPlate}, "the serial plate")
	},
}

// viewsAnswer is the answer of the rules on views that a listing does not
// show.
func (p *Pass) viewsAnswer(wanted []string, what string) Answer {
	if !p.Listing.PhotosKnown {
		return Lacks(NeedPhotos)
	}
	shown := p.Listing.ShownViews()
	photos, known := p.views()
	missed := 0
	for _, v := range wanted {
		if !slices.Contains(shown, v) {
			missed++
		}
	}
	if missed == 0 {
		return Silent()
	}
	if unit := p.Listing.Value(listing.UnitType); unit == listing.Kit || unit == listing.Component {
		return Silent()
	}
	if photos == 0 || len(shown) == 0 {
		return Lacks(NeedViews)
	}
	strength := float64(missed) / float64(len(wanted))
	if known < photos {
		strength *= 0.6
	}
	var evidence []Evidence
	for i := range p.Listing.Photos[:min(photos, 4)] {
		evidence = append(evidence, QuotePhoto(&p.Listing.Photos[i]))
	}
	return Found(fmt.Sprintf("Of %s, %d with a known view, none is known to show %s.", count(photos, "photo"), known, what), evidence...).At(strength)
}
