package rules

import (
	"slices"
	"strings"

	"counterfoil/parse/listing"
)

// ViewsNotShown finds a listing that shows few of the views that tell a unit.
var ViewsNotShown = &Rule{
	ID: "views-not-shown", Family: FamilyPhoto, Weight: 3,
	Doc: Doc{
		Title:    "Casting marks, box, wheel nut or actuator not shown",
		Meaning:  "Besides the plate, a careful seller shows the maker's marks in both castings, the box label, the wheel nut and the actuator bracket, or what the maker's guide asks for (common practice, no source).",
		Formula:  "weight times the share of these views that no photo is known to show; 60 % of it when the view of some photos is not known, not assessed when of none. The box is not asked of used units and cores.",
		Innocent: "Few sellers show all views, and views without a caption are not recognised.",
		Ask:      "Ask for photos of the casting marks, the box label, the wheel nut and the actuator bracket.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPhotos, NeedViews},
	Run: func(p *Pass) Answer {
		wanted := listing.Views
		if m := p.Maker(); m != nil && len(m.Views) > 0 {
			wanted = m.Views
		}
		condition := p.Listing.Value(listing.Condition)
		shown := p.Listing.ShownViews()
		var ask, missed []string
		for _, v := range wanted {
			if v == listing.ViewSerialPlate || v == listing.ViewBoxLabel && (condition == listing.Used || condition == listing.Core) {
				continue
			}
			ask = append(ask, v)
			if !slices.Contains(shown, v) {
				missed = append(missed, strings.ReplaceAll(v, "-", " "))
			}
		}
		return p.viewsAnswer(ask, strings.Join(missed, ", "))
	},
}
