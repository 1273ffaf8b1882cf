package compare

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// saysLast finds where a listing speaks of the last unit.
func (i *item) saysLast() (e rules.Evidence, ok bool) {
	if i.seen != nil {
		return quoteSeen("", i.l, i.seen.LastOne).Evidence, i.seen.LastOne != ""
	}
	words, field := rules.LastOneWording(i.l)
	if words == "" {
		return e, false
	}
	return rules.Quote(i.l, field, words), true
}

// stock compares what is said of the stock.
func (c *comparison) stock(m *match) {
	a, okA := m.old.saysLast()
	b, okB := m.new.saysLast()
	if okA && okB && m.new.ended == "" && m.old.l.SHA256 != m.new.l.SHA256 {
		ch := c.about(StillLastOne, m)
		ch.OldValue, ch.NewValue = a.Quote, b.Quote
		ch.Statement = fmt.Sprintf("Both looks speak of the last unit: %s and %s.", quoted(a.Quote), quoted(b.Quote))
		if m.old.ended != "" || m.relisted {
			ch.Statement = fmt.Sprintf("The listing was over, and the new one speaks of the last unit again: %s.", quoted(b.Quote))
			ch.Attention = StandsOut
		}
		ch.Evidence = []Evidence{{"before", a}, {"after", b}}
		c.add(ch)
	}
	if m.relisted {
		return
	}
	c.soldOn(m)
	if m.new.ended != "" && m.old.ended == "" {
		ch := c.about(Ended, m)
		ch.OldValue, ch.NewValue = m.old.l.Value(listing.Availability), m.new.ended
		ch.Statement = fmt.Sprintf("The listing still stands, and now says: %s.", m.new.ended)
		ch.Evidence = both(m, listing.Availability, listing.QuantityAvailable)
		c.add(ch)
	}
	x, okX := m.old.l.Int(listing.QuantityAvailable)
	y, okY := m.new.l.Int(listing.QuantityAvailable)
	if okX && okY && x != y {
		ch := c.about(QuantityMoved, m)
		ch.Field, ch.OldValue, ch.NewValue = listing.QuantityAvailable, fmt.Sprint(x), fmt.Sprint(y)
		ch.Statement = fmt.Sprintf("The stated stock went from %d to %d.", x, y)
		ch.Evidence = both(m, listing.QuantityAvailable)
		c.add(ch)
	}
}
