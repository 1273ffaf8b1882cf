package rules

// LoosePlates finds plates that are not on a unit.
var LoosePlates = &Rule{
	ID: "loose-plates", Family: FamilyPackaging, Weight: 14, Decisive: true,
	Doc: Doc{
		Title:    "Loose or blank plates",
		Meaning:  "You marked a photo that shows serial plates lying loose, or a plate without print. Whoever has spare plates can give a unit any number.",
		Formula:  "the mark loose-plates or blank-plates on a photo or on the listing; half weight on units that were worked on or used (common practice, no source)",
		Innocent: "A rebuilder who puts a plate of his own on his work.",
		Ask:      "Ask which plate the unit that will be sent carries, and for a photo of it in place.",
		Since:    "1.0",
	},
	Needs: []Need{NeedMarks},
	Run: func(p *Pass) Answer {
		a := p.markAnswer("A photo is marked as showing loose or blank plates.", MarkLoosePlates, MarkBlankPlates)
		if p.workedOn() {
			return a.At(0.5)
		}
		return a
	},
}
