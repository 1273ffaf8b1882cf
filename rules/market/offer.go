package market

import (
	"strings"

	"counterfoil/parse/listing"
)

// Words for Offer.Claim that this package treats apart. Any other word forms
// markets of its own and is compared with the reference price.
const (
	ClaimGenuine    = "genuine"
	ClaimCompatible = "compatible"
	ClaimCopy       = "copy"
	ClaimHedged     = "hedged"
)

// Offer is what the comparison needs of one listing.
type Offer struct {
	Listing int // the caller's number of the listing, unique among the offers
	Part    string
	Unit    string // a listing.UnitTypes word
	// Condition is a listing.Conditions word. Conditions are never mixed.
	Condition string
	Claim     string
	// Price is the unit landed price in the listing's currency: item, shipping
	// and unavoidable fees, divided by the lot quantity, without a refundable
	// core deposit.
	Price listing.Amount
	// LowerBound marks a price whose shipping is not known.
	LowerBound bool
	// SellerGroup names the sellers that count as one. When it is empty the
	// seller was not observed and the offer counts by itself.
	SellerGroup string
	// Excluded is the reason why the price cannot be compared ("auction bid"),
	// or "".
	Excluded string
}

// Key names a market.
type Key struct {
	Part, Unit, Condition, Claim string
}

// String joins the parts of the key that are not empty with ", ".
func (k Key) String() string {
	var parts []string
	for _, p := range []string{k.Part, k.Unit, k.Condition, k.Claim} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, ", ")
}

func (k Key) compare(o Key) int {
	for _, p := range [][2]string{{k.Part, o.Part}, {k.Unit, o.Unit}, {k.Condition, o.Condition}, {k.Claim, o.Claim}} {
		if c := strings.Compare(p[0], p[1]); c != 0 {
			return c
		}
	}
	return 0
}

// Reference is the user's authorised price of the genuine part in one unit type
// and condition.
type Reference struct {
	Part, Unit, Condition string
	Price                 listing.Amount
	Date                  string // YYYY-MM-DD, the day from which it is known
	Source                string // who says so, as printed
	Place                 string // where in the settings it stands
}

// Entry is one offer as a market counts it.
type Entry struct {
	Listing int
	// Price is in the run's currency; zero when it could not be converted.
	Price listing.Amount
	// Listed is the price in the listing's own currency.
	Listed      listing.Amount
	LowerBound  bool
	SellerGroup string
	// Reason says why the offer is not among the prices compared, or is "".
	Reason string
}
