package rules

// PlateLooksOdd finds a plate that does not look like the maker's.
var PlateLooksOdd = &Rule{
	ID: "plate-looks-odd", Family: FamilyPhoto, Weight: 7,
	Doc: Doc{
		Title:    "Print or fixing of the plate looks odd",
		Meaning:  "You marked a photo on which the print of the serial plate, or the way it is fixed, differs from what the maker's guide shows.",
		Formula:  "the mark plate-print-odd or plate-rivets-odd on a photo or on the listing of an item presented as the maker's own; half weight on units that were worked on or used (common practice, no source)",
		Innocent: "Plates differ by plant, year and sales channel, and remanufacturers fix their own.",
		Ask:      "Ask for a sharp photo of the plate with its fixings, and show it to the maker.",
		Since:    "1.0",
	},
	Needs: []Need{NeedMarks},
	Run: func(p *Pass) Answer {
		a := p.markAnswer("A photo is marked as showing a plate whose print or fixing looks odd.", MarkPlatePrint, MarkPlateRivets)
		switch {
		case a.finding != nil && !p.PresentsAsMaker():
			return Silent()
		case p.workedOn():
			return a.At(0.5)
		}
		return a
	},
}
