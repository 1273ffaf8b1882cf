package rules

import (
	"fmt"
	"slices"
	"strings"

	"github.com/hbollon/go-edlib"

	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
	"counterfoil/rules/wording"
)

// OtherBrandLeads finds a maker's name leading the title of another brand's
// item.
var OtherBrandLeads = &Rule{
	ID: "other-brand-leads", Family: FamilyIdentity, Weight: 6,
	Doc: Doc{
		Title:    "Another brand in the field, the maker's name leads the title",
		Meaning:  "The brand field names another firm, while the title leads with the maker's name and has no 'for' or 'fits' before it. A buyer who reads the title alone takes the item for the maker's.",
		Formula:  "brand field is no maker of the profile, the first maker in the title stands without a word of fitting and is named so nowhere else; half weight when the text calls the item made to fit and on a CHRA, kit or component, which is named for its unit, none when the title names the brand of the field too or the field misspells the maker by one letter",
		Innocent: "A title cut short, or a vehicle maker's name in the brand field.",
		Ask:      "Ask who made the unit itself.",
		Since:    "1.0",
	},
	Needs: []Need{NeedBrand, NeedTitle},
	Run: func(p *Pass) Answer {
		says := p.Says()
		switch {
		case !p.Listing.Has(listing.Brand):
			return Lacks(NeedBrand)
		case !p.Listing.Has(listing.Title):
			return Lacks(NeedTitle)
		case says.BrandState != claims.BrandOther || says.Leading == "" || slices.Contains(says.For, says.Leading),
			edlib.OSADamerauLevenshteinDistance(wording.Fold(says.Leading), wording.Fold(p.Listing.Value(listing.Brand))) <= 1,
			strings.Contains(wording.Fold(p.text(listing.Title)), wording.Fold(p.Listing.Value(listing.Brand))):
			return Silent()
		}
		a := Found(fmt.Sprintf("The brand field says %s, the title leads with %s.", p.Listing.Value(listing.Brand), says.Leading),
			p.Quote(listing.Brand), p.Quote(listing.Title))
		unit := p.Listing.Value(listing.UnitType)
		if says.Claim == claims.ClaimCompatible || says.Claim == claims.ClaimCopy || unit == listing.CHRA || p.isSmallPart() {
			return a.At(0.5)
		}
		return a
	},
}
