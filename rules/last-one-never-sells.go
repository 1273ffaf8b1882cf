package rules

import (
	"fmt"

	"counterfoil/parse/listing"
)

// LastOneNeverSells finds a last unit that is sold again and again.
var LastOneNeverSells = &Rule{
	ID: "last-one-never-sells", Family: FamilyTime, Weight: 5,
	Doc: Doc{
		Title:    "The last one that never runs out",
		Meaning:  "Over several runs the listing says that one unit is left, while its sales go on. Whoever sells a 'last' unit of a scarce part many times has a source, or sends another unit than the one shown.",
		Formula:  "quantity 1, or wording such as 'last one', at every sighting of at least 3 runs, this one included; full weight when the listing's own count of units sold rises, half when only the seller's ratings rise and the wording says 'last one'. Without a sign of sales a last unit has simply not been sold.",
		Innocent: "Stock that a program shows one by one.",
		Ask:      "Ask how many units there are, and for a photo of the plate of the one that will be sent.",
		Since:    "1.0",
	},
	Needs: []Need{NeedEarlierRun, NeedSeenEarlier, NeedQuantity},
	Run: func(p *Pass) Answer {
		if !p.hasPast() {
			return Lacks(NeedEarlierRun)
		}
		t := p.trace()
		switch {
		case t.Quantity == NotStated && t.LastOne == "":
			return Lacks(NeedQuantity)
		case p.latest() == nil:
			return Lacks(NeedSeenEarlier)
		}
		runs, worded := 1, t.LastOne != ""
		sold, ratings := t.Sold, t.Ratings // least of earlier sightings that state it
		var first *Earlier
		for _, e := range p.states() {
			if !saysLast(&e.Trace) {
				return Silent()
			}
			runs += e.Runs
			worded = worded && e.LastOne != ""
			sold, ratings = leastStated(sold, e.Sold), leastStated(ratings, e.Ratings)
			if first == nil {
				first = e
			}
		}
		if !p.atLeast(runs, "last-one-runs") || !saysLast(t) {
			return Silent()
		}
		n := listing.QuantityAvailable
		if !p.Listing.Has(n) {
			n = listing.Title
		}
		said := fmt.Sprintf("In %d runs since %s one unit is left, ", runs, onDay(first.First))
		switch {
		case t.Sold > sold:
			return Found(said+fmt.Sprintf("while the count of units sold rose from %d to %d.", sold, t.Sold),
				p.Quote(n), quoteEarlier(first, fmt.Sprintf("%d sold at the least", sold)))
		case worded && t.Ratings > ratings:
			return Found(said+fmt.Sprintf("by the words '%s', while the seller's ratings rose from %d to %d.", t.LastOne, ratings, t.Ratings),
				p.Quote(n), quoteEarlier(first, first.LastOne)).At(0.5)
		}
		return Silent()
	},
}

func saysLast(t *Trace) bool { return t.Quantity == 1 || t.Quantity == NotStated && t.LastOne != "" }

func leastStated(a, b int) int {
	if a == NotStated || b != NotStated && b < a {
		return b
	}
	return a
}
