package rules

import (
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
)

// RivalMarksStuffed finds several makers' names in one title.
var RivalMarksStuffed = &Rule{
	ID: "rival-marks-stuffed", Family: FamilyClaim, Weight: 4,
	Doc: Doc{
		Title:    "Several makers' names in the title",
		Meaning:  "The title names makers that compete with each other, without a word of fitting. One unit has one maker; the other names are there to be found by searches.",
		Formula:  "names of at least 2 makers of the profiles, or of at least 3 where the makers were learned from the brand fields, none of them after 'for', 'fits' or the like, on a listing that does not call the item made to fit; half weight for 2 (common practice, no source)",
		Innocent: "A unit that two makers sell, or a list of units it replaces with the word left out.",
		Ask:      "Ask whose name is cast into the housings.",
		Since:    "1.0",
	},
	Needs: []Need{NeedTitle},
	Run: func(p *Pass) Answer {
		if !p.Listing.Has(listing.Title) {
			return Lacks(NeedTitle)
		}
		says := p.Says()
		if says.Claim == claims.ClaimCompatible || p.isSmallPart() {
			return Silent()
		}
		var makers []string
		for _, h := range p.Compared.Names.FindFolded(p.folded(listing.Title)) {
			if !slices.Contains(makers, h.Owner) && !slices.Contains(says.For, h.Owner) {
				makers = append(makers, h.Owner)
			}
		}
		least := 2
		if p.Learned {
			least = 3
		}
		if len(makers) < least {
			return Silent()
		}
		a := Found(fmt.Sprintf("The title names %s.", strings.Join(makers, ", ")), p.Quote(listing.Title))
		if len(makers) == 2 {
			return a.At(0.5)
		}
		return a
	},
}
