package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
)

// ModelWithoutMark finds a model designation that stands without any maker.
var ModelWithoutMark = &Rule{
	ID: "model-without-mark", Family: FamilyIdentity, Weight: 4,
	Doc: Doc{
		Title:    "Model named, maker not",
		Meaning:  "The title of a new unit gives a maker's model designation, and no maker is named anywhere, neither this one nor another. Copies are sold under the designation alone because the name is a protected mark. It speaks for a copy, not for a misuse of the mark.",
		Formula:  "a model of the profile in title or model field of a new unit; brand absent or 'unbranded', no maker's name in title and description, and no words that call the item a copy or made to fit (common practice, no source)",
		Innocent: "A cautious seller of an honest part, or an export that leaves the brand out.",
		Ask:      "Ask who made the unit and which name is cast into the housings.",
		Since:    "1.0",
	},
	Needs: []Need{NeedTitle, NeedModels},
	Run: func(p *Pass) Answer {
		says := p.Says()
		switch {
		case !p.Listing.Has(listing.Title):
			return Lacks(NeedTitle)
		case p.Makers == nil || !p.Compared.HasModels:
			return Lacks(NeedModels)
		case !p.IsNew() || p.isSmallPart(),
			says.BrandState != claims.BrandAbsent && says.BrandState != claims.BrandUnbranded,
			says.Claim == claims.ClaimCompatible || says.Claim == claims.ClaimCopy:
			return Silent()
		}
		for _, n := range []listing.Name{listing.Title, listing.Model} {
			text := p.text(n)
			hits := p.Compared.Models.Find(text)
			if len(hits) == 0 {
				continue
			}
			for _, other := range []listing.Name{listing.Title, listing.Description} {
				if len(p.Compared.Names.Find(p.text(other))) > 0 {
					return Silent()
				}
			}
			maker, model := ownerOf(hits[0])
			return Found(fmt.Sprintf("%s is a model of %s by the profile; the listing names no maker.", model, maker),
				Quote(p.Listing, n, text[hits[0].Start:hits[0].End]), p.Quote(listing.Title))
		}
		return Silent()
	},
}
