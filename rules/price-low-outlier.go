package rules

import (
	"fmt"

	"counterfoil/rules/market"
)

// PriceLowOutlier compares a listing with the other sellers of the same part.
var PriceLowOutlier = &Rule{
	ID: "price-low-outlier", Family: FamilyPrice, Weight: 8,
	Doc: Doc{
		Title:   "Price far below the other sellers",
		Meaning: "Among the offers of other sellers of the same part, unit type, condition and claim, the landed price is a low outlier; or the market falls into two price groups and the offer belongs to the lower one. Where half of a market are copies, its median is a copy's price: the report then prints both groups and calls the median unreliable.",
		Formula: "x = ln(unit landed price); modified z = 0.6745 (x - median) / MAD <= -3.5 (Iglewicz and Hoaglin 1993) and price <= 0.6 x median. One price for each seller group, the listing's own group left out; MAD of the logarithms not under 0.05; at least 5 other seller groups, full weight from 10. " +
			"With 3 or 4 others the ratio alone counts, at a quarter of the weight. Two price groups: the largest gap between sorted log prices is at least ln 1.6 with at least 3 sellers on each side. " +
			"Low prices that mask each other: from 10 sellers on, price <= 0.55 x the centre of the shortest half and modified z <= -2.5 against the spread above it, at 60 % of the weight. The 0.6, 0.05, ln 1.6 and the numbers of sellers are engineering proposals.",
		Innocent: "Another condition or a lot that the text does not make clear, a clearance, a price without tax, a core deposit charged later, or too few sellers to know what is usual.",
		Ask:      "Ask what the price includes, and for a photo of the plate of the unit that will be sent.",
		Since:    "1.0",
		Measured: `Simulated markets of 10 to 200 sellers without a reference price: log-normal
honest prices of the given spread, copies at 0.3 to 0.5 of the genuine price,
from one source or many. Least share of these copies that was raised:

  share of copies    10 %   20 %   30 %   40 %
  spread 0.12        0.99   0.99   0.98   0.97
  spread 0.16        0.96   0.96   0.93   0.87
  spread 0.20        0.91   0.89   0.84   0.73

Honest offers raised in clean markets: at most 0.6 %. With fewer than 10
sellers, and from 50 % copies on, prices alone do not tell; with an authorised
price every copy at half of it or less is found at any share, by definition.
The model is this project's own: real markets may do worse.`,
	},
	Needs: []Need{NeedPrice, NeedPart, NeedRate, NeedMarket},
	Run: func(p *Pass) Answer {
		if lack, ok := p.priceGap(); !ok {
			return Lacks(lack)
		}
		m := &p.Market
		if m.Band == market.BandNone {
			return Lacks(NeedMarket)
		}
		within := fmt.Sprintf("the median of %s of %s", Money(m.Median), count(m.N, "other seller"))
		if m.Widened != "" {
			within += " (" + m.Widened + ")"
		}
		switch {
		case m.LowerGroup:
			return Found(fmt.Sprintf("The market falls into two price groups, medians %s (%s) and %s (%s), so its median says little; at %s landed this offer belongs to the lower group.",
				Money(m.Groups.LowerMedian), count(m.Groups.LowerN, "seller"), Money(m.Groups.UpperMedian),
				count(m.Groups.UpperN, "seller"), Money(m.Price)), p.priceQuotes()...).At(0.8)
		case m.LowOutlier:
			strength := 1.0
			if m.Band == market.BandWeak {
				strength = 0.7
			}
			return Found(fmt.Sprintf("One unit costs %s landed%s, %s of %s; modified z %.1f.",
				Money(m.Price), p.lowerBound(), Percent(m.Ratio), within, m.Score), p.priceQuotes()...).At(strength)
		case m.UnderMain:
			return Found(fmt.Sprintf("One unit costs %s landed%s, %s of %s, the centre of the main price group of the market (modified z %.1f against its upper side).",
				Money(m.Price), p.lowerBound(), Percent(m.MainRatio), Money(m.Main.Centre), m.MainScore), p.priceQuotes()...).At(0.6)
		case m.LowRatio && m.Band == market.BandRatio:
			return Found(fmt.Sprintf("One unit costs %s landed%s, %s of %s; too few sellers for a score.",
				Money(m.Price), p.lowerBound(), Percent(m.Ratio), within), p.priceQuotes()...).At(0.25)
		}
		return Silent()
	},
}
