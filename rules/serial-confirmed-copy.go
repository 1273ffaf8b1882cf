package rules

import "fmt"

// SerialConfirmedCopy finds a serial of an earlier case that ended as a
// confirmed copy.
var SerialConfirmedCopy = &Rule{
	ID: "serial-confirmed-copy", Family: FamilyIdentity, Weight: 20, Decisive: true,
	Doc: Doc{
		Title:    "Serial of an earlier confirmed copy",
		Meaning:  "The casebook records that an examination of this serial, or of a listing that showed it, ended as a confirmed copy, or a list of known-bad serials that was imported holds it. A cloned plate is used many times.",
		Innocent: "A serial is often cloned from a real unit: this may be that unit.",
		Ask:      "Ask for the purchase invoice of the unit and check with the maker before anything else.",
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
		c := p.caseOfSerial(serial, ConfirmedCopy)
		if c == nil {
			return Silent()
		}
		return Found(fmt.Sprintf("The serial %s belongs to an earlier case that ended on %s as '%s'.", p.Listing.Value(fields[0]), onDay(c.Date), c.Word),
			p.Quote(fields[0]), quoteCase(c))
	},
}

// caseOfSerial finds a case of a serial, or of a listing that showed it; nil if
// there is none.
func (p *Pass) caseOfSerial(serial, word string) *Case {
	for i := range p.Past.Cases {
		c := &p.Past.Cases[i]
		if c.Word != word {
			continue
		}
		if c.Serial == serial {
			return c
		}
		for _, n := range p.Past.byKey[c.Listing] {
			if c.Listing != "" && hasSerial(&p.Past.Earlier[n].Trace, serial) {
				return c
			}
		}
	}
	return nil
}
