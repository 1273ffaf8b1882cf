package values

import (
	"fmt"
	"strconv"
	"strings"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
	"counterfoil/parse/money"
	"counterfoil/parse/partno"
)

// sums are the money fields beside the price.
var sums = []listing.Name{listing.Shipping, listing.CoreDeposit, listing.PriceWas}

// Derive fills what the listing's own words tell about absent fields, once all
// fields of the input are set: lot quantity, part and OE numbers, serial
// number, GTIN, unit type, condition and core deposit from title and
// description, a part number from the model too. The place of such a field is that of the field it was found in,
// its raw text the exact words. A currency left open by an ambiguous symbol is
// resolved from h or reported; a sum in another currency than the price's is
// removed and reported.
//
// Condition and unit type are taken from the title only: a description uses
// such words for much else.
func Derive(l *listing.Listing, h *Hints) []listing.Problem {
	if h == nil {
		h = noHints
	}
	d := deriver{listing: l, hints: h}
	d.resolveCurrency()
	d.checkSums()
	title, description := passageOf(l, listing.Title), passageOf(l, listing.Description)
	if title != nil {
		d.condition(title)
		d.unit(title)
	}
	if description != nil {
		d.labelledCondition(description)
	}
	for _, p := range []*passage{title, description} {
		if p != nil {
			d.numbers(p)
			d.coreDeposit(p)
		}
	}
	d.modelNumber()
	return d.problems
}

// passage is the text of a field, folded once for all that look at it.
type passage struct {
	listing.Field
	folded   phrase.Text
	isFolded bool
}

// passageOf gives nil when the field is not present.
func passageOf(l *listing.Listing, n listing.Name) *passage {
	f, ok := l.Get(n)
	if !ok {
		return nil
	}
	return &passage{Field: f}
}

func (p *passage) text() phrase.Text {
	if !p.isFolded {
		p.folded, p.isFolded = phrase.Fold(p.Raw), true
	}
	return p.folded
}

type deriver struct {
	listing  *listing.Listing
	hints    *Hints
	problems []listing.Problem
}

func (d *deriver) fill(n listing.Name, value, raw string, from listing.Place) {
	if !d.listing.Has(n) {
		d.listing.Set(listing.Field{Name: n, Value: value, Raw: raw, From: from})
	}
}

func (d *deriver) report(severity listing.Severity, f listing.Field, n listing.Name, reason, hint string) {
	d.problems = append(d.problems, problemOf(d.listing, n, f.Raw, f.From, severity, reason, hint))
}

// resolveCurrency decides the currency of a price that names none or an
// ambiguous one.
func (d *deriver) resolveCurrency() {
	price, priced := d.listing.Get(listing.Price)
	if !priced || d.listing.Has(listing.Currency) {
		return
	}
	p := d.named(price)
	switch {
	case p.Currency != "":
		d.fill(listing.Currency, p.Currency, p.CurrencyText, price.From)
	case p.Ambiguous:
		d.report(listing.Partial, price, listing.Currency, fmt.Sprintf("%q may be %s", p.CurrencyText, strings.Join(p.Candidates, ", ")), currencyHint)
		return
	case p.CurrencyText != "":
		return // reported when it was read
	}
	for _, n := range sums {
		if f, ok := d.listing.Get(n); ok && !d.listing.Has(listing.Currency) {
			if q := d.named(f); q.Currency != "" {
				d.fill(listing.Currency, q.Currency, q.CurrencyText, f.From)
			}
		}
	}
	if d.hints.Currency != "" {
		// No words of the listing say so, hence no raw text.
		d.fill(listing.Currency, d.hints.Currency, "", listing.Place{Source: "assumed"})
	}
}

// named reads again what currency the raw text of a sum names.
func (d *deriver) named(f listing.Field) money.Price {
	if plainDigits(f.Raw) {
		return money.Price{}
	}
	p, err := money.Parse(strings.TrimSpace(f.Raw), moneyHints(d.listing, d.hints))
	if err != nil {
		return money.Price{}
	}
	return p
}

// checkSums removes sums in another currency than that of the listing, in
// which they would be read.
func (d *deriver) checkSums() {
	currency := d.listing.Value(listing.Currency)
	if currency == "" {
		return
	}
	for _, n := range sums {
		f, ok := d.listing.Get(n)
		if !ok {
			continue
		}
		if p := d.named(f); p.Currency != "" && p.Currency != currency {
			d.listing.Remove(n)
			d.report(listing.Partial, f, n, fmt.Sprintf("%q is in %s, the price in %s", listing.Shorten(f.Raw, 40), p.Currency, currency), "")
		}
	}
}

func (d *deriver) condition(title *passage) {
	if d.listing.Has(listing.Condition) {
		return
	}
	t := title.text()
	if word, found := conditionOf(t); word != "" && word != listing.Unknown {
		d.fill(listing.Condition, word, t.Quote(found[0].Start, found[0].End), title.From)
	}
}

func (d *deriver) unit(title *passage) {
	if d.listing.Has(listing.UnitType) {
		return
	}
	t := title.text()
	if word, at, ok := unitOf(t); ok {
		d.fill(listing.UnitType, word, t.Quote(at.Start, at.End), title.From)
	}
}

// conditionLabels stand before the condition in a description.
var conditionLabels = phrase.NewSet(
	phrase.Of(true, "", "condition, zustand, artikelzustand, état, etat, estado, condizione, condizioni, stato, stan, состояние, 成色, 新旧程度"),
)

// maxLabelled is the part of a description, in runes, in which a label is looked
// for.
const maxLabelled = 4000

// labelledCondition reads "Condition: …" in a description.
func (d *deriver) labelledCondition(f *passage) {
	if d.listing.Has(listing.Condition) {
		return
	}
	t := f.text()
	if len(f.Raw) > maxLabelled {
		t = phrase.Fold(listing.Shorten(f.Raw, maxLabelled))
	}
	for _, m := range conditionLabels.All(t) {
		rest := t.Folded[m.End:]
		trimmed := strings.TrimLeft(rest, " ")
		if !strings.HasPrefix(trimmed, ":") && !strings.HasPrefix(trimmed, "：") {
			continue
		}
		start := m.End + len(rest) - len(trimmed) + 1
		end := start + strings.IndexAny(t.Folded[start:]+"\n", ".;,|\n")
		part := phrase.Fold(t.Quote(start, min(end, len(t.Folded))))
		if word, found := conditionOf(part); word != "" && word != listing.Unknown {
			d.fill(listing.Condition, word, part.Quote(found[0].Start, found[0].End), f.From)
			return
		}
	}
}

// numbers fills numbers and the lot from one text. What the listing has is not
// searched for.
func (d *deriver) numbers(p *passage) {
	l, f := d.listing, p.Field
	s := partno.In(p.text())
	if !l.Has(listing.SerialNumber) {
		d.single(listing.SerialNumber, s.Serials(), f)
	}
	if !l.Has(listing.GTIN) {
		d.single(listing.GTIN, s.GTINs(), f)
	}
	if !l.Has(listing.PartNumber) {
		d.partNumber(s.Numbers(), f)
	}
	if !l.Has(listing.OENumbers) {
		d.oeNumbers(s.Numbers(), f)
	}
	// The pieces of a kit are no lot, and a description counts much else.
	if f.Name != listing.Title || l.Has(listing.LotQuantity) || l.Value(listing.UnitType) == listing.Kit {
		return
	}
	if lot := s.Lot(); lot.N > 0 {
		d.fill(listing.LotQuantity, strconv.Itoa(lot.N), f.Raw[lot.Start:lot.End], f.From)
	}
}

// single fills a field that holds one number, and reports if the text has
// more.
func (d *deriver) single(n listing.Name, found []partno.Candidate, f listing.Field) {
	if len(found) == 0 || d.listing.Has(n) {
		return
	}
	value := found[0].Text
	if n == listing.GTIN {
		value = found[0].Canonical
		if !plainDigits(value) {
			return
		}
	}
	d.fill(n, value, found[0].Text, f.From)
	if len(found) > 1 {
		d.reportMore(n, found, f)
	}
}

func (d *deriver) reportMore(n listing.Name, found []partno.Candidate, f listing.Field) {
	var others []string
	for _, c := range found[1:] {
		others = append(others, c.Text)
	}
	f.Raw = found[0].Text
	d.report(listing.Notice, f, n, fmt.Sprintf("the %s holds several numbers, the first one was taken; others: %s",
		f.Name, listing.Shorten(strings.Join(others, ", "), 80)), "give the number in a field of its own")
}

// partNumber takes the number of the most telling style. A description with
// several numbers of that style lists what the part fits, not what it is.
func (d *deriver) partNumber(found []partno.Candidate, f listing.Field) {
	if d.listing.Has(listing.PartNumber) {
		return
	}
	for _, style := range []partno.Style{partno.Labelled, partno.SixFour, partno.FiveFive, partno.Eleven, partno.Frame} {
		var same []partno.Candidate
		for _, c := range found {
			if c.Style == style {
				same = append(same, c)
			}
		}
		if len(same) == 0 {
			continue
		}
		switch {
		case len(same) == 1:
			d.single(listing.PartNumber, same, f)
		case f.Name != listing.Description:
			d.partNumbers(same, f)
		}
		return
	}
}

// partNumbers takes several numbers of one style: none of them is known to be
// the one that is sold.
func (d *deriver) partNumbers(found []partno.Candidate, f listing.Field) {
	texts := make([]string, len(found))
	for i, c := range found {
		texts[i] = c.Text
	}
	all := strings.Join(texts, "; ")
	raw := f.Raw[found[0].Start:found[len(found)-1].End]
	d.fill(listing.PartNumber, all, raw, f.From)
	f.Raw = raw
	d.report(listing.Notice, f, listing.PartNumber, fmt.Sprintf("the %s holds several part numbers: %s; they are kept apart unless --equivalents joins them",
		f.Name, listing.Shorten(all, 80)), "give the number in a field of its own")
}

// modelNumber takes a model that is written like a number, one word with five
// digits or more, for the maker's number when nothing else gives one: many
// shops call it so. Frames of turbochargers such as "GT1749V" have fewer.
func (d *deriver) modelNumber() {
	f, ok := d.listing.Get(listing.Model)
	if !ok || strings.ContainsAny(f.Value, " /:,;") || len(f.Value) > 30 {
		return
	}
	digits := 0
	for _, c := range f.Value {
		if '0' <= c && c <= '9' {
			digits++
		}
	}
	if digits >= 5 {
		d.fill(listing.PartNumber, f.Value, f.Raw, f.From)
	}
}

func (d *deriver) oeNumbers(found []partno.Candidate, f listing.Field) {
	var list []string
	start, end := -1, 0
	for _, c := range found {
		if c.Style == partno.OE {
			list = append(list, c.Text)
			if start < 0 {
				start = c.Start
			}
			end = c.End
		}
	}
	if len(list) > 0 {
		d.fill(listing.OENumbers, strings.Join(list, "; "), f.Raw[start:end], f.From)
	}
}
