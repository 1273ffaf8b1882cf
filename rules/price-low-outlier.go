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
			"With 3 or 4 others the ratio alone counts, from 0.56 down and at a quarter of the weight. Two price groups: the largest gap between sorted log prices is at least ln 1.6 with at least 3 sellers on each side; half the weight when the lower group is the larger. " +
			"Low prices that mask each other: from 5 sellers on, price <= 0.56 x the centre of the main price group and at least 2.5 of its standard deviations below it, at 60 % of the weight, under 10 others at 40 %. " +
			"The main price group is found from the 0.7 quantile of all sellers' prices by taking the geometric mean of the prices between 0.65 and 2 times it, and so on from there until the prices stay the same; its variance is (5 x 0.15^2 + sum of squares) / (5 + m) over the m log prices of the group from its centre up (own formula). " +
			"The 0.7 to 0.56, 0.05, ln 1.6 and the numbers of sellers are engineering proposals.",
		Innocent: "Another condition or a lot that the text does not make clear, a clearance, a price without tax, a core deposit charged later, or too few sellers to know what is usual.",
		Ask:      "Ask what the price includes, and for a photo of the plate of the unit that will be sent.",
		Since:    "1.0",
		Measured: `Simulated markets without a reference price: log-normal honest prices
of the given spread, copies at 0.3 to 0.8 of the genuine price, from one source
or many. Found is a copy at half the genuine price or less on which this rule
or price-below-reference fires; least share of them that was found, and
greatest share of the honest offers of clean markets on which it fires:

                                     copies                    honest,
                  10 %  20 %  30 %  40 %  50 %  70 %  clean market
  10 to 200 sellers
    spread 0.12   1.00  1.00  1.00  0.99  0.97  0.53         0.0 %
    spread 0.16   1.00  1.00  1.00  0.98  0.95  0.43         0.1 %
    spread 0.20   1.00  0.99  0.99  0.97  0.90  0.28         0.6 %
  5 to 8 sellers
    spread 0.12   1.00  1.00  0.99  0.99  0.90  0.00         0.0 %
    spread 0.16   0.99  0.99  0.98  0.98  0.87  0.00         0.2 %
    spread 0.20   0.99  0.99  0.96  0.96  0.84  0.00         0.9 %

Among 3 sellers nothing is said; among 4, with one copy, 0.96. Where honest prices
spread by 0.30, 2 to 7 % of the honest are raised. Where a tenth of the sellers
ask 1.5 to 3.5 times the price, copies are found as well, but the dear may part
from the others: then up to a fifth of the honest are raised, as the larger of
two price groups. With an authorised price every copy at half of it or less is
found at any share, by definition, and no larger group is raised. The model and
the choice of the numbers are this project's own: real markets may do worse.`,
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
			statement := fmt.Sprintf("The market falls into two price groups, medians %s (%s) and %s (%s), so its median says little; at %s landed this offer belongs to the lower group.",
				Money(m.Groups.LowerMedian), count(m.Groups.LowerN, "seller"), Money(m.Groups.UpperMedian),
				count(m.Groups.UpperN, "seller"), Money(m.Price))
			if m.Groups.LowerN > m.Groups.UpperN {
				return Found(statement+" The lower group is the larger one: it may as well be that the others are dear.", p.priceQuotes()...).At(0.4)
			}
			return Found(statement, p.priceQuotes()...).At(0.8)
		case m.LowOutlier:
			strength := 1.0
			if m.Band == market.BandWeak {
				strength = 0.7
			}
			return Found(fmt.Sprintf("One unit costs %s landed%s, %s of %s; modified z %.1f.",
				Money(m.Price), p.lowerBound(), Percent(m.Ratio), within, m.Score), p.priceQuotes()...).At(strength)
		case m.UnderMain:
			strength := 0.6
			if m.Band != market.BandFull {
				strength = 0.4
			}
			return Found(fmt.Sprintf("One unit costs %s landed%s, %s of %s, the centre of the main price group of the market, and %.1f standard deviations below it.",
				Money(m.Price), p.lowerBound(), Percent(m.MainRatio), Money(m.Main.Centre), -m.MainScore), p.priceQuotes()...).At(strength)
		case m.LowRatio && m.Band == market.BandRatio:
			return Found(fmt.Sprintf("One unit costs %s landed%s, %s of %s; too few sellers for a score.",
				Money(m.Price), p.lowerBound(), Percent(m.Ratio), within), p.priceQuotes()...).At(0.25)
		}
		return Silent()
	},
}
