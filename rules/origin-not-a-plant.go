package rules

import (
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
)

// OriginNotAPlant holds the stated origin against the maker's plants.
var OriginNotAPlant = &Rule{
	ID: "origin-not-a-plant", Family: FamilyClaim, Weight: 3,
	Doc: Doc{
		Title:    "Stated origin is none of the maker's",
		Meaning:  "The item is presented as the maker's own, and its stated country of origin is not among the countries of the maker's plants in the profile. No country speaks against a part by itself; this holds the listing against your own list.",
		Formula:  "country_of_origin not among the profile's countries, new units only; kits and components are left out, since makers buy them in (common practice, no source)",
		Innocent: "A list of plants that is not complete, a field filled with the country of dispatch, or a default.",
		Ask:      "Ask for the country of origin printed on plate and box.",
		Since:    "1.0",
	},
	Needs: []Need{NeedOrigin, NeedMakers, NeedPlants},
	Run: func(p *Pass) Answer {
		field := p.Listing.Value(listing.CountryOfOrigin)
		switch {
		case !isCountry(field):
			return Lacks(NeedOrigin)
		case p.Maker() == nil:
			return Lacks(NeedMakers)
		case len(p.Maker().Countries) == 0:
			return Lacks(NeedPlants)
		case !p.IsNew() || !p.PresentsAsMaker() || p.isSmallPart() || slices.Contains(p.Maker().Countries, field):
			return Silent()
		}
		return Found(fmt.Sprintf("The stated origin is %s; the profile of %s has plants in %s.", field, p.Maker().Name,
			strings.Join(p.Maker().Countries, ", ")), p.Quote(listing.CountryOfOrigin))
	},
}
