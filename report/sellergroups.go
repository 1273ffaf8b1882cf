package report

import (
	"cmp"
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// SellerGroup is what the batch shows of accounts that one operator may stand
// behind; most have one account.
type SellerGroup struct {
	Number   int // 1 has the listing with the highest evidence
	Key      string
	Listings []*rules.Judged // by rank
	Accounts []string        // keys, sorted
	Parts    []string        // sorted
	Units    int             // that the listings state
	Counts   map[string]int  // of listings by outcome
	Best     *rules.Judged   // of the highest evidence
}

// SellerGroups gathers the sellers of the ranked listings, those with the highest
// evidence first. Listings without a seller are in no group.
func SellerGroups(res *rules.Result) []*SellerGroup {
	f := res.Facts
	by := map[string]*SellerGroup{}
	var list []*SellerGroup
	for _, j := range res.Ranked {
		if j.N >= len(f.Operators) || f.Operators[j.N] == "" {
			continue
		}
		key := f.Operators[j.N]
		g := by[key]
		if g == nil {
			g = &SellerGroup{Key: key, Counts: map[string]int{}, Best: j}
			by[key] = g
			list = append(list, g)
		}
		g.add(j, f)
	}
	slices.SortStableFunc(list, func(x, y *SellerGroup) int {
		return cmp.Or(cmp.Compare(y.Best.EvidenceDB, x.Best.EvidenceDB), cmp.Compare(x.Best.Rank, y.Best.Rank))
	})
	for i, g := range list {
		g.Number = i + 1
		slices.Sort(g.Accounts)
		g.Accounts = slices.Compact(g.Accounts)
		slices.Sort(g.Parts)
		g.Parts = slices.Clone(slices.Compact(g.Parts)) // it had room for a part of each listing
	}
	return list
}

func (g *SellerGroup) add(j *rules.Judged, f *rules.Facts) {
	g.Listings = append(g.Listings, j)
	if key, n := f.SellerKeys[j.N], len(g.Accounts); n == 0 || g.Accounts[n-1] != key {
		g.Accounts = append(g.Accounts, key)
	}
	if id := f.Parts[j.N].ID; id != "" {
		g.Parts = append(g.Parts, id)
	}
	if n, ok := j.Listing.Int(listing.QuantityAvailable); ok && n > 0 {
		g.Units += min(n, 1e9)
	}
	g.Counts[j.Outcome]++
	if j.EvidenceDB > g.Best.EvidenceDB {
		g.Best = j
	}
}
