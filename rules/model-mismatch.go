package rules

import (
	"fmt"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules/wording"
)

// ModelMismatch holds the part number against the model designation.
var ModelMismatch = &Rule{
	ID: "model-mismatch", Family: FamilyIdentity, Weight: 7,
	Doc: Doc{
		Title:    "Number and model do not belong together",
		Meaning:  "The profile says which models the part number belongs to. The listing names another model of the same maker and none of these: number and unit were put together by somebody who does not know the part.",
		Formula:  "model designations of the profile, in the model field and the title, with or without hyphens; none of those found is one of the part's or begins like it, half weight when the item is not presented as the maker's own",
		Innocent: "A catalogue error, a model that the profile lacks, or a title that lists the models of several variants.",
		Ask:      "Ask for a photo of the plate with number and type.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPart, NeedMakers, NeedModels},
	Run: func(p *Pass) Answer {
		part := p.Part()
		switch {
		case part.ID == "" || len(part.Other) > 0:
			return Lacks(NeedPart)
		case part.Maker == nil:
			return Lacks(NeedMakers)
		}
		right := part.Maker.ModelsOf(part.Number)
		if len(right) == 0 {
			return Lacks(NeedModels)
		}
		if p.isSmallPart() {
			return Silent()
		}
		var wrong string
		var evidence []Evidence
		for _, n := range []listing.Name{listing.Model, listing.Title} {
			text := p.text(n)
			for _, h := range p.Compared.Models.Find(text) {
				maker, model := ownerOf(h)
				if maker != part.Maker.Name {
					continue
				}
				if isOneOf(model, right) {
					return Silent()
				}
				if wrong == "" {
					wrong = model
				}
				evidence = append(evidence, Quote(p.Listing, n, text[h.Start:h.End]))
			}
		}
		if wrong == "" {
			return Silent()
		}
		a := Found(fmt.Sprintf("The number %s belongs to %s by the profile of %s; the listing names %s.",
			part.Number, strings.Join(right, ", "), part.Maker.Name, wrong), append(evidence, p.Quote(part.Field))...)
		if !p.PresentsAsMaker() {
			return a.At(0.5)
		}
		return a
	},
}

// ownerOf takes the owner of a model designation apart.
func ownerOf(h wording.Hit) (maker, model string) {
	maker, model, _ = strings.Cut(h.Owner, "\x00")
	return maker, model
}

// isOneOf reports whether a designation is one of a list or a shorter or longer
// form of one.
func isOneOf(model string, list []string) bool {
	a := listing.CanonicalNumber(model)
	for _, m := range list {
		b := listing.CanonicalNumber(m)
		if strings.HasPrefix(a, b) || strings.HasPrefix(b, a) {
			return true
		}
	}
	return false
}
