package rules

import (
	"fmt"
	"strings"

	"counterfoil/parse/listing"
)

// OEListLong finds a long list of OE numbers of many kinds.
var OEListLong = &Rule{
	ID: "oe-list-long", Family: FamilyIdentity, Weight: 3,
	Doc: Doc{
		Title:    "Long list of OE numbers of many kinds",
		Meaning:  "The item is presented as one part of the maker and lists many OE numbers written in many ways, as if it fitted the parts of many vehicle makers. Such lists are made to be found by every search.",
		Formula:  "at least 20 OE numbers of at least 6 shapes (digits and letters taken as classes) on a listing that presents the item as the maker's own; kits and components are left out (common practice, no source)",
		Innocent: "A true cross-reference of a part that several vehicle makers use, with all their old and new numbers.",
		Ask:      "Ask which one number is stamped on the plate.",
		Since:    "1.0",
	},
	Needs: []Need{NeedOENumbers},
	Run: func(p *Pass) Answer {
		if !p.Listing.Has(listing.OENumbers) {
			return Lacks(NeedOENumbers)
		}
		numbers := p.Listing.List(listing.OENumbers)
		if !p.atLeast(len(numbers), "oe-numbers") || !p.PresentsAsMaker() || p.isSmallPart() {
			return Silent()
		}
		shapes := map[string]bool{}
		for _, n := range numbers {
			shapes[shapeOf(n)] = true
		}
		if !p.atLeast(len(shapes), "oe-shapes") {
			return Silent()
		}
		return Found(fmt.Sprintf("%d OE numbers of %d shapes are listed for one part.", len(numbers), len(shapes)), p.Quote(listing.OENumbers))
	},
}

// shapeOf writes a number with every digit as 9 and every letter as A.
func shapeOf(number string) string {
	return strings.Map(func(r rune) rune {
		if '0' <= r && r <= '9' {
			return '9'
		}
		return 'A'
	}, listing.CanonicalNumber(number))
}
