package market

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

var asOf = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

func eur(minor int64) listing.Amount { return listing.Amount{Minor: minor, Currency: "EUR"} }

// genuine makes an offer of a new complete part by a seller of its own.
func genuine(number int, minor int64) Offer {
	return Offer{Listing: number, Part: "AA-1", Unit: listing.Complete, Condition: listing.New,
		Claim: ClaimGenuine, Price: eur(minor), SellerGroup: fmt.Sprint("seller ", number)}
}

// offersAt makes one offer for each price in whole euro, numbered from 0.
func offersAt(euro ...int64) []Offer {
	var out []Offer
	for i, e := range euro {
		out = append(out, genuine(i, 100*e))
	}
	return out
}

func build(offers []Offer, refs ...Reference) *Index {
	return Build(offers, refs, nil, "EUR", asOf, Settings{})
}

func authorised(minor int64, date string) Reference {
	return Reference{Part: "AA-1", Unit: listing.Complete, Condition: listing.New, Price: eur(minor),
		Date: date, Source: "price list", Place: "reference.csv: row 2"}
}

// The prices are the passengers of 1949 in the airline data of Box & Jenkins;
// all figures were computed with R (median, mad, qbinom, pbinom and the package
// diptest).
func TestFiguresAgainstR(t *testing.T) {
	prices := []int64{112, 118, 132, 129, 121, 135, 148, 148, 136, 119, 104, 118}
	x := build(offersAt(append(prices, 60)...))

	low := x.Assess(12)
	assert.Equal(t, 12, low.N)
	assert.Equal(t, BandFull, low.Band)
	assert.Equal(t, "124.94", low.Median.String())
	assert.InDelta(t, .06729508, low.MAD, 1e-8)
	assert.InDelta(t, .06729508*12/11.2, low.Scale, 1e-8)
	assert.InDelta(t, -6.86135741, low.Score, 1e-6)
	assert.InDelta(t, .48024595, low.Ratio, 1e-8)
	assert.Equal(t, []listing.Amount{eur(11800), eur(13600)}, []listing.Amount{low.Low, low.High})
	assert.InDelta(t, .96142578, low.Coverage, 1e-8)
	assert.True(t, low.LowOutlier && low.LowRatio && low.UnderMain && !low.Normal)
	assert.True(t, low.Raised())

	// 104 against the eleven others.
	x = build(offersAt(prices...))
	a := x.Assess(10)
	assert.Equal(t, 11, a.N)
	assert.Equal(t, "129.00", a.Median.String())
	assert.InDelta(t, .08068891, a.MAD, 1e-8)
	assert.InDelta(t, -1.66980071, a.Score, 1e-6)
	assert.True(t, a.Normal)
	assert.False(t, a.Raised())
	m := x.Markets()[0]
	assert.InDelta(t, .09130510, m.Dip.D, 1e-8)
	assert.False(t, m.Dip.Significant)
	assert.True(t, m.MedianReliable)
	assert.Empty(t, m.Warnings)
}

// Min-max covers the median of five with 1 - 2^(1-5).
func TestBands(t *testing.T) {
	for _, c := range []struct {
		others int
		band   Band
		scored bool
		note   string
	}{
		{0, BandNone, false, "sellers compared: 0; nothing is said under 3"},
		{2, BandNone, false, "sellers compared: 2; nothing is said under 3"},
		{3, BandRatio, false, "sellers compared: 3; no score under 5"},
		{4, BandRatio, false, "sellers compared: 4; no score under 5"},
		{5, BandWeak, true, "sellers compared: 5; the score is weak under 10"},
		{9, BandWeak, true, "sellers compared: 9; the score is weak under 10"},
		{10, BandFull, true, ""},
	} {
		offers := offersAt(400)
		for i := range c.others {
			offers = append(offers, genuine(i+1, 100_000+5_000*int64(i)))
		}
		a := build(offers).Assess(0)
		assert.Equal(t, c.band, a.Band, "%d others", c.others)
		assert.Equal(t, c.scored, a.Scored)
		assert.Equal(t, c.scored, a.LowOutlier, "%d others", c.others)
		assert.Equal(t, c.band != BandNone, a.LowRatio)
		assert.Equal(t, c.band == BandNone, a.Ratio == 0)
		assert.False(t, a.Normal)
		if c.note != "" {
			assert.Equal(t, []string{c.note}, a.Warnings)
		}
		if c.others == 5 {
			assert.InDelta(t, .9375, a.Coverage, 1e-12)
			assert.Equal(t, []listing.Amount{eur(100_000), eur(120_000)}, []listing.Amount{a.Low, a.High})
		}
	}
}

func TestThresholdsAreInclusive(t *testing.T) {
	others := []int64{1000, 1000, 1000, 1000, 1010, 1020}
	for _, c := range []struct {
		euro int64
		low  bool
	}{{600, true}, {601, false}} {
		a := build(offersAt(append(others, c.euro)...)).Assess(6)
		assert.Equal(t, c.low, a.LowRatio, "%d", c.euro)
	}
	for _, c := range []struct {
		euro  int64
		below bool
	}{{500, true}, {501, false}} {
		a := build(offersAt(c.euro), authorised(100_000, "2026-01-01")).Assess(0)
		assert.Equal(t, c.below, a.BelowReference, "%d", c.euro)
		assert.Equal(t, BandNone, a.Band, "a reference needs no market")
	}
}

func TestSpreadZero(t *testing.T) {
	// More than half of the others are equal: the mean absolute deviation of the
	// logarithms, ln(1200/1000)/6, takes over: 0.6745 x 1.253314 of it is .0257,
	// which is raised to the floor.
	a := build(offersAt(500, 1000, 1000, 1000, 1000, 1000, 1200)).Assess(0)
	assert.Zero(t, a.MAD)
	assert.Equal(t, .05, a.Scale)
	assert.InDelta(t, .6745*math.Log(.5)/.05, a.Score, 1e-9)
	assert.Contains(t, a.Warnings, "MAD is 0: the score uses the mean absolute deviation")
	assert.True(t, a.LowOutlier)

	a = build(offersAt(500, 1000, 1000, 1000, 1000, 1000, 9000)).Assess(0)
	assert.InDelta(t, .6745*1.253314*math.Log(9)/6, a.Scale, 1e-9)

	// All others are equal: ratio only.
	a = build(offersAt(500, 1000, 1000, 1000, 1000, 1000)).Assess(0)
	assert.False(t, a.Scored || a.LowOutlier)
	assert.True(t, a.LowRatio)
	assert.Contains(t, a.Warnings, "all prices are equal: ratio only")

	// A narrow market is scored with the floor.
	a = build(offersAt(900, 1000, 1001, 1002, 1003, 1004)).Assess(0)
	assert.Equal(t, .05, a.Scale)
	assert.Contains(t, a.Warnings, "MAD of log prices is raised to 0.05")
}

func TestSellerGroupsCountOnce(t *testing.T) {
	offers := offersAt(1000, 1010, 1020, 400, 410, 420, 430)
	for i := 3; i < 7; i++ {
		offers[i].SellerGroup = "chain"
	}
	x := build(offers)
	included, excluded := x.Inputs(0)
	assert.Equal(t, []Entry{
		{Listing: 4, Price: eur(41000), Listed: eur(41000), SellerGroup: "chain"}, // lower median of four
		{Listing: 1, Price: eur(101000), Listed: eur(101000), SellerGroup: "seller 1"},
		{Listing: 2, Price: eur(102000), Listed: eur(102000), SellerGroup: "seller 2"},
	}, included)
	var reasons []string
	for _, e := range excluded {
		reasons = append(reasons, fmt.Sprint(e.Listing, ": ", e.Reason))
	}
	assert.Equal(t, []string{"0: " + reasonOwn, "3: " + reasonStandIn, "5: " + reasonStandIn, "6: " + reasonStandIn}, reasons)
	assert.Equal(t, 6, x.Assess(0).Offers)

	// The whole chain is left out when one of its offers is assessed.
	a := x.Assess(6)
	assert.Equal(t, 3, a.N)
	assert.Equal(t, "1010.00", a.Median.String())
	assert.True(t, a.LowRatio)

	// An unknown seller is nobody's colleague.
	for i := 3; i < 7; i++ {
		offers[i].SellerGroup = ""
	}
	a = build(offers).Assess(6)
	assert.Equal(t, 6, a.N)
	assert.Contains(t, a.Warnings, "prices of unknown sellers, each counted by itself: 3")
}

func TestExclusions(t *testing.T) {
	offers := offersAt(1000, 1010, 1020, 1030, 1040, 0, 1)
	offers[0].Excluded = "auction bid"
	offers[1].Price.Currency = "CHF"
	offers[2].Price.Currency = ""
	offers[3].Part = ""
	offers = append(offers, genuine(4, 7))
	offers[6].LowerBound = true
	x := Build(offers, nil, nil, "EUR", asOf, Settings{})
	want := map[int]string{0: "auction bid", 1: "no rate CHF to EUR", 2: "currency not observed",
		3: "no part known", 5: "price is not above zero"}
	for number, reason := range want {
		a := x.Assess(number)
		assert.Equal(t, reason, a.Excluded)
		assert.False(t, a.Raised() || a.Normal || a.LowRatio)
	}
	m := x.Markets()[0]
	assert.Equal(t, 2, m.N)
	var reasons []string
	for _, e := range m.Excluded {
		reasons = append(reasons, e.Reason)
	}
	assert.Equal(t, []string{"auction bid", "no rate CHF to EUR", "currency not observed",
		"listing number given twice", "price is not above zero"}, reasons)
	assert.Equal(t, []Entry{{Listing: 3, Listed: eur(103000), SellerGroup: "seller 3", Reason: "no part known"}}, x.Unplaced())
	assert.Equal(t, "not among the offers", x.Assess(99).Excluded)
	assert.Contains(t, x.Assess(6).Warnings, "shipping not observed: the price is a lower bound")
	assert.Contains(t, m.Warnings, "prices that are lower bounds, shipping not observed: 1")
	in, out := x.Inputs(99)
	assert.Empty(t, append(in, out...))
}

func TestMarketsAreNeverMixed(t *testing.T) {
	offers := offersAt(1000, 1000, 1000, 1000, 1000)
	offers[0].Part, offers[1].Unit, offers[2].Condition, offers[3].Claim = "BB-2", listing.CHRA, listing.Used, ClaimCompatible
	var keys []string
	for _, m := range build(offers).Markets() {
		assert.Equal(t, 1, m.N)
		keys = append(keys, m.Key.String())
	}
	assert.Equal(t, []string{"AA-1, chra, new, genuine", "AA-1, complete, new, compatible",
		"AA-1, complete, new, genuine", "AA-1, complete, used, genuine", "BB-2, complete, new, genuine"}, keys)
}

func TestTwoPriceGroups(t *testing.T) {
	// 500 x 1.6 = 800: the gap is just wide enough.
	x := build(offersAt(480, 490, 500, 800, 820, 840, 860))
	m := x.Markets()[0]
	require.NotNil(t, m.Groups)
	assert.Equal(t, TwoGroups{LowerN: 3, UpperN: 4, LowerMedian: eur(49000), UpperMedian: eur(82994),
		LowerTop: eur(50000), UpperBottom: eur(80000)}, *m.Groups)
	assert.Equal(t, []string{"sellers compared: 7; the score is weak under 10",
		"two price groups, median unreliable: 3 sellers around 490.00, 4 around 829.94 EUR"}, m.Warnings)
	assert.False(t, m.MedianReliable)
	for i := range 7 {
		a := x.Assess(i)
		assert.Equal(t, i < 3, a.LowerGroup)
		assert.False(t, a.Normal, "the median is unreliable for all")
	}
	assert.Nil(t, build(offersAt(480, 490, 501, 800, 820, 840)).Assess(0).Groups, "gap too narrow")
	assert.Nil(t, build(offersAt(490, 500, 800, 820, 840)).Assess(0).Groups, "two sellers make no group")

	// The reference comes first: it may show the lower group to be dear enough,
	// and the upper one to be overpriced.
	assert.False(t, build(offersAt(480, 490, 500, 800, 820, 840), authorised(60_000, "2026-01-01")).Assess(0).LowerGroup)
	assert.True(t, build(offersAt(480, 490, 500, 800, 820, 840), authorised(90_000, "2026-01-01")).Assess(0).LowerGroup)
}

// Six of ten sellers sell copies: without the reference the median is a copy's
// price.
func TestReferenceComesFirst(t *testing.T) {
	offers := offersAt(430, 440, 450, 460, 470, 480, 560, 650, 900, 1000)
	x := build(offers, authorised(100_000, "2026-01-01"))
	a := x.Assess(0)
	assert.True(t, a.BelowReference)
	assert.InDelta(t, .43, a.RatioToReference, 1e-9)
	assert.Contains(t, a.Warnings, "the median is 0.48 x the reference price: most of these offers may be copies")
	for i := range offers {
		assert.False(t, x.Assess(i).Normal, "no price is called normal under such a median")
	}
	assert.False(t, x.Markets()[0].MedianReliable)
	assert.False(t, build(offers).Assess(0).Raised(), "nothing is found without the reference")

	// The genuine part's price is no yardstick for honest aftermarket.
	for i := range offers {
		offers[i].Claim = ClaimCompatible
	}
	a = build(offers, authorised(100_000, "2026-01-01")).Assess(0)
	assert.Nil(t, a.Reference)
	assert.False(t, a.BelowReference)
}

func TestReferenceIsChosen(t *testing.T) {
	chosen := func(refs ...Reference) (string, []string) {
		a := build(offersAt(1000), refs...).Assess(0)
		if a.Reference == nil {
			return "", a.Warnings[1:]
		}
		return a.Reference.InCurrency.String(), a.Warnings[1:]
	}
	price, notes := chosen(authorised(100_000, "2025-06-01"), authorised(120_000, "2026-01-01"), authorised(110_000, "2026-01-01"))
	assert.Equal(t, "1100.00", price, "latest day, then the lowest")
	assert.Empty(t, notes)

	price, notes = chosen(authorised(100_000, "2025-02-01"), authorised(120_000, "2026-03-02"))
	assert.Equal(t, "1000.00", price)
	assert.Equal(t, []string{"reference price of 2026-03-02 not used: it is later than the run's day",
		"reference price of 2025-02-01 is 393 days old"}, notes)

	price, notes = chosen(authorised(90_000, "spring"), authorised(0, "2026-01-01"))
	assert.Equal(t, "900.00", price)
	assert.Equal(t, []string{"reference price of 2026-01-01 not used: it is not above zero",
		"reference price without a date"}, notes)

	foreign := authorised(90_000, "2026-01-01")
	foreign.Price.Currency = "CHF"
	price, notes = chosen(foreign)
	assert.Empty(t, price)
	assert.Equal(t, []string{"reference price of 2026-01-01 not used: no rate CHF to EUR"}, notes)
}

func TestWidening(t *testing.T) {
	offers := offersAt(500, 1000, 1000, 1010, 1020, 1040, 300)
	for i := 1; i < 6; i++ {
		offers[i].Claim = "silent"
	}
	offers[6].Claim = ClaimCompatible
	x := build(offers)
	a := x.Assess(0)
	assert.Equal(t, wideLabel, a.Widened)
	assert.Equal(t, 5, a.N)
	assert.Equal(t, "1010.00", a.Median.String())
	assert.Equal(t, "wider group: "+wideLabel, a.Warnings[0])
	assert.True(t, a.LowOutlier)
	included, excluded := x.Inputs(0)
	assert.Len(t, included, 5)
	assert.Len(t, excluded, 1)
	assert.Empty(t, x.Assess(1).Widened, "its own market is large enough")
	assert.Equal(t, BandNone, x.Assess(6).Band, "a compatible part is compared with its kind only")

	// A listing that claims nothing may be honest aftermarket.
	for i := range offers {
		offers[i].Claim = ClaimGenuine
	}
	offers[0].Claim = "silent"
	a = build(offers).Assess(0)
	assert.Equal(t, wideLabel, a.Widened)
	assert.InDelta(t, .5, a.Ratio, .01)
	assert.False(t, a.LowOutlier || a.LowRatio || a.Normal)
}

// Copies between .3 and .8 of the price leave no gap and widen the MAD until
// nothing is an outlier. The figures of the main group were computed with R.
func TestMainGroup(t *testing.T) {
	offers := offersAt(350, 420, 480, 560, 650, 740, 820, 880, 930, 960, 1000, 1010, 1040, 1080, 1150)
	a := build(offers).Assess(1)
	assert.False(t, a.LowOutlier || a.LowerGroup)
	assert.True(t, a.UnderMain)
	assert.Equal(t, []listing.Amount{eur(65000), eur(115000)}, []listing.Amount{a.Main.Low, a.Main.High})
	assert.Equal(t, 11, a.Main.N)
	assert.Equal(t, "920.96", a.Main.Centre.String())
	assert.InDelta(t, .1351204770, a.Main.SD, 1e-8)
	assert.InDelta(t, .4560436081, a.MainRatio, 1e-8)
	assert.InDelta(t, -5.8108649379, a.MainScore, 1e-8)
	assert.False(t, build(offers).Assess(4).UnderMain)
	assert.False(t, build(offers, authorised(60_000, "2026-01-01")).Assess(1).UnderMain, "the reference comes first")
	assert.Nil(t, build(offers[:4]).Assess(1).Main)
}

func TestLadder(t *testing.T) {
	offers := offersAt(1000, 1100, 600, 620, 300, 310, 250, 900, 200, 100)
	offers[1].Condition = listing.NewOldStock
	offers[2].Condition, offers[2].Claim = listing.Remanufactured, "silent"
	offers[3].Condition = listing.Rebuilt
	offers[3].SellerGroup = offers[2].SellerGroup
	offers[4].Claim = ClaimCompatible
	offers[5].Unit = listing.CHRA
	offers[6].Condition = listing.Used
	offers[7].Unit = listing.Kit
	offers[8].Condition = listing.Core
	offers[9].Unit, offers[9].Claim = listing.CHRA, ClaimCompatible
	x := build(offers)
	var got []string
	for _, c := range x.Ladder("AA-1") {
		got = append(got, fmt.Sprintf("%s %d %s", c.Rung, c.N, c.Median))
	}
	assert.Equal(t, []string{"new genuine 2 1048.81", "remanufactured 1 600.00", "new compatible 1 300.00",
		"used 1 250.00", "CHRA 1 310.00", "core 1 200.00"}, got)
	reman := x.Ladder("AA-1")[1]
	assert.Equal(t, []Key{{"AA-1", listing.Complete, listing.Rebuilt, ClaimGenuine},
		{"AA-1", listing.Complete, listing.Remanufactured, "silent"}}, reman.Markets)
	assert.Equal(t, []string{"sellers compared: 1; nothing is said under 3"}, reman.Warnings)
	assert.Empty(t, x.Ladder("ZZ-9"))
}

func TestSettingsDefaults(t *testing.T) {
	assert.Equal(t, Defaults(), Settings{}.orDefaults())
	assert.Equal(t, Defaults(), Settings{Score: -1, Ratio: math.NaN(), GapRatio: math.Inf(1), WeakFrom: -5}.orDefaults())
	s := Settings{Ratio: .7, FullFrom: 20}.orDefaults()
	assert.Equal(t, .7, s.Ratio)
	assert.Equal(t, 20, s.FullFrom)
}

func TestSameOffersSameMarkets(t *testing.T) {
	offers := offersAt(1000, 1000, 950, 400, 1100, 990, 990, 1200)
	backwards := slices.Clone(offers)
	slices.Reverse(backwards)
	assert.Equal(t, build(offers).Markets(), build(backwards).Markets())
}
