package market

import "counterfoil/parse/listing"

// Rung names a price class of a part. Prices of a genuine part normally fall
// from rung to rung, so a new genuine part at the price of a lower rung needs an
// explanation (common practice, no source).
type Rung string

// The rungs, in the order of Ladder. Openly told copies are on none.
const (
	RungNew        Rung = "new genuine"           // complete, new or new old stock, claim genuine
	RungReman      Rung = "remanufactured"        // complete, remanufactured or rebuilt
	RungCompatible Rung = "new compatible"        // complete, new, claim compatible
	RungUsed       Rung = "used"                  // complete, used
	RungCHRA       Rung = "centre housing (CHRA)" // CHRA, new or remanufactured or rebuilt, not compatible
	RungCore       Rung = "core"                  // complete, core
)

// Class is one rung of one part.
type Class struct {
	Rung Rung
	Figures
	Warnings []string
}

var _ listing.Amount
