package market

import (
	"math"
	"math/rand/v2"
	"time"

	"counterfoil/parse/listing"
)

var simDay = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)

// scene describes simulated markets. Honest prices are log-normal around 1,000
// with the given standard deviation; each copy asks a share of 1,000 between .3
// and .8, either drawn for itself or, in a market with one source of copies,
// drawn once with a deviation of 5 %. The model is ours, not a measurement.
type scene struct {
	sellers   int
	copies    float64 // share of the sellers
	sd        float64
	oneSource bool
	reference bool
}

// tally counts over many markets.
type tally struct {
	honest, honestRaised        int
	cheap, cheapFound           int // copies at or under half of the genuine price
	allCopies, allCopiesFound   int
	normalCopies, normalMarkets int
}

func (s scene) run(markets int, seed uint64) tally {
	r := rand.New(rand.NewPCG(seed, 20260301))
	var t tally
	for range markets {
		level := .3 + .5*r.Float64()
		copies := int(math.Round(s.copies * float64(s.sellers)))
		offers := make([]Offer, s.sellers)
		share := make([]float64, s.sellers)
		for i := range offers {
			share[i] = math.Exp(s.sd * r.NormFloat64())
			if i < copies {
				share[i] = .3 + .5*r.Float64()
				if s.oneSource {
					share[i] = level * math.Exp(.05*r.NormFloat64())
				}
			}
			offers[i] = Offer{Listing: i, Part: "P", Unit: listing.Complete, Condition: listing.New,
				Claim: ClaimGenuine, SellerGroup: string(rune('A' + i)),
				Price: listing.Amount{Minor: int64(100_000 * share[i]), Currency: "EUR"}}
		}
		var refs []Reference
		if s.reference {
			refs = []Reference{{Part: "P", Unit: listing.Complete, Condition: listing.New, Date: "2026-01-01",
				Price: listing.Amount{Minor: 100_000, Currency: "EUR"}}}
		}
		x := Build(offers, refs, nil, "EUR", simDay, Settings{})
		for i := range offers {
			a := x.Assess(i)
			raised := a.Raised()
			if i >= copies {
				t.honest++
				t.honestRaised += count(raised)
				continue
			}
			t.allCopies++
			t.allCopiesFound += count(raised)
			t.normalCopies += count(a.Normal)
			if share[i] <= .5 {
				t.cheap++
				t.cheapFound += count(raised)
			}
		}
	}
	return t
}

func count(b bool) int {
	if b {
		return 1
	}
	return 0
}
