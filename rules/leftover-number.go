package rules

import (
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
)

// LeftoverNumber finds a description that speaks of another part.
var LeftoverNumber = &Rule{
	ID: "leftover-number", Family: FamilyClaim, Weight: 2,
	Doc: Doc{
		Title:    "Description gives the number of another part",
		Meaning:  "The description gives a part number under which other listings of the batch are offered, and none of this listing's own: text left over from another listing.",
		Formula:  "exactly one part number of the batch in the description, and neither the listing's part number nor one of its OE numbers (common practice, no source)",
		Innocent: "A template that was not fully adapted, or a remark on the number it replaces.",
		Ask:      "Ask which number is stamped on the plate.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPart, NeedDescription},
	Run: func(p *Pass) Answer {
		part := p.Part()
		switch {
		case part.ID == "" || len(part.Other) > 0 || part.Field != listing.PartNumber:
			return Lacks(NeedPart)
		case !p.Listing.Has(listing.Description):
			return Lacks(NeedDescription)
		}
		text := p.text(listing.Description)
		own := []string{listing.CanonicalNumber(part.Number), listing.CanonicalNumber(p.Listing.Value(listing.PartNumber))}
		for _, oe := range p.Listing.List(listing.OENumbers) {
			own = append(own, listing.CanonicalNumber(oe))
		}
		found := ""
		for token := range numberTokens(text) {
			if slices.Contains(own, listing.CanonicalNumber(token)) {
				return Silent()
			}
			if !p.Compared.Numbers[p.canonicalNumber(token)] {
				continue
			}
			if found != "" && found != token {
				return Silent()
			}
			found = token
		}
		if found == "" {
			return Silent()
		}
		return Found(fmt.Sprintf("The description gives %s, the listing offers %s.", found, part.Number),
			Quote(p.Listing, listing.Description, around(text, found, 60)), p.Quote(listing.PartNumber))
	},
}

// canonicalNumber brings a number of a text into the form in which parts of
// the batch are numbered.
func (p *Pass) canonicalNumber(token string) string {
	if m := p.Maker(); m != nil {
		if c, ok := m.Canonical(token); ok {
			return c
		}
	}
	return listing.HyphenatedNumber(token)
}

// numberTokens yields the words of a text that are long enough and have digits
// enough to be part numbers.
func numberTokens(text string) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		for token := range strings.FieldsFuncSeq(text, func(r rune) bool {
			return r != '-' && r != '.' && (r < '0' || r > '9' && r < 'A' || r > 'Z' && r < 'a' || r > 'z')
		}) {
			token = strings.Trim(token, "-.")
			if len(token) < 6 || len(token) > 24 || !hasNumber(token) {
				continue
			}
			if !yield(token) {
				return
			}
		}
	}
}
