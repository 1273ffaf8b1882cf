package rules

import "fmt"

// SerialConfirmedGenuine finds a serial of an earlier case that ended well.
var SerialConfirmedGenuine = &Rule{
	ID: "serial-confirmed-genuine", Family: FamilyIdentity, Weight: -8,
	Doc: Doc{
		Title:    "Serial of an earlier confirmed genuine unit",
		Meaning:  "The casebook records that an examination of this serial ended as confirmed genuine: on a listing of the same seller, or by a list of known-good serials. A copyist can use the serial of a confirmed unit, so it speaks for the listing of that seller only.",
		Formula:  "full weight when the case is of a listing of the same seller; half when the record names the serial alone; nothing when the case is of another seller's listing",
		Innocent: "This finding speaks for the listing.",
		Ask:      "Ask for a fresh photo of the plate beside today's date, to see that the unit at hand is the confirmed one.",
		Since:    "1.0",
	},
	Needs: []Need{NeedEarlierRun, NeedSerial},
	Run: func(p *Pass) Answer {
		serial, fields := p.serial()
		switch {
		case p.Past == nil || !p.hasPast() && len(p.Past.Cases) == 0:
			return Lacks(NeedEarlierRun)
		case serial == "":
			return Lacks(NeedSerial)
		}
		found := func(c *Case, strength float64) Answer {
			return Found(fmt.Sprintf("An earlier case of the serial %s ended on %s as '%s'.", p.Listing.Value(fields[0]), onDay(c.Date), c.Word),
				p.Quote(fields[0]), quoteCase(c)).At(strength)
		}
		best := Silent()
		for i := range p.Past.Cases {
			c := &p.Past.Cases[i]
			if c.Word != ConfirmedGenuine {
				continue
			}
			if c.Serial == serial && best.finding == nil {
				best = found(c, 0.5)
			}
			for _, n := range p.Past.byKey[c.Listing] {
				if e := &p.Past.Earlier[n]; c.Listing != "" && hasSerial(&e.Trace, serial) && p.sameTrader(e) {
					return found(c, 1)
				}
			}
		}
		return best
	},
}
