// Package money reads a price as people write it: "1.234,50 €", "US $1,234.50",
// "ab 120 zł brutto", "价格面议".
//
// The files: money.go the result and the whole reading, scan.go how the price is
// picked out of its text, number.go digits with their grouping and decimal mark, currency.go how a currency is
// found and an ambiguous one decided, symbols.go the table of currencies,
// words.go the words around a price in eight languages.
//
// A wrong price is worse than none: text that is not wholly understood as a
// number is an error, and what was decided by convention is reported as a
// [Doubt].
package money

import (
	"errors"
	"fmt"
	"strings"

	"counterfoil/parse/listing"
)

// MaxLength is the longest text, in bytes, that [Parse] reads as a price.
const MaxLength = 1000

// Price is what a price text says.
type Price struct {
	// Amount is a plain decimal number: no grouping, full stop as decimal
	// mark. It is "" when Kind is [listing.PriceRequest].
	Amount string
	// High is the upper end of a range ("26 to 50 €"), same form, or "".
	High string
	// Currency is an ISO 4217 code, or "" when none is named, when it is not
	// in the standard's list, or when it is ambiguous.
	Currency string
	// CurrencyText is the currency as written, or "".
	CurrencyText string
	// Ambiguous says that CurrencyText may mean several currencies and that
	// no hint decided. Candidates then lists them.
	Ambiguous  bool
	Candidates []string
	Kind       string // one of the listing's PriceKind words
	Tax        string // one of the listing's Tax words, or ""
	PerUnit    bool   // "each", "/pc"
	Lot        int    // the number of units in "/ 2 pcs", else 0
	Doubts     []Doubt
}

// Doubt is a way in which a price text allows another reading.
type Doubt string

// The doubts that Parse reports.
const (
	// OneSeparator: a single full stop or comma before three digits was taken
	// for grouping, as in "1.234".
	OneSeparator Doubt = "one separator before three digits"
	// SeveralAmounts: another amount stands in the text, and no word says
	// which one is the price.
	SeveralAmounts Doubt = "several amounts"
	// Instalment: the amount is one rate of several, or is due periodically.
	Instalment Doubt = "an instalment"
	// UpperBound: the text says "up to".
	UpperBound Doubt = "an upper bound"
	// OtherUnit: the amount is for a measure, such as a kilogram.
	OtherUnit Doubt = "a price per other unit"
)

// Has reports whether the price carries the doubt.
func (p *Price) Has(d Doubt) bool {
	for _, x := range p.Doubts {
		if x == d {
			return true
		}
	}
	return false
}

func (p *Price) doubt(d Doubt) {
	if !p.Has(d) {
		p.Doubts = append(p.Doubts, d)
	}
}

// Hints are facts from outside the text that help to read it.
type Hints struct {
	Currency     string // ISO 4217 code that another field gives
	CurrencyText string // text of another field that may name the currency
	Language     string // BCP 47 tag of the page or table
	Host         string // host name of the page
	DecimalMark  rune   // '.' or ',' when learned from other prices, else 0
}

// maxNumbers bounds the work on one text; a price has few numbers around it.
const maxNumbers = 20

var errManyNumbers = errors.New("too many numbers for a price")

// Errors of [Parse] that callers tell apart.
var (
	ErrNoAmount = errors.New("no amount in the text")
	ErrTooLong  = fmt.Errorf("more than %d bytes, which is no price", MaxLength)
)

// Parse reads a price text. On an error the result holds at most the currency.
func Parse(text string, h Hints) (Price, error) {
	if len(text) > MaxLength {
		return Price{}, ErrTooLong
	}
	if p, ok := parsePlain(text, h); ok {
		return p, nil
	}
	if p, ok := parseShort(text, h); ok {
		return p, nil
	}
	return parseLong(text, h)
}

func parseLong(text string, h Hints) (Price, error) {
	s := scan(text)
	if len(s.numbers) > maxNumbers || len(s.currencies) > maxNumbers {
		return Price{}, errManyNumbers
	}
	p := Price{Kind: listing.PriceFixed}
	s.readWords(&p)
	main, high, err := s.choose(&p)
	s.setCurrency(&p, main, h)
	if err != nil {
		return p, err
	}
	if p.Kind == listing.PriceRequest {
		return p, nil
	}
	if err := s.setAmounts(&p, main, high, h); err != nil {
		return Price{Currency: p.Currency, CurrencyText: p.CurrencyText}, err
	}
	return p, nil
}

// parsePlain is the short way for a table's plain numbers such as "312.40".
func parsePlain(text string, h Hints) (Price, bool) {
	whole, fraction, found := strings.Cut(text, ".")
	if whole == "" || len(whole) > maxDigits || !digitsOnly(whole) || whole[0] == '0' {
		return Price{}, false
	}
	if found && (len(fraction) != 2 && len(fraction) != 1 || !digitsOnly(fraction)) {
		return Price{}, false
	}
	p := Price{Amount: text, Kind: listing.PriceFixed}
	(&scanned{}).setCurrency(&p, nil, h)
	return p, true
}

func digitsOnly(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return true
}

func (s *scanned) setAmounts(p *Price, main, high *number, h Hints) error {
	mark := separatorHint{decimal: h.DecimalMark, digits: minorDigits(p, h)}
	amount, doubtful, err := main.value(mark)
	if err != nil {
		return err
	}
	p.Amount = amount
	if doubtful {
		p.doubt(OneSeparator)
	}
	if high == nil {
		return nil
	}
	// Both ends of a range are written alike.
	p.High, _, err = high.value(mark)
	if err != nil {
		return err
	}
	if !less(p.Amount, p.High) {
		return fmt.Errorf("%s to %s is not a range", main.text, high.text)
	}
	p.Kind = listing.PriceFrom
	return nil
}

// minorDigits gives the decimals of the price's currency; -1 when unknown.
func minorDigits(p *Price, h Hints) int {
	code := p.Currency
	if code == "" && !p.Ambiguous {
		code = h.Currency
	}
	if digits, ok := listing.MinorUnits(code); ok {
		return digits
	}
	return -1
}

// less compares two plain decimal numbers without leading zeros.
func less(a, b string) bool {
	aw, af, _ := strings.Cut(a, ".")
	bw, bf, _ := strings.Cut(b, ".")
	if len(aw) != len(bw) {
		return len(aw) < len(bw)
	}
	if aw != bw {
		return aw < bw
	}
	return strings.TrimRight(af, "0") < strings.TrimRight(bf, "0")
}
