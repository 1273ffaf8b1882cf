package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/origin"
)

// OriginDiffers holds the origin field against the text.
var OriginDiffers = &Rule{
	ID: "origin-differs", Family: FamilyClaim, Weight: 5,
	Doc: Doc{
		Title:    "Origin of field and text differ",
		Meaning:  "The origin field names one country, the text says that the item was made in another. The countries themselves say nothing about a part; that the listing states two does.",
		Formula:  "country_of_origin against 'made in', 'country of origin' and the like in title and description; statements that are denied, that offer a choice or that speak of box, engine or single parts are left out (common practice, no source)",
		Innocent: "A field with a default, or a text that speaks of another item.",
		Ask:      "Ask for the country of origin printed on plate and box.",
		Since:    "1.0",
	},
	Needs: []Need{NeedOrigin, NeedDescription},
	Run: func(p *Pass) Answer {
		field := p.Listing.Value(listing.CountryOfOrigin)
		if !isCountry(field) {
			return Lacks(NeedOrigin)
		}
		var first *madeIn
		for _, m := range p.madeIn() {
			if m.Country == field {
				return Silent()
			}
			if first == nil {
				first = &m
			}
		}
		if first == nil {
			if !p.Listing.Has(listing.Description) {
				return Lacks(NeedDescription)
			}
			return Silent()
		}
		return Found(fmt.Sprintf("The origin field says %s, the text %q.", field, first.quote),
			p.Quote(listing.CountryOfOrigin), Quote(p.Listing, first.field, first.quote))
	},
}

// madeIn is a statement of title or description on where the item was made.
type madeIn struct {
	origin.Statement
	field listing.Name
	quote string
}

func (p *Pass) madeIn() []madeIn {
	var list []madeIn
	for _, n := range []listing.Name{listing.Title, listing.Description} {
		for _, s := range origin.MadeInFolded(p.folded(n)) {
			list = append(list, madeIn{s, n, p.text(n)[s.Start:s.End]})
		}
	}
	return list
}

// isCountry reports whether a value is the code of one country; "EU" is none.
func isCountry(s string) bool {
	return len(s) == 2 && s != "EU" && 'A' <= s[0] && s[0] <= 'Z' && 'A' <= s[1] && s[1] <= 'Z'
}
