package rules

import (
	"unicode"

	"counterfoil/parse/listing"
)

// NoPartNumber finds a unit without any number.
var NoPartNumber = &Rule{
	ID: "no-part-number", Family: FamilyIdentity, Weight: 3,
	Doc: Doc{
		Title:    "No number of any kind",
		Meaning:  "A new unit is presented as the maker's own, and neither the fields nor title and description give a part number. Without one nobody can tell what will be sent.",
		Formula:  "no part number, OE number, plate number, model or shop number among the fields, and no run with at least 4 digits in title and description; new units only (common practice, no source)",
		Innocent: "A seller who sells a single unit and describes it by its vehicle.",
		Ask:      "Ask for the full part number as stamped on the plate.",
		Since:    "1.0",
	},
	Needs: []Need{NeedTitle, NeedDescription},
	Run: func(p *Pass) Answer {
		switch {
		case !p.Listing.Has(listing.Title):
			return Lacks(NeedTitle)
		case !p.IsNew() || !p.PresentsAsMaker() || p.isSmallPart():
			return Silent()
		}
		for _, n := range []listing.Name{listing.PartNumber, listing.OENumbers, listing.PlatePartNumber, listing.Model, listing.SKU, listing.GTIN} {
			if p.Listing.Has(n) {
				return Silent()
			}
		}
		if hasNumber(p.text(listing.Title)) || hasNumber(p.text(listing.Description)) {
			return Silent()
		}
		if !p.Listing.Has(listing.Description) {
			return Lacks(NeedDescription)
		}
		return Found("The listing gives no part number of any kind.", p.Quote(listing.Title))
	},
}

// hasNumber reports whether a text has a run of letters, digits and joining
// signs with at least 4 digits: any number long enough to name a part. A year
// is taken for one too, which errs on the side of silence.
func hasNumber(text string) bool {
	digits := 0
	for _, r := range text {
		switch {
		case unicode.IsDigit(r):
			if digits++; digits >= 4 {
				return true
			}
		case r == '-' || r == '.' || r == '/' || unicode.IsLetter(r):
		default:
			digits = 0
		}
	}
	return false
}
