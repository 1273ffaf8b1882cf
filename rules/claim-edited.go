package rules

import (
	"fmt"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
)

// ClaimEdited finds a listing that says something else than before.
var ClaimEdited = &Rule{
	ID: "claim-edited", Family: FamilyTime, Weight: 6,
	Doc: Doc{
		Title:    "Says something else than before",
		Meaning:  "Under the same id, the listing said something else at its last sighting: of what the item is, of its condition, its serial or its part number. Claims are taken back after a complaint, or put in once a listing has gathered sales.",
		Formula:  "compared with the last earlier sighting; full weight when the claim changed to or from 'genuine', 0.75 for another serial, half for another condition, part number or claim, a quarter when only the description was rewritten (estimated share of common word triples under one half, the project's choice)",
		Innocent: "A correction, a stock program that uses one listing for one unit after another, or a new wording.",
		Ask:      "Ask which of the two statements holds for the unit that will be sent.",
		Since:    "1.0",
	},
	Needs: []Need{NeedEarlierRun, NeedSeenEarlier},
	Run: func(p *Pass) Answer {
		if !p.hasPast() {
			return Lacks(NeedEarlierRun)
		}
		last := p.latest()
		if last == nil {
			return Lacks(NeedSeenEarlier)
		}
		strength, changes, evidence := 0.0, []string(nil), []Evidence(nil)
		note := func(weight float64, what, before, now string, own Evidence) {
			strength = max(strength, weight)
			changes = append(changes, fmt.Sprintf("%s was '%s' and is '%s'", what, before, now))
			evidence = append(evidence, own, quoteEarlier(last, before))
		}
		t := p.trace()
		if last.Claim != t.Claim {
			weight := 0.5
			if last.Claim == claims.ClaimGenuine || t.Claim == claims.ClaimGenuine {
				weight = 1
			}
			note(weight, "the claim", last.Claim, t.Claim, p.quoteClaim())
			if last.ClaimQuote != "" {
				evidence[len(evidence)-1] = quoteEarlier(last, last.ClaimQuote)
			}
		}
		if serial, fields := p.serial(); serial != "" && len(last.Serials) > 0 && !hasSerial(&last.Trace, serial) {
			note(0.75, "the serial", last.Serials[0].Serial, serial, p.Quote(fields[0]))
		}
		if differ(last.Condition, t.Condition) {
			note(0.5, "the condition", last.Condition, t.Condition, p.Quote(listing.Condition))
		}
		if differ(last.Part, t.Part) {
			note(0.5, "the part number", last.Part, t.Part, Quote(p.Listing, p.Part().Field, ""))
		}
		if len(changes) > 0 {
			return Found(fmt.Sprintf("Since %s %s.", onDay(last.Last), strings.Join(changes, "; ")), evidence...).At(strength)
		}
		if !last.Text.IsZero() && !t.Text.IsZero() && last.Text.Likeness(t.Text) < 0.5 {
			return Found(fmt.Sprintf("The description was rewritten since %s.", onDay(last.Last)),
				p.quoteDescription(), quoteEarlier(last, "(the earlier text is not kept)")).At(0.25)
		}
		return Silent()
	},
}

func differ(a, b string) bool { return a != "" && b != "" && a != b }

func hasSerial(t *Trace, serial string) bool {
	for _, s := range t.Serials {
		if s.Serial == serial {
			return true
		}
	}
	return false
}
