// Package values turns the raw text of a field into its normalised value. It
// is the one door through which every reader fills a listing, so that a page
// and a table come to the same value for the same words.
//
// The files: values.go the entry point and which reader serves which field;
// prices.go money, numbers.go counts and ratings, dates.go dates, text.go
// texts, identifiers and lists, countries.go country names; conditions.go,
// units.go and availability.go the closed word lists, each with its table of
// words in eight languages; derive.go what title and description tell about
// absent fields, with prose.go for the core deposit in running text.
package values

import (
	"fmt"
	"strings"
	"sync"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
)

// Hints are facts from outside a field that help to read it. The zero value,
// and a nil pointer, mean that nothing is known.
type Hints struct {
	// Currency is the ISO 4217 code to assume where a price names none or one
	// that several currencies share ("$", "kr").
	Currency string
	// Language is the BCP 47 tag of the page or table.
	Language string
	// Host is the host name of the page, without a port.
	Host string
	// DecimalMark is '.' or ',' when learned from the rest of the page or
	// column, else 0.
	DecimalMark rune
	// DateOrder tells 3 April from 4 March in "03/04/2025".
	DateOrder DateOrder
	// RatingsCounted says that plain whole numbers in a column of feedback are
	// numbers of ratings, not shares of good ones.
	RatingsCounted bool
}

// DateOrder says whether the day or the month stands first in a date written
// with digits only.
type DateOrder uint8

// The orders of a date written with digits.
const (
	OrderUnknown DateOrder = iota
	DayFirst
	MonthFirst
)

// setter is one call of Set.
type setter struct {
	listing  *listing.Listing
	name     listing.Name
	raw      string
	text     string // raw without space around it
	from     listing.Place
	hints    *Hints
	problems []listing.Problem
}

// reader reads the text of one field. It stores values and adds problems.
type reader func(*setter)

// readers says how each field is read.
var readers = [...]reader{
	listing.ListingID: (*setter).identifier, listing.URL: (*setter).address,
	listing.CapturedAt: (*setter).date, listing.Title: (*setter).line,
	listing.Brand: (*setter).line, listing.Model: (*setter).line,
	listing.PartNumber: (*setter).identifier, listing.OENumbers: (*setter).numbers,
	listing.GTIN: (*setter).gtin, listing.Condition: (*setter).condition,
	listing.UnitType: (*setter).unitType, listing.Price: (*setter).price,
	listing.Currency: (*setter).currency, listing.Shipping: (*setter).shipping,
	listing.CoreDeposit: (*setter).coreDeposit, listing.QuantityAvailable: (*setter).quantity,
	listing.LotQuantity: (*setter).lotQuantity, listing.Seller: (*setter).line,
	listing.SellerID: (*setter).identifier, listing.SellerLocation: (*setter).location,
	listing.SellerFeedback: (*setter).feedback, listing.SellerFeedbackCount: (*setter).count,
	listing.SellerSince: (*setter).date, listing.ShipsFrom: (*setter).location,
	listing.CountryOfOrigin: (*setter).origin, listing.SerialNumber: (*setter).identifier,
	listing.DateCode: (*setter).identifier, listing.Warranty: (*setter).line,
	listing.Returns: (*setter).line, listing.Description: (*setter).prose,
	listing.PhotoFiles: (*setter).fileList, listing.PhotoViews: (*setter).viewList,
	listing.PlateSerial: (*setter).identifier, listing.PlatePartNumber: (*setter).identifier,
	listing.BoxSerial: (*setter).identifier, listing.SKU: (*setter).identifier,
	listing.Availability: (*setter).availability, listing.PriceWas: (*setter).sum,
	listing.PriceKind: (*setter).priceKind, listing.PriceTax: (*setter).priceTax,
	listing.MinimumOrder: (*setter).count, listing.Contact: (*setter).line,
	listing.Language: (*setter).language,
}

// noHints stands for a nil pointer; it is never changed.
var noHints = &Hints{}

// Set normalises the raw text of one field and stores it in l, with the fields
// that the same words decide: currency, price kind, tax and lot from a price
// text, the number of ratings from a feedback text. A field that is already
// present is never overwritten by such a sideline, only by a call for itself.
//
// Text that is empty apart from space or a placeholder such as "n/a" is no
// value and no problem. Text that cannot be read becomes a [listing.Partial]
// problem that quotes it, and the field is left as it was.
func Set(l *listing.Listing, n listing.Name, raw string, from listing.Place, h *Hints) []listing.Problem {
	text := strings.TrimSpace(raw)
	if text == "" || int(n) >= len(readers) || readers[n] == nil {
		return nil
	}
	if h == nil {
		h = noHints
	}
	s := setters.Get().(*setter)
	*s = setter{listing: l, name: n, raw: raw, text: text, from: from, hints: h}
	if !s.placeholder() {
		readers[n](s)
	}
	problems := s.problems
	*s = setter{}
	setters.Put(s)
	return problems
}

// setters are used again: a table of a million rows makes twenty million calls.
var setters = sync.Pool{New: func() any { return new(setter) }}

// put stores the value of the field itself.
func (s *setter) put(value string) {
	s.listing.Set(listing.Field{Name: s.name, Value: value, Raw: s.raw, From: s.from})
}

// aside stores the value of another field that the same text decides, unless
// it is already known.
func (s *setter) aside(n listing.Name, value string) {
	if !s.listing.Has(n) {
		s.listing.Set(listing.Field{Name: n, Value: value, Raw: s.raw, From: s.from})
	}
}

func (s *setter) problem(severity listing.Severity, reason, hint string) {
	s.problems = append(s.problems, problemOf(s.listing, s.name, s.raw, s.from, severity, reason, hint))
}

// unreadable reports that the text is no value of the field.
func (s *setter) unreadable(what, hint string) {
	s.problem(listing.Partial, fmt.Sprintf("%q is not %s", listing.Shorten(s.text, 60), what), hint)
}

func problemOf(l *listing.Listing, n listing.Name, raw string, from listing.Place, severity listing.Severity, reason, hint string) listing.Problem {
	return listing.Problem{Severity: severity, File: l.File, Entry: l.Entry, Place: from, Field: n,
		Raw: listing.Shorten(raw, listing.RawLimit), Reason: reason, Hint: hint}
}

// maxPlaceholder is the length of the longest placeholder; longer texts need
// no look.
const maxPlaceholder = 24

// placeholders are the words by which exports say that there is no value.
var placeholders = phrase.NewSet(
	phrase.Of(true, "", "-, --, ---, n/a, n.a., n.a, #n/a, null, none, nan, nil, not applicable, does not apply, nicht zutreffend, keine angabe, k.a., k. a., non applicable, non renseigné, n.d., no aplica, non applicabile, nie dotyczy, brak danych, brak, нет данных, не указано, 无, 暂无, ?"),
)

// placeholder reports a text that stands for no value. In texts for people it
// is kept: a brand that "does not apply" is something the seller said.
func (s *setter) placeholder() bool {
	switch s.name {
	case listing.Brand, listing.Title, listing.Description, listing.Returns, listing.Warranty, listing.Condition:
		return false
	}
	if len(s.text) > maxPlaceholder || plainNumber(s.text) {
		return false
	}
	_, ok := placeholders.WholeOf(s.text)
	return ok
}

func plainNumber(s string) bool { return s[0] >= '0' && s[0] <= '9' }
