package compare

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// lastOne are wordings for the last unit; from memory, review by people whose
// first language is one of these is wanted.
var lastOne = regexp.MustCompile(`(?i)\b(?:last one|last (?:unit|piece)|only (?:one|1) left|(?:one|1) (?:unit |piece )?left|letzte[sr]? stück|nur noch (?:1|ein) stück|` +
	`derni(?:er exemplaire|ère pièce)|plus qu'(?:un|une|1)\b|solo queda (?:1|una)|ostatnia sztuka|ultimo pezzo)\b|última unidad|` +
	`последн(?:яя штука|ий экземпляр)|осталась одна|最后一[件个台]|仅剩[1一]`)

// lastHints are parts of lastOne of which each of its matches has one; to look
// for them is far cheaper.
var lastHints = []string{"last", "left", "letzte", "nur noch", "derni", "plus qu", "solo queda", "ostatnia", "ultimo", "última", "последн", "осталась", "最后一", "仅剩"}

// textLimit bounds what is searched of a text, in bytes.
const textLimit = 64 << 10

// saysLast finds where a listing speaks of the last unit.
func saysLast(l *listing.Listing) (e rules.Evidence, ok bool) {
	for _, n := range []listing.Name{listing.Title, listing.Description} {
		f, _ := l.Get(n)
		text := f.Raw[:min(len(f.Raw), textLimit)]
		lower := strings.ToLower(text)
		if !slices.ContainsFunc(lastHints, func(hint string) bool { return strings.Contains(lower, hint) }) {
			continue
		}
		if at := lastOne.FindStringIndex(text); at != nil {
			return rules.Quote(l, n, f.Raw[at[0]:at[1]]), true
		}
	}
	return e, false
}

// stock compares what is said of the stock.
func (c *comparison) stock(m *match) {
	a, okA := saysLast(m.old.l)
	b, okB := saysLast(m.new.l)
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
