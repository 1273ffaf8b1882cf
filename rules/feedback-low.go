package rules

import (
	"fmt"
	"math"
	"strconv"

	"counterfoil/parse/listing"
)

// FeedbackLow finds a seller with poor ratings.
var FeedbackLow = &Rule{
	ID: "feedback-low", Family: FamilySeller, Weight: 3,
	Doc: Doc{
		Title:    "Poor ratings of the seller",
		Meaning:  "The share of good ratings is low beyond chance. Good ratings clear nobody: in a test of the US Government Accountability Office (GAO-18-216) 20 of 47 items bought were no originals, all from sellers rated over 90 %.",
		Formula:  "upper end of the 95 % score interval (Wilson 1927) of the share of good ratings under 95 %, from 20 ratings on, so that a new seller's first complaint does not count; half weight for a share under 85 % where the number of ratings is not observed, and where only the ratings of all accounts of one group together are that poor (thresholds: common practice, no source)",
		Innocent: "Complaints about shipping, or a rival's ratings.",
		Ask:      "Read what the poor ratings complain of.",
		Since:    "1.0",
	},
	Needs: []Need{NeedFeedback},
	Run: func(p *Pass) Answer {
		percent, err := strconv.ParseFloat(p.Listing.Value(listing.SellerFeedback), 64)
		if err != nil || percent < 0 || percent > 100 {
			return Lacks(NeedFeedback)
		}
		share := percent / 100
		n, counted := p.Listing.Int(listing.SellerFeedbackCount)
		if !counted {
			if share >= p.limit("feedback-poor") {
				return Silent()
			}
			return Found(fmt.Sprintf("%g %% of the seller's ratings are good; how many there are was not observed.", percent),
				p.Quote(listing.SellerFeedback)).At(0.5)
		}
		if !p.atLeast(n, "feedback-ratings") || scoreUpper(share, n) >= p.limit("feedback-fair") {
			if o := p.operator(); len(o.rated) > 1 && p.atLeast(o.ratings, "feedback-ratings") && scoreUpper(o.good/float64(o.ratings), o.ratings) < p.limit("feedback-fair") {
				return Found(fmt.Sprintf("%.0f %% of the %d ratings of %d accounts that other links join are good; of this account alone %g %% of %d.",
					100*o.good/float64(o.ratings), o.ratings, len(o.rated), percent, n), p.Quote(listing.SellerFeedback), p.Quote(listing.SellerFeedbackCount)).At(0.5)
			}
			return Silent()
		}
		return Found(fmt.Sprintf("%g %% of %d ratings are good.", percent, n), p.Quote(listing.SellerFeedback), p.Quote(listing.SellerFeedbackCount))
	},
}

// scoreUpper is the upper end of the 95 % score interval of a share (Wilson
// 1927): (p + z²/2n + z √(p(1-p)/n + z²/4n²)) / (1 + z²/n).
func scoreUpper(share float64, n int) float64 {
	const z = 1.959964 // 97.5 % point of the normal distribution
	m := float64(n)
	return (share + z*z/(2*m) + z*math.Sqrt(share*(1-share)/m+z*z/(4*m*m))) / (1 + z*z/m)
}
