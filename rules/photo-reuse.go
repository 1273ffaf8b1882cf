package rules

import (
	"fmt"

	"counterfoil/rules/photogroup"
)

// PhotoReuse finds one picture at several sellers.
var PhotoReuse = &Rule{
	ID: "photo-reuse", Family: FamilyPhoto, Weight: 8,
	Doc: Doc{
		Title:   "The same picture at several sellers",
		Meaning: "A picture of one unit stands on the listings of several sellers. At most one of them took it, and at most one has that unit. A catalogue picture that most sellers of the part use weighs little.",
		Formula: fmt.Sprintf("fingerprints at most %d of 64 bits apart, mirrored copies included, those beyond %d confirmed by a correlation of their grey steps, or crops of up to about 12 %% of a side, at two or more seller groups; a fifth of the weight for a picture of the type, that no plate or box label is known to be on, used by at least %d sellers and %.0f %% of the part's sellers with pictures; a quarter for the seller whose copy has more pixels than all others, is the only one with what a camera wrote, or was captured a month before all others; 60 %% when no copy is known to show a plate or a box label, since it may be a picture of the type",
			photogroup.DefaultBound, photogroup.SureBits, photogroup.DefaultCatalogueSellers, 100*photogroup.DefaultCatalogueShare),
		Innocent: "A catalogue or feed picture, or a stolen one: the seller who took it is raised as well.",
		Ask:      "Ask for a fresh photo of the unit beside today's date.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPhotos, NeedFingerprints, NeedSeller},
	Run: func(p *Pass) Answer {
		if lack, ok := p.photoGap(); !ok {
			return Lacks(lack)
		}
		if p.SellerGroup() == "" {
			return Lacks(NeedSeller)
		}
		best := Silent()
		for _, s := range p.sharedPhotos() {
			strength, what, remark := 1.0, "A picture", "."
			switch {
			case p.isCatalogue(s.group):
				strength, what = 0.2, "A catalogue picture"
			case p.isOriginal(s):
				strength, remark = 0.25, "; the largest copy is here, or the first: was it taken from this seller?"
			case !p.showsOneUnit(s.group):
				strength = 0.6
			}
			if best.finding == nil || strength > best.finding.Strength {
				best = Found(fmt.Sprintf("%s of this listing also stands at %s%s", what, count(len(s.others), "other seller"), remark),
					p.photoQuotes(s.photo, s.others)...).At(strength)
			}
		}
		return best
	},
}
