package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// PartNumberUnknown holds a part number against the maker's styles.
var PartNumberUnknown = &Rule{
	ID: "part-number-unknown", Family: FamilyIdentity, Weight: 6,
	Doc: Doc{
		Title:    "Part number in none of the maker's styles",
		Meaning:  "The listing presents the item as the maker's own part, but its number has none of the styles of the maker's profile and is in no table of equivalents.",
		Formula:  "no pattern of the profile matches the number after blanks, dots and hyphens are evened out",
		Innocent: "A typing error, a vehicle maker's OE number in the field, or a number the profile does not have yet.",
		Ask:      "Ask for the full part number as stamped on the plate.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPart, NeedMakers},
	Run: func(p *Pass) Answer {
		part := p.Part()
		switch {
		case part.ID == "" || part.Field != listing.PartNumber:
			return Lacks(NeedPart)
		case part.Maker == nil || len(part.Maker.PartNumbers) == 0:
			return Lacks(NeedMakers)
		case part.Styled || part.How != "" || !p.PresentsAsMaker():
			return Silent()
		}
		if unit := p.Listing.Value(listing.UnitType); unit == listing.Kit || unit == listing.Component {
			return Silent() // numbered in other ways
		}
		return Found(fmt.Sprintf("The number %s has none of the styles in the profile of %s.",
			p.Listing.Value(listing.PartNumber), part.Maker.Name), p.Quote(listing.PartNumber))
	},
}
