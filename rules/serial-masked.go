package rules

// SerialMasked finds a plate whose serial was covered.
var SerialMasked = &Rule{
	ID: "serial-masked", Family: FamilyPhoto, Weight: 2,
	Doc: Doc{
		Title:    "Serial masked on the photo",
		Meaning:  "You marked a photo on which the serial is covered or made unreadable. The unit can then not be checked with the maker before it is bought.",
		Formula:  "the mark serial-masked on a photo or on the listing (common practice, no source)",
		Innocent: "Many honest sellers cover serials so that nobody can clone them.",
		Ask:      "Ask for the full serial in a private message, to check it with the maker.",
		Since:    "1.0",
	},
	Needs: []Need{NeedMarks},
	Run: func(p *Pass) Answer {
		return p.markAnswer("A photo is marked as showing a masked serial.", MarkSerialMasked)
	},
}
