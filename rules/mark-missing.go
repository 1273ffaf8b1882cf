package rules

import (
	"slices"

	"counterfoil/parse/listing"
)

// MarkIsMissing finds a blank casting where the maker's guide has a mark.
var MarkIsMissing = &Rule{
	ID: "mark-missing", Family: FamilyPhoto, Weight: 7,
	Doc: Doc{
		Title:    "Blank casting where the maker's has a mark",
		Meaning:  "You marked a photo on which the casting is blank at the place where the maker's guide shows a mark, on an item presented as the maker's own.",
		Formula:  "the mark mark-missing on a photo or on the listing; half weight when the maker profile does not name a casting mark among its views, so that nobody has said where the mark belongs (common practice, no source)",
		Innocent: "A variant without the mark, a housing from the vehicle maker, or a photo of the other side.",
		Ask:      "Ask for a photo of both castings from all sides.",
		Since:    "1.0",
	},
	Needs: []Need{NeedMarks},
	Run: func(p *Pass) Answer {
		a := p.markAnswer("A photo is marked as showing a blank casting where the maker's has a mark.", MarkMissing)
		if a.finding != nil && !p.PresentsAsMaker() {
			return Silent()
		}
		if m := p.Maker(); m == nil ||
			!slices.Contains(m.Views, listing.ViewCompressorMark) && !slices.Contains(m.Views, listing.ViewTurbineMark) {
			return a.At(0.5)
		}
		return a
	},
}
