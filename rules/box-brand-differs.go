package rules

// BoxBrandDiffers finds a box of another brand than the plate's.
var BoxBrandDiffers = &Rule{
	ID: "box-brand-differs", Family: FamilyPackaging, Weight: 3,
	Doc: Doc{
		Title:    "Box and plate carry different brands",
		Meaning:  "You marked a photo on which the box carries another brand than the plate. Box and unit may then not belong together.",
		Formula:  "the mark box-brand-differs on a photo or on the listing of an item presented as the maker's own (common practice, no source)",
		Innocent: "A vehicle maker's box with the turbocharger maker's unit in it is the normal case, and resellers use boxes of their own.",
		Ask:      "Ask whose box it is and whether its label names the serial of the unit.",
		Since:    "1.0",
	},
	Needs: []Need{NeedMarks},
	Run: func(p *Pass) Answer {
		a := p.markAnswer("A photo is marked as showing a box of another brand than the plate.", MarkBoxBrand)
		if a.finding != nil && !p.PresentsAsMaker() {
			return Silent()
		}
		return a
	},
}
