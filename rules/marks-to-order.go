package rules

import "counterfoil/rules/claims"

// MarksToOrder finds plates, logos or boxes offered to the buyer's wish.
var MarksToOrder = &Rule{
	ID: "marks-to-order", Family: FamilyPackaging, Weight: 16, Decisive: true,
	Doc: Doc{
		Title:    "Plates, logo or box to order",
		Meaning:  "The listing offers to put plates, logos or boxes of the buyer's choice on the part. Whoever can print any plate can print the maker's.",
		Innocent: "A service for rebuilders who put their own name on their work.",
		Ask:      "Ask whose plate the unit carries when nothing is ordered.",
		Since:    "1.0",
	},
	Needs: []Need{NeedDescription},
	Run: func(p *Pass) Answer {
		return p.phraseAnswer("The listing offers plates, logos or boxes to order.", claims.Branding, "custom")
	},
}
