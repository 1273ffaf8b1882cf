package rules

import (
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules/serials"
)

// PlatePartDiffers holds the number on the plate against the listing's.
var PlatePartDiffers = &Rule{
	ID: "plate-part-differs", Family: FamilyIdentity, Weight: 12, Decisive: true,
	Doc: Doc{
		Title:    "Plate shows another part number",
		Meaning:  "The number read from the plate resolves to another part than the one offered. Either the picture is not of the unit, or the plate is not of this part.",
		Formula:  "number on the plate against the listing's part number, both after the maker's profile and the table of equivalents; a number among the OE numbers is no difference. Full weight when both have the maker's style and differ before the suffix; half when they differ in the suffix only, in a single character (a misreading), when one has another style (a customer's number) or on units that were worked on or used. A centre housing has a plate of its own and is left out. A number read from a photo by machine that differs in one or two characters may be misread: a question and no finding.",
		Innocent: "A superseded number that the table of equivalents lacks, a customer number, or a photo of an earlier unit.",
		Ask:      "Ask for a photo of the plate of the unit that will be sent.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPlateNumber, NeedPart, NeedClearReading},
	Run: func(p *Pass) Answer {
		part := p.Part()
		plate := p.Compared.PlateParts[p.N]
		switch {
		case plate == nil || plate.ID == "":
			return Lacks(NeedPlateNumber)
		case part.ID == "" || len(part.Other) > 0:
			return Lacks(NeedPart)
		case p.isSmallPart() || p.Listing.Value(listing.UnitType) == listing.CHRA:
			return Silent()
		}
		read := listing.CanonicalNumber(p.Listing.Value(listing.PlatePartNumber))
		same := func(number string) bool {
			c := listing.CanonicalNumber(number)
			return c == read || c == listing.CanonicalNumber(plate.Number)
		}
		if same(part.Number) || same(p.Listing.Value(listing.PartNumber)) || slices.ContainsFunc(p.Listing.List(listing.OENumbers), same) {
			return Silent()
		}
		if p.mayBeMisread(listing.PlatePartNumber, part.Field) {
			return Lacks(NeedClearReading)
		}
		strength := 0.5
		base, _, _ := strings.Cut(part.Number, "-")
		if plateBase, _, _ := strings.Cut(plate.Number, "-"); part.Styled && plate.Styled && part.Maker == plate.Maker &&
			base != plateBase && !oneCharacter(part.Number, plate.Number) && !p.workedOn() {
			strength = 1
		}
		return Found(fmt.Sprintf("The plate shows %s, the listing offers %s.", p.Listing.Value(listing.PlatePartNumber), part.Number),
			p.Quote(listing.PlatePartNumber), p.Quote(part.Field)).At(strength)
	},
}

// oneCharacter reports whether two numbers differ in one place only, or only in
// characters that look alike.
func oneCharacter(a, b string) bool {
	a, b = listing.CanonicalNumber(a), listing.CanonicalNumber(b)
	if len(a) != len(b) {
		return false
	}
	differ := 0
	for i := range len(a) {
		if a[i] != b[i] {
			differ++
		}
	}
	return differ <= 1 || serials.Fold(a) == serials.Fold(b)
}
