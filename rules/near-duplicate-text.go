package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/texts"
)

// NearDuplicateText finds one description at several sellers.
var NearDuplicateText = &Rule{
	ID: "near-duplicate-text", Family: FamilyCross, Weight: 3,
	Doc: Doc{
		Title:    "Nearly the same description at several sellers",
		Meaning:  "Sellers who seem unrelated use nearly the same description, numbers apart. One hand may have written both, or one copied the other.",
		Formula:  "Jaccard index of word triples >= 0.8 with the middle of the group, passages that many sellers use left out (Broder 1997); half weight from six sellers, where a common feed is likely, and for the seller at whom it was captured a month before all others; none from twelve sellers, where a feed is the rule",
		Innocent: "A distributor's feed, the maker's own catalogue text, or a copied description: the writer is raised as well.",
		Ask:      "Ask where the description comes from, and for details of the unit at hand.",
		Since:    "1.0",
	},
	Needs: []Need{NeedDescription, NeedSeller},
	Run: func(p *Pass) Answer {
		switch {
		case !p.Listing.Has(listing.Description):
			return Lacks(NeedDescription)
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		case !p.Texts.Assessed(p.N):
			return Lacks(NeedDescription)
		}
		group := p.Texts.Of(p.N)
		if group == nil || group.Sellers > commonText {
			return Silent()
		}
		other, sellers := -1, map[string]bool{}
		for _, m := range group.Members {
			if s := p.SellerGroups[m.Listing]; s != "" && s != p.SellerGroup() {
				sellers[s] = true
				if other < 0 {
					other = m.Listing
				}
			}
		}
		if other < 0 || len(sellers) >= commonText {
			return Silent()
		}
		a, _ := p.Listing.Get(listing.Description)
		b, _ := p.Listings[other].Get(listing.Description)
		evidence := []Evidence{p.Quote(listing.Description), Quote(p.Listings[other], listing.Description, "")}
		if shared, ok := texts.SharedPassage(a.Raw, b.Raw); ok {
			evidence = []Evidence{Quote(p.Listing, listing.Description, shared.QuoteA),
				Quote(p.Listings[other], listing.Description, shared.QuoteB)}
		}
		strength := 1.0
		if len(sellers) >= 5 {
			strength = 0.5
		}
		first := ""
		var members []int
		for _, m := range group.Members {
			members = append(members, m.Listing)
		}
		if k := p.earliest(members); k != "" && k == p.SellerKeys[p.N] {
			strength, first = strength/2, " It was captured here a month before: was it copied from this seller?"
		}
		return Found(fmt.Sprintf("The description is nearly the same as at %s.%s", count(len(sellers), "other seller"), first), evidence...).At(strength)
	},
}

// commonText is the number of other sellers from which a text is taken for
// common property: a maker's catalogue or a distributor's feed. Common practice,
// no source.
const commonText = 11
