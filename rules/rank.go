package rules

import (
	"cmp"
	"slices"
	"sync"

	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
	"counterfoil/rules/market"
)

// Outcome words. None of them says what a part is.
const (
	DeceptionSuspected = "deception-suspected"
	CopyOpenlySold     = "copy-openly-sold"
	TooIncomplete      = "too-incomplete"
	NothingFound       = "nothing-found"
)

// Outcomes lists the outcome words in the order reports print them.
var Outcomes = []string{DeceptionSuspected, CopyOpenlySold, TooIncomplete, NothingFound}

const (
	// suspectedFrom is the weight of evidence from which a listing is called
	// suspect: the lower end of 'moderate' on the verbal scale.
	suspectedFrom = 10
	// supportedFrom is the weight from which the scale gives any support.
	supportedFrom = 3
	// completeFrom is the share of rules that the listing itself must allow to
	// assess; below it nothing found means little.
	completeFrom = 0.5
)

// Gap is a rule that could not be assessed for a listing.
type Gap struct {
	Rule uint8 // index in Result.Rules
	Need Need
}

// gapLists holds each list of gaps once: listings of one table lack the same.
type gapLists struct {
	mu   sync.Mutex
	held map[string][]Gap
}

func (g *gapLists) shared(list []Gap) []Gap {
	var room [2 * maxRules]byte
	key := room[:0]
	for _, gap := range list {
		key = append(key, gap.Rule, byte(gap.Need))
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	held, ok := g.held[string(key)]
	if !ok {
		held = slices.Clone(list)
		g.held[string(key)] = held
	}
	return held
}

// Judged is one listing with everything found.
type Judged struct {
	Facts      *Facts
	N          int // number in Facts.Listings
	Listing    *listing.Listing
	Rank       int            // 1 is the listing to look at first
	Price      listing.Amount // as compared: landed, in the run's currency where there is a rate
	Findings   []Finding      // largest weight first
	Gaps       []Gap          // in rule order; not to be written to: equal lists are one
	EvidenceDB float64        // decibans
	Support    string         // in words, of the verbal scale
	Held       bool           // the word is held at 'moderately strong'
	Coverage   float64        // share of all rules that could be assessed
	Complete   float64        // the same, without rules that lack the user's settings
	Outcome    string
}

// Market is the listing's price among the others, without warnings. It is worked
// out anew each time: held for every listing of a large batch, it would take more
// memory than the listings.
func (j *Judged) Market() market.Assessment { return j.Facts.Markets.Compare(j.N) }

// MarketNoted is Market with its warnings.
func (j *Judged) MarketNoted() market.Assessment { return j.Facts.Markets.Assess(j.N) }

// Result is a batch, ranked.
type Result struct {
	Facts  *Facts
	Rules  []*Rule
	Ranked []*Judged // by rank
}

// judge runs the rules over the listing of a pass.
func judge(j *Judged, pass *Pass, list []*Rule, lists *gapLists) {
	f := pass.Facts
	*j = Judged{Facts: f, N: pass.N, Listing: pass.Listing, Price: pass.Market.Price}
	var room [maxRules]Gap
	gaps, settingGaps := room[:0], 0
	for i, r := range list {
		a := assess(r, pass)
		switch {
		case a.finding != nil:
			a.finding.Rule = r
			a.finding.WeightDB = f.weight(r) * a.finding.Strength
			j.Findings = append(j.Findings, *a.finding)
		case a.lacks != noNeed:
			gaps = append(gaps, Gap{Rule: uint8(i), Need: a.lacks})
			if a.lacks.IsSetting() {
				settingGaps++
			}
		}
	}
	j.Gaps = lists.shared(gaps)
	slices.SortStableFunc(j.Findings, func(a, b Finding) int { return cmp.Compare(b.WeightDB, a.WeightDB) })
	db, independent := weigh(j.Findings)
	j.EvidenceDB, j.Support = db, Support(db, independent)
	j.Held = j.Support != Support(db, true)
	j.Coverage = float64(len(list)-len(j.Gaps)) / float64(len(list))
	if open := len(list) - settingGaps; open > 0 {
		j.Complete = float64(len(list)-len(j.Gaps)) / float64(open)
	}
	j.Outcome = outcome(pass, j)
}

// outcome keeps the three results apart: a copy told openly deceives nobody,
// an honest aftermarket part is not suspected on its price, terms or seller
// alone, nor a clearance on its price alone, and a listing that shows little is not cleared.
func outcome(p *Pass, j *Judged) string {
	switch {
	case p.Says().Claim == claims.ClaimCopy:
		return CopyOpenlySold
	case j.EvidenceDB >= suspectedFrom && !priceExplained(j.Findings) && (p.Says().Claim != claims.ClaimCompatible || againstTheUnit(j.Findings)):
		return DeceptionSuspected
	case j.Complete < completeFrom:
		return TooIncomplete
	}
	return NothingFound
}

// priceExplained reports whether only the price speaks against an offer whose
// text or currency gives a reason for it.
func priceExplained(findings []Finding) bool {
	explained, other := false, 0.0
	for i, share := range Shares(findings) {
		explained = explained || findings[i].Rule == ClearanceTold || findings[i].Rule == PriceInOtherCurrency
		if findings[i].Rule.Family != FamilyPrice && share > 0 {
			other += share
		}
	}
	return explained && other < supportedFrom
}

// againstTheUnit reports whether a finding concerns the unit, its pictures or
// its wording rather than the bargain.
func againstTheUnit(findings []Finding) bool {
	for i := range findings {
		switch findings[i].Rule.Family {
		case FamilyIdentity, FamilyClaim, FamilyPackaging:
			if findings[i].WeightDB >= 5 {
				return true
			}
		}
	}
	return false
}

// rank orders the judged listings: evidence first, then coverage, then landed
// price, then key, then as they were read.
func rank(all []Judged) []*Judged {
	type place struct {
		evidence, coverage float64
		price              int64
		n                  int32
	}
	order := make([]place, len(all))
	for i := range all {
		j := &all[i]
		order[i] = place{j.EvidenceDB, j.Coverage, j.Price.Minor, int32(i)}
		if j.Price.Minor <= 0 {
			order[i].price = 1 << 62
		}
	}
	slices.SortFunc(order, func(a, b place) int {
		switch {
		case a.evidence != b.evidence:
			return cmp.Compare(b.evidence, a.evidence)
		case a.coverage != b.coverage:
			return cmp.Compare(b.coverage, a.coverage)
		case a.price != b.price:
			return cmp.Compare(a.price, b.price)
		}
		return cmp.Or(cmp.Compare(all[a.n].Listing.Key, all[b.n].Listing.Key), cmp.Compare(a.n, b.n))
	})
	ranked := make([]*Judged, len(all))
	for i, p := range order {
		ranked[i] = &all[p.n]
		ranked[i].Rank = i + 1
	}
	return ranked
}
