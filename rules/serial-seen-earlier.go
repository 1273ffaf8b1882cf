package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// SerialSeenEarlier finds a serial that another seller had, or that was sold.
var SerialSeenEarlier = &Rule{
	ID: "serial-seen-earlier", Family: FamilyIdentity, Weight: 14,
	Doc: Doc{
		Title:    "Serial seen earlier elsewhere",
		Meaning:  "An earlier run saw the serial at another seller whose listing is not there any more, or on another listing of this seller that was marked as sold. A unit can be sold on, but copies are given the plate of one real unit for months.",
		Formula:  "equal serials, letters and digits never exchanged; full weight at another seller when this unit is offered as new, half otherwise, half of it when a picture went along with the serial; half at the same seller after 'sold'. Serials that stand on two listings now are for the rule 'serial-reuse'.",
		Innocent: "A unit bought and sold on, an account under a new name, a return, or a stolen picture.",
		Ask:      "Ask from whom and when the unit was bought, and for a fresh photo of the plate beside today's date.",
		Since:    "1.0",
	},
	Needs: []Need{NeedEarlierRun, NeedSerial, NeedSeller},
	Run: func(p *Pass) Answer {
		serial, fields := p.serial()
		switch {
		case !p.hasPast():
			return Lacks(NeedEarlierRun)
		case serial == "":
			return Lacks(NeedSerial)
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		}
		best := Silent()
		for _, n := range p.Past.bySerial[serial] {
			e := &p.Past.Earlier[n]
			if _, here := p.Past.here[e.Key]; here || e.Seller == "" {
				continue
			}
			strength, words := p.weighSerial(n, e)
			if strength > 0 && (best.finding == nil || strength > best.finding.Strength) {
				best = Found(fmt.Sprintf("The serial %s %s.", p.Listing.Value(fields[0]), words),
					p.Quote(fields[0]), quoteEarlier(e, p.Listing.Value(fields[0]))).At(strength)
			}
		}
		return best
	},
}

// weighSerial weighs an earlier sighting of the listing's serial.
func (p *Pass) weighSerial(n int, e *Earlier) (strength float64, words string) {
	sold := e.State == listing.SoldOut
	ended := fmt.Sprintf("was last seen on %s", onDay(e.Last))
	switch {
	case sold:
		ended = fmt.Sprintf("was marked as sold on %s", onDay(e.Last))
	case !p.Past.gone[n].IsZero():
		ended += ", was gone on " + onDay(p.Past.gone[n])
	}
	if p.sameTrader(e) {
		if !sold {
			return 0, ""
		}
		return 0.5, fmt.Sprintf("stood on another listing of this seller, which %s", ended)
	}
	strength = 0.5
	if p.IsNew() {
		strength = 1
	}
	for _, s := range p.Past.shared[p.N] {
		for _, k := range s.earlier {
			if k == n {
				return strength / 2, fmt.Sprintf("stood at another seller, %s, with a picture that this listing shows as well; that listing %s", sellerText(e), ended)
			}
		}
	}
	return strength, fmt.Sprintf("stood at another seller, %s; that listing %s", sellerText(e), ended)
}
