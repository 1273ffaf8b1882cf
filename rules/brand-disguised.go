package rules

import (
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
)

// BrandDisguised finds a maker's name written so that a search misses it.
var BrandDisguised = &Rule{
	ID: "brand-disguised", Family: FamilyIdentity, Weight: 15, Decisive: true,
	Doc: Doc{
		Title:    "Maker's name in disguise",
		Meaning:  "The maker's name is written with letters of another alphabet that look alike, with invisible characters inside, or spaced out. A reader sees the name, a search for it does not.",
		Formula:  "equal skeletons under Unicode Technical Standard 39 (confusables) with unequal text; zero-width characters inside; single letters parted by blanks. Spaced letters count half.",
		Innocent: "Damage by a wrong character encoding, or a decorative title.",
		Ask:      "Ask the seller to write the maker's name and the part number in plain letters.",
		Since:    "1.0",
	},
	Needs: []Need{NeedTitle},
	Run: func(p *Pass) Answer {
		seen := false
		for _, n := range []listing.Name{listing.Title, listing.Brand, listing.Description} {
			f, ok := p.Listing.Get(n)
			if !ok {
				continue
			}
			seen = true
			for _, d := range p.Engine.Disguised(f.Raw) {
				strength := 1.0
				if d.How == claims.HowSpaced {
					strength = 0.5
				}
				return Found(fmt.Sprintf("The %s writes %s as %q (%s%s).", n, d.Maker, d.Quote, d.How, foreign(d.Quote)),
					Quote(p.Listing, n, d.Quote)).At(strength)
			}
		}
		if !seen {
			return Lacks(NeedTitle)
		}
		return Silent()
	},
}

// foreign names the characters of a disguised name that are no plain letters,
// since print does not show them: ": U+0430".
func foreign(quote string) string {
	var points []string
	for _, r := range quote {
		if point := fmt.Sprintf("U+%04X", r); r > 0x24f && !slices.Contains(points, point) {
			points = append(points, point)
		}
	}
	if points == nil {
		return ""
	}
	return ": " + strings.Join(points, ", ")
}
