package rules

// MarkIsGround finds a casting whose maker's mark was removed.
var MarkIsGround = &Rule{
	ID: "mark-ground", Family: FamilyPhoto, Weight: 14, Decisive: true,
	Doc: Doc{
		Title:    "Place of the maker's mark ground or welded",
		Meaning:  "You marked a photo on which the place of the maker's mark in a casting is ground, welded or polished. A mark is removed to hide whose casting it is.",
		Formula:  "the mark mark-ground on a photo or on the listing; half weight on remanufactured, rebuilt and used units and on cores (common practice, no source)",
		Innocent: "A casting cleaned for remanufacture, a repair, or a variant that is machined at this place.",
		Ask:      "Ask for a sharp photo of both castings and why the surface was worked on.",
		Since:    "1.0",
	},
	Needs: []Need{NeedMarks},
	Run: func(p *Pass) Answer {
		a := p.markAnswer("A photo is marked as showing a casting that is ground or welded at the place of the maker's mark.", MarkGround)
		if p.workedOn() {
			return a.At(0.5)
		}
		return a
	},
}
