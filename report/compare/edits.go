package compare

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/claims"
)

// collapse is the share by which a price must fall to stand out, notable the
// share either way that is worth a look. The project's judgement.
const (
	collapse = 0.30
	notable  = 0.15
)

// edits reports what changed in each joined listing.
func (c *comparison) edits() {
	for _, i := range c.after {
		m := c.matchOf[i]
		if m == nil {
			continue
		}
		if m.relisted {
			c.relisted(m)
		}
		c.sellerChanged(m)
		c.serialChanged(m)
		c.priceMoved(m)
		c.claimEdited(m)
		c.fieldsEdited(m)
		c.photosChanged(m)
		c.stock(m)
	}
}

// wording is how a field's change is reported.
type wording struct {
	field listing.Name
	kind  Kind
	noun  string
	whole bool // shown by all captures of a listing, result pages too
}

// worded are the fields whose change is reported, in order.
var worded = []wording{
	{listing.Condition, ConditionEdited, "condition", true},
	{listing.Title, TitleEdited, "title", false},
	{listing.Description, DescriptionEdited, "description", false},
	{listing.Brand, FieldEdited, "brand", true},
	{listing.Model, FieldEdited, "model", true},
	{listing.UnitType, FieldEdited, "kind of unit", true},
	{listing.GTIN, FieldEdited, "GTIN", true},
	{listing.OENumbers, FieldEdited, "list of OE numbers", true},
	{listing.CountryOfOrigin, FieldEdited, "country of origin", true},
	{listing.ShipsFrom, FieldEdited, "place it ships from", true},
	{listing.DateCode, FieldEdited, "date code", true},
	{listing.Warranty, FieldEdited, "warranty", false},
	{listing.Returns, FieldEdited, "terms of return", false},
	{listing.Contact, FieldEdited, "contact", true},
	{listing.Shipping, FieldEdited, "shipping cost", true},
	{listing.CoreDeposit, FieldEdited, "core deposit", true},
	{listing.MinimumOrder, FieldEdited, "minimum order", true},
}

// fieldsEdited compares what both sides show; what one side does not show is not
// observed, which is no change.
func (c *comparison) fieldsEdited(m *match) {
	c.partEdited(m)
	c.textEdited(m)
	for _, w := range worded {
		if m.elsewhere() && w.field != listing.Condition {
			continue // another seller's words are no edit
		}
		a, okA := m.old.l.Get(w.field)
		b, okB := m.new.l.Get(w.field)
		if !okA || !okB || fold(a.Value) == fold(b.Value) || !w.whole && m.old.l.Brief != m.new.l.Brief {
			continue
		}
		if w.field == listing.Condition && (a.Value == listing.Unknown || b.Value == listing.Unknown) {
			continue
		}
		ch := c.about(w.kind, m)
		ch.Field, ch.OldValue, ch.NewValue = w.field, a.Value, b.Value
		ch.OldPart, ch.NewPart = difference(a.Raw, b.Raw)
		ch.Statement = w.statement(&ch)
		if ch.Evidence = both(m, w.field); w.kind == TitleEdited || w.kind == DescriptionEdited {
			ch.Evidence = []Evidence{{"before", rules.Quote(m.old.l, w.field, ch.OldPart)}, {"after", rules.Quote(m.new.l, w.field, ch.NewPart)}}
		}
		c.add(ch)
	}
}

func (w *wording) statement(c *Change) string {
	if w.kind == TitleEdited || w.kind == DescriptionEdited {
		return fmt.Sprintf("The %s was rewritten: %s became %s.", w.noun, quoted(c.OldPart), quoted(c.NewPart))
	}
	return fmt.Sprintf("The %s changed from %s to %s.", w.noun, quoted(c.OldValue), quoted(c.NewValue))
}

// shown is the length in runes to which a statement shortens a quote.
const shown = 100

func quoted(s string) string {
	if s == "" {
		return "nothing"
	}
	return "'" + listing.Shorten(strings.Join(strings.Fields(s), " "), shown) + "'"
}

func (c *comparison) partEdited(m *match) {
	if !differ(m.old.part, m.new.part) {
		return
	}
	ch := c.about(PartEdited, m)
	ch.Field, ch.OldValue, ch.NewValue = listing.PartNumber, m.old.part, m.new.part
	ch.Statement = fmt.Sprintf("The part offered changed from %s to %s.", quoted(m.old.part), quoted(m.new.part))
	ch.Evidence = append(quotes("before", m.old.l, cmp.Or(c.facts.Parts[m.old.n].Field, listing.PartNumber)),
		quotes("after", m.new.l, cmp.Or(c.facts.Parts[m.new.n].Field, listing.PartNumber))...)
	c.add(ch)
}

func (c *comparison) sellerChanged(m *match) {
	if m.relisted || m.rel == unknownSeller || m.old.name == m.new.name && !differ(m.old.sellerID, m.new.sellerID) {
		return
	}
	if m.rel != otherSeller && (m.old.name == "" || m.new.name == "") {
		return
	}
	ch := c.about(SellerChanged, m)
	ch.Field, ch.OldValue, ch.NewValue = listing.Seller, seller(m.old.l), seller(m.new.l)
	ch.Statement = fmt.Sprintf("The listing stood under %s and now stands under %s.", quoted(ch.OldValue), quoted(ch.NewValue))
	if m.rel == otherSeller {
		ch.Attention = StandsOut
	}
	ch.Evidence = both(m, listing.Seller, listing.SellerID)
	c.add(ch)
}

// seller is the displayed name of a listing's seller, or the id.
func seller(l *listing.Listing) string {
	return cmp.Or(l.Value(listing.Seller), l.Value(listing.SellerID))
}

// serialChanged compares the serials where both sides show usable ones.
func (c *comparison) serialChanged(m *match) {
	if len(m.old.serials) == 0 || len(m.new.serials) == 0 || len(common(m.old.serials, m.new.serials)) > 0 {
		return
	}
	ch := c.about(SerialChanged, m)
	ch.Field, ch.OldValue, ch.NewValue = listing.SerialNumber, strings.Join(m.old.serials, "; "), strings.Join(m.new.serials, "; ")
	ch.Statement = fmt.Sprintf("The serial changed from %s to %s.", ch.OldValue, ch.NewValue)
	if len(c.ownPhotos(m.old)) > 0 && slices.Equal(m.old.photos, m.new.photos) {
		ch.Statement = strings.TrimSuffix(ch.Statement, ".") + ", and the photos stayed the same."
	} else if m.relisted {
		ch.Attention = WorthALook
	}
	ch.Evidence = both(m, listing.SerialNumber, listing.PlateSerial, listing.BoxSerial)
	c.add(ch)
}

// priceMoved compares fixed prices of one unit in one currency.
func (c *comparison) priceMoved(m *match) {
	a, okA := fixedPrice(m.old.l)
	b, okB := fixedPrice(m.new.l)
	if !okA || !okB || a == b {
		return
	}
	ch := c.about(PriceMoved, m)
	ch.Field, ch.OldPrice, ch.NewPrice = listing.Price, a, b
	ch.OldValue, ch.NewValue = a.String()+" "+a.Currency, b.String()+" "+b.Currency
	ch.Evidence = both(m, listing.Price, listing.LotQuantity)
	if a.Currency != b.Currency {
		ch.Statement = fmt.Sprintf("The price was %s and is now %s; the amounts are not compared.", ch.OldValue, ch.NewValue)
		ch.Attention = WorthALook
		c.add(ch)
		return
	}
	ch.Moved = float64(b.Minor)/float64(a.Minor) - 1
	direction := "rose"
	if b.Minor < a.Minor {
		direction = "fell"
	}
	moved := listing.Amount{Minor: max(a.Minor-b.Minor, b.Minor-a.Minor), Currency: a.Currency}
	ch.Statement = fmt.Sprintf("The price %s by %s %s (%s) from %s to %s %s.", direction, moved, a.Currency, perCent(ch.Moved), a, b, a.Currency)
	if m.elsewhere() {
		ch.Statement = strings.TrimSuffix(ch.Statement, ".") + ", from one seller's listing to the other's."
	}
	if m.old.l.Value(listing.LotQuantity) != m.new.l.Value(listing.LotQuantity) {
		ch.Statement = strings.TrimSuffix(ch.Statement, ".") + ", for one unit; the lot changed."
	}
	switch {
	case ch.Moved <= -collapse:
		ch.Attention = StandsOut
	case math.Abs(ch.Moved) >= notable:
		ch.Attention = WorthALook
	}
	c.add(ch)
}

// perCent prints a share with its sign: "-12.5 %".
func perCent(x float64) string { return fmt.Sprintf("%+.1f %%", 100*x) }

// fixedPrice is the price of one unit, without shipping; false when there is
// none that can be compared.
func fixedPrice(l *listing.Listing) (listing.Amount, bool) {
	switch l.Value(listing.PriceKind) {
	case listing.PriceBid, listing.PriceFrom, listing.PriceRequest:
		return listing.Amount{}, false
	}
	a, ok := l.Amount(listing.Price)
	if !ok || a.Minor <= 0 {
		return a, false
	}
	if lot, ok := l.Int(listing.LotQuantity); ok && lot > 1 {
		a.Minor = (a.Minor + int64(lot)/2) / int64(lot)
	}
	return a, a.Minor > 0
}

// claimEdited compares what the texts say of the item. Where one side shows
// less text, its silence says nothing.
func (c *comparison) claimEdited(m *match) {
	a, b := c.facts.Claims.Result(m.old.n, m.old.l), c.facts.Claims.Result(m.new.n, m.new.l)
	if a.Claim == b.Claim || m.old.l.Brief != m.new.l.Brief || m.old.l.Has(listing.Description) != m.new.l.Has(listing.Description) {
		return
	}
	ch := c.about(ClaimEdited, m)
	ch.OldValue, ch.NewValue = a.Claim, b.Claim
	ch.Statement = fmt.Sprintf("The texts spoke of the item as %s and now speak of it as %s.", claimWord(a.Claim), claimWord(b.Claim))
	if b.Claim == claims.ClaimGenuine || a.Claim == claims.ClaimCopy || b.Claim == claims.ClaimCopy {
		ch.Attention = StandsOut
	}
	ch.Evidence = append(claimQuotes("before", m.old, a), claimQuotes("after", m.new, b)...)
	c.add(ch)
}

func claimWord(claim string) string {
	switch claim {
	case claims.ClaimSilent:
		return "nothing in particular"
	case claims.ClaimHedged:
		return "like the original"
	case claims.ClaimCopy:
		return "a copy"
	case claims.ClaimContradictory:
		return "genuine and compatible at once"
	}
	return claim
}

// claimQuotes are the words that decided a claim, else the title.
func claimQuotes(side string, i *item, says *claims.Result) []Evidence {
	l := i.l
	if i.seen != nil && i.seen.ClaimQuote != "" {
		return []Evidence{quoteSeen(side, l, i.seen.ClaimQuote)}
	}
	var list []Evidence
	for _, p := range says.Phrases {
		if p.Decided && len(list) < 3 {
			list = append(list, Evidence{side, rules.Quote(l, p.Field, p.Quote)})
		}
	}
	if len(list) == 0 {
		return quotes(side, l, listing.Title)
	}
	return list
}
