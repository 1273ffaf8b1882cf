package claims

import (
	"slices"

	"counterfoil/parse/listing"
)

// Codes of the built-in lexicon that the decision treats apart.
const (
	codeAftermarket = "aftermarket"     // says who did not make it: "aftermarket", "Zubehörteil", "аналог"
	codeReplaces    = "replaces"        // "replaces", "replacement for"
	codeWith        = "compatible-with" // "compatible with": a part, or a list of vehicles
	codeFits        = "fits"            // "for", "fits": says something only before a maker's name or a part number
	codeLike        = "like-original"   // "same as original"
)

// decide gives the claim of the listing and marks the phrases it rests on. A
// phrase counts when it is bound to the item: to no noun, to the unit, or to
// the kit or component that is sold.
//
//	copy           a copy word that is not negated
//	genuine        a claim word, not negated; or a negated word of being
//	               aftermarket or a copy ("not a copy")
//	compatible     a word of being aftermarket; a negated claim word ("not
//	               genuine"); "replaces" and the like; "compatible with" and
//	               the like, but where the listing leads with a maker's name
//	               only before a maker's name, since lists of vehicles follow
//	               those words too; "for" and the like before a maker's name
//	               or, where no maker's name leads, before a part number;
//	               "names for reference only"
//	hedged         a hedge, a vague origin, "surplus", "made in the same factory"
//
// In this order: a copy openly told is a copy whatever else is said. Genuine
// and compatible together are contradictory. "Replaces", "compatible with" and
// "for" stand against a claim to be genuine only when they name the maker that is claimed:
// a genuine part fits vehicles too. "Names for reference only" beside a claim
// to be genuine is left to the rules. Then genuine, compatible, hedged, silent.
func decide(pages []*page, r *Result, o Options) string {
	d := decision{options: o, leading: r.Leading, branded: r.BrandAsMaker()}
	for _, p := range pages {
		for i := range p.claims {
			d.sort(&p.claims[i])
		}
	}
	switch {
	case len(d.copies) > 0:
		return settle(ClaimCopy, d.copies)
	case len(d.genuine) > 0:
		against := append(d.firm, slices.DeleteFunc(d.fitting, func(c *claim) bool { return !d.opposes(c) })...)
		if len(against) > 0 {
			return settle(ClaimContradictory, d.genuine, against)
		}
		return settle(ClaimGenuine, d.genuine)
	case len(d.firm)+len(d.fitting)+len(d.disclaimers) > 0:
		return settle(ClaimCompatible, d.firm, d.fitting, d.disclaimers)
	case len(d.hedges) > 0:
		return settle(ClaimHedged, d.hedges)
	}
	return ClaimSilent
}

func settle(claimed string, groups ...[]*claim) string {
	for _, g := range groups {
		for _, c := range g {
			c.decided = true
		}
	}
	return claimed
}

// decision sorts the claims of a listing by what they say of the item.
type decision struct {
	options Options
	leading string
	branded bool

	copies, genuine, firm, fitting, hedges, disclaimers []*claim
}

func (d *decision) sort(c *claim) {
	if !d.ofItem(c.scope) {
		return
	}
	switch stance := c.entry.stance; {
	case stance == Copy && !c.negated:
		d.copies = append(d.copies, c)
	case stance == Copy || stance == Genuine && !c.negated:
		d.genuine = append(d.genuine, c)
	case stance == Genuine:
		d.firm = append(d.firm, c)
	case stance == Compatible && c.entry.code == codeAftermarket && c.negated:
		d.genuine = append(d.genuine, c)
	case stance == Compatible && !c.negated:
		switch c.entry.code {
		case codeWith, codeFits:
			if c.object != "" || !d.branded {
				d.fitting = append(d.fitting, c)
			}
		case codeReplaces:
			d.fitting = append(d.fitting, c)
		default:
			d.firm = append(d.firm, c)
		}
	case stance == Reference:
		d.disclaimers = append(d.disclaimers, c)
	case slices.Contains([]Stance{Hedge, Origin, Surplus}, stance) && !c.negated:
		d.hedges = append(d.hedges, c)
	}
}

func (d *decision) ofItem(scope string) bool {
	switch scope {
	case ScopeItem, ScopeUnit:
		return true
	case ScopeKit:
		return d.options.UnitType == listing.Kit
	case ScopeComponent:
		return d.options.UnitType == listing.Component
	}
	return false
}

// opposes reports whether a word of fitting names the maker that some claim
// says made the item.
func (d *decision) opposes(c *claim) bool {
	if c.object == "" {
		return false
	}
	return slices.ContainsFunc(d.genuine, func(g *claim) bool {
		maker := g.subject
		if maker == "" {
			maker = d.leading
		}
		return maker == "" || maker == c.object
	})
}
