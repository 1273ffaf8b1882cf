package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// StockDiscontinued finds a large stock of a part no longer made.
var StockDiscontinued = &Rule{
	ID: "stock-discontinued", Family: FamilySeller, Weight: 7,
	Doc: Doc{
		Title:    "Many units of a discontinued part",
		Meaning:  "The maker no longer makes the part, and the seller offers many new units of it.",
		Formula:  "part on the profile's list of discontinued numbers, offered as new, quantity >= 5 (common practice, no source)",
		Innocent: "Last-buy stock of a distributor.",
		Ask:      "Ask when and from whom the stock was bought.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPart, NeedDiscontinued, NeedQuantity},
	Run: func(p *Pass) Answer {
		part := p.Part()
		switch {
		case part.ID == "":
			return Lacks(NeedPart)
		case part.Maker == nil || len(part.Maker.Discontinued) == 0:
			return Lacks(NeedDiscontinued)
		}
		n, ok := p.Listing.Int(listing.QuantityAvailable)
		if !ok {
			return Lacks(NeedQuantity)
		}
		if !p.atLeast(n, "discontinued-units") || !p.IsNew() || !p.PresentsAsMaker() {
			return Silent()
		}
		for _, d := range part.Maker.Discontinued {
			if c, ok := part.Maker.Canonical(d); ok && c == part.Number {
				return Found(fmt.Sprintf("%d new units of %s are offered, which the profile lists as discontinued.", n, part.ID),
					p.Quote(part.Field), p.Quote(listing.QuantityAvailable))
			}
		}
		return Silent()
	},
}
