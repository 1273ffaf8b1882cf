package rules

import (
	"cmp"

	"counterfoil/parse/listing"
)

// What several rules ask about the kind of item.

// hasCondition reports whether the listing states a condition.
func (p *Pass) hasCondition() bool { return p.Listing.Has(listing.Condition) }

// isSmallPart reports whether the item is a kit or a component: neither has a
// plate, a model or a box of a unit.
func (p *Pass) isSmallPart() bool {
	unit := p.Listing.Value(listing.UnitType)
	return unit == listing.Kit || unit == listing.Component
}

// text is the raw text of a field, its value when there is no raw text.
func (p *Pass) text(n listing.Name) string {
	f, _ := p.Listing.Get(n)
	return cmp.Or(f.Raw, f.Value)
}
