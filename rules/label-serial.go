package rules

// LabelSerial finds a box label that does not name the unit.
var LabelSerial = &Rule{
	ID: "label-serial", Family: FamilyPackaging, Weight: 9,
	Doc: Doc{
		Title:    "Box label without a serial or with another",
		Meaning:  "You marked a photo on which the box label has no serial, or another one than the plate. Copyists seldom match the box to the unit.",
		Formula:  "the mark label-other-serial at full weight, label-without-serial at half, on an item offered as new and presented as the maker's own (common practice, no source)",
		Innocent: "A box labelled anew by a reseller, a box from another unit of the same stock, or a maker that prints no serial on its boxes.",
		Ask:      "Ask for one photo that shows plate and box label of the unit that will be sent.",
		Since:    "1.0",
	},
	Needs: []Need{NeedMarks},
	Run: func(p *Pass) Answer {
		if p.marked(MarkLabelOtherSerial, MarkLabelNoSerial) != nil && (!p.IsNew() || !p.PresentsAsMaker()) {
			return Silent()
		}
		if found := p.marked(MarkLabelOtherSerial); len(found) > 0 {
			return Found("A photo is marked as showing a box label with another serial than the plate.", found...)
		}
		return p.markAnswer("A photo is marked as showing a box label without a serial.", MarkLabelNoSerial).At(0.5)
	},
}
