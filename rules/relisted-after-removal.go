package rules

import "fmt"

// RelistedAfterRemoval finds an offer that was gone and is back.
var RelistedAfterRemoval = &Rule{
	ID: "relisted-after-removal", Family: FamilyTime, Weight: 8,
	Doc: Doc{
		Title:    "Back after it was gone",
		Meaning:  "An offer that an earlier run saw, and a later one did not, is there again: under its old id, or under a new one with the same serial, the same pictures of one unit or the same description. Offers of copies that a marketplace removes come back that way, often at another account.",
		Formula:  "gone: missing in a later look that saw at least half of the other offers of the part on that marketplace again (the project's choice); full weight with a serial or picture at another seller, half at the same seller, half of that again when only the description is the same and the part is no other, 0.3 under the old id. Pictures are compared by fingerprint alone, so crops of an earlier one are not found. Pictures of the type and descriptions that four or more sellers use are left out, and so are pairs that are both on offer now.",
		Innocent: "Listings that run out and are renewed by a program, a seller's holiday, a returned unit, or a listing that was not saved that time.",
		Ask:      "Ask since when the unit has been on offer, and why the earlier listing ended.",
		Since:    "1.0",
	},
	Needs: []Need{NeedEarlierRun, NeedSeenEarlier},
	Run: func(p *Pass) Answer {
		if !p.hasPast() {
			return Lacks(NeedEarlierRun)
		}
		if last := p.latest(); last != nil {
			missed := p.Past.back[p.N]
			if missed.IsZero() {
				return Silent()
			}
			return Found(fmt.Sprintf("The listing was gone on %s, after it had been seen before, and is back.", onDay(missed)),
				p.quoteTitle(), quoteEarlier(last, last.Title)).At(0.3)
		}
		if !p.canBeKnownAgain() {
			return Lacks(NeedSeenEarlier)
		}
		best := Silent()
		consider := func(list []int, factor float64, byText bool, what string, own Evidence) {
			for _, n := range list {
				e := &p.Past.Earlier[n]
				if _, here := p.Past.here[e.Key]; here || p.Past.gone[n].IsZero() || byText && differ(e.Part, p.trace().Part) {
					continue
				}
				strength, where := factor, "at another seller, "+sellerText(e)+","
				if p.sameTrader(e) {
					strength, where = factor/2, "at the same seller"
				}
				if best.finding == nil || strength > best.finding.Strength {
					best = Found(fmt.Sprintf("%s stood %s until %s, on a listing that was gone on %s; this one was not seen before.",
						what, where, onDay(e.Last), onDay(p.Past.gone[n])), own, quoteEarlier(e, e.Title)).At(strength)
				}
			}
		}
		if serial, fields := p.serial(); serial != "" {
			consider(p.Past.bySerial[serial], 1, false, "The serial "+p.Listing.Value(fields[0]), p.Quote(fields[0]))
		}
		for _, s := range p.Past.shared[p.N] {
			if !s.common {
				consider(s.earlier, 1, false, "A picture of this listing", QuotePhoto(s.photo))
			}
		}
		if same := p.earlierText(); len(same) > 0 {
			consider(same, 0.5, true, "The description, numbers apart,", p.quoteDescription())
		}
		return best
	},
}
