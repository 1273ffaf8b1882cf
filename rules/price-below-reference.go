package rules

import "fmt"

// PriceBelowReference compares a listing with the authorised price.
var PriceBelowReference = &Rule{
	ID: "price-below-reference", Family: FamilyPrice, Weight: 9,
	Doc: Doc{
		Title:    "Landed price far below the authorised price",
		Meaning:  "The price with shipping of one unit is at most half of the dated price that the maker or a distributor asks for the same part in the same condition. That is below what a genuine unit can plausibly cost its seller.",
		Formula:  "unit landed price <= 0.5 x authorised reference price, same part, unit type and condition. Half weight up to 0.6. Both numbers are engineering proposals.",
		Innocent: "A clearance, old stock, a price net of tax against one with tax, a typing error, or a reference price that is out of date.",
		Ask:      "Ask how the price comes about and for the invoice of the unit's purchase.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPrice, NeedPart, NeedRate, NeedReference},
	Run: func(p *Pass) Answer {
		if lack, ok := p.priceGap(); !ok {
			return Lacks(lack)
		}
		m := &p.Market
		if m.Reference == nil {
			if !p.PresentsAsMaker() {
				return Silent() // the authorised price is that of another product
			}
			if len(p.Reference) > 0 && m.Price.Currency != p.Currency {
				return Lacks(NeedRate) // compared in its own currency only
			}
			return Lacks(NeedReference)
		}
		strength := 1.0
		if !m.BelowReference {
			if m.RatioToReference > lowReference {
				return Silent()
			}
			strength = 0.5
		}
		statement := fmt.Sprintf("One unit costs %s landed%s, %s of the authorised price of %s (%s, %s).",
			Money(m.Price), p.lowerBound(), Percent(m.RatioToReference),
			Money(m.Reference.InCurrency), m.Reference.Source, m.Reference.Date)
		return Found(statement, p.priceQuotes()...).At(strength)
	},
}

// lowReference is the share of the authorised price up to which a price counts
// at half.
const lowReference = 0.6
