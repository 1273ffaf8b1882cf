package rules

import "fmt"

// SerialRun finds consecutive serials at one seller.
var SerialRun = &Rule{
	ID: "serial-run", Family: FamilyIdentity, Weight: 2,
	Doc: Doc{
		Title:    "Serials in sequence at one seller",
		Meaning:  "The seller's listings show serials that count up by one. A carton from the maker gives such a run, and so does a list of invented numbers; a run of used or remanufactured units is odder than one of new ones.",
		Formula:  "at least 3 consecutive serials with the same beginning at one seller group; full weight when the unit is not new, half when it is (common practice, no source)",
		Innocent: "New units from one carton.",
		Ask:      "Ask for plate photos of two of the units side by side.",
		Since:    "1.0",
	},
	Needs: []Need{NeedSerial, NeedSeller},
	Run: func(p *Pass) Answer {
		serial, fields := p.serial()
		switch {
		case serial == "":
			return Lacks(NeedSerial)
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		}
		run, ok := p.Serials.RunOf(p.SellerGroup(), serial)
		if !ok || !p.atLeast(len(run.Serials), "serial-run") {
			return Silent()
		}
		strength := 1.0
		if p.IsNew() {
			strength = 0.5
		}
		return Found(fmt.Sprintf("The seller shows %d serials in sequence, %s to %s.", len(run.Serials), run.First, run.Last),
			p.Quote(fields[0])).At(strength)
	},
}
