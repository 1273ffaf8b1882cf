package rules

import (
	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
	"counterfoil/rules/wording"
)

// WarrantyUnbacked finds a new unit without a warranty that means anything.
var WarrantyUnbacked = &Rule{
	ID: "warranty-unbacked", Family: FamilyTerms, Weight: 2,
	Doc: Doc{
		Title:    "New, with no warranty or replacement only",
		Meaning:  "A new unit presented as the maker's own is sold without warranty, or with one that gives another unit of the same stock and never the money back. Makers stand behind new units.",
		Formula:  "words for 'no warranty' or 'replacement only' in warranty, returns or description (common practice, no source)",
		Innocent: "A private seller, surplus stock, or a trade sale in which fitting by a workshop is a condition.",
		Ask:      "Ask who gives the warranty, for how long, and whether the price is refunded.",
		Since:    "1.0",
	},
	Needs: []Need{NeedCondition, NeedWarranty},
	Run: func(p *Pass) Answer {
		switch {
		case !p.hasCondition():
			return Lacks(NeedCondition)
		case !p.IsNew() || !p.PresentsAsMaker():
			return Silent()
		case !p.Listing.Has(listing.Warranty) && !p.Listing.Has(listing.Description):
			return Lacks(NeedWarranty)
		}
		for _, ph := range p.Says().Find(claims.NoReturns, "no-warranty") {
			if _, _, private := privateSale.Find(ph.Quote); !private {
				return Found("A new unit is sold without warranty.", Quote(p.Listing, ph.Field, ph.Quote))
			}
		}
		for _, n := range []listing.Name{listing.Warranty, listing.Returns, listing.Description} {
			if start, end, ok := replacementOnly.FindFolded(p.folded(n)); ok {
				return Found("The warranty of a new unit gives a replacement only.", Quote(p.Listing, n, p.text(n)[start:end]))
			}
		}
		return Silent()
	},
}

// privateSale are words that only say that the seller is no trader.
var privateSale = wording.New("privat*")

// replacementOnly are words for a warranty that never gives the money back.
// Common practice, no source.
var replacementOnly = wording.New("replacement only", "only replacement", "exchange only, no refund", "replacement, no refund",
	"nur umtausch", "nur ersatz, keine", "échange uniquement", "remplacement uniquement", "solo cambio", "solo reemplazo",
	"tylko wymiana", "solo sostituzione", "только замена", "только обмен", "只换不退")
