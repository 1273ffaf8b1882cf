package rules

import (
	"cmp"
	"slices"

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

// Judged is one listing with everything found.
type Judged struct {
	N          int // number in Facts.Listings
	Listing    *listing.Listing
	Rank       int       // 1 is the listing to look at first
	Findings   []Finding // largest weight first
	Gaps       []Gap     // in rule order
	EvidenceDB float64   // decibans
	Support    string    // in words, of the verbal scale
	Held       bool      // the word is held at 'moderately strong'
	Coverage   float64   // share of all rules that could be assessed
	Complete   float64   // the same, without rules that lack the user's settings
	Outcome    string
	Market     market.Assessment
}

// Result is a batch, ranked.
type Result struct {
	Facts  *Facts
	Rules  []*Rule
	Ranked []*Judged // by rank
}

// Judge runs the rules over one listing.
func judge(f *Facts, list []*Rule, n int) *Judged {
	j := &Judged{N: n, Listing: f.Listings[n], Market: f.Markets.Assess(n)}
	pass := &Pass{Facts: f, N: n, Listing: j.Listing, Market: j.Market}
	settingGaps := 0
	for i, r := range list {
		a := assess(r, pass)
		switch {
		case a.finding != nil:
			a.finding.Rule = r
			a.finding.WeightDB = f.weight(r) * a.finding.Strength
			j.Findings = append(j.Findings, *a.finding)
		case a.lacks != noNeed:
			j.Gaps = append(j.Gaps, Gap{Rule: uint8(i), Need: a.lacks})
			if a.lacks.IsSetting() {
				settingGaps++
			}
		}
	}
	slices.SortStableFunc(j.Findings, func(a, b Finding) int { return cmp.Compare(b.WeightDB, a.WeightDB) })
	db, independent := weigh(j.Findings)
	j.EvidenceDB, j.Support = db, Support(db, independent)
	j.Held = j.Support != Support(db, true)
	j.Coverage = float64(len(list)-len(j.Gaps)) / float64(len(list))
	if open := len(list) - settingGaps; open > 0 {
		j.Complete = float64(len(list)-len(j.Gaps)) / float64(open)
	}
	j.Outcome = outcome(pass, j)
	return j
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
// price, then key.
func rank(f *Facts, all []*Judged) {
	price := func(j *Judged) int64 {
		if a := j.Market.Price; a.Minor > 0 {
			return a.Minor
		}
		return 1 << 62
	}
	slices.SortStableFunc(all, func(a, b *Judged) int {
		return cmp.Or(
			cmp.Compare(b.EvidenceDB, a.EvidenceDB),
			cmp.Compare(b.Coverage, a.Coverage),
			cmp.Compare(price(a), price(b)),
			cmp.Compare(a.Listing.Key, b.Listing.Key),
		)
	})
	for i, j := range all {
		j.Rank = i + 1
	}
}
