package calibrate

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"counterfoil/parse/listing/strict"
)

// The words for an outcome.
const (
	ConfirmedCopy    = "confirmed copy"
	ConfirmedGenuine = "confirmed genuine"
	OutcomeUnknown   = "unknown"
)

// Outcome is what a person confirmed about a listing.
type Outcome struct {
	Listing string // its key, as in suspects.ndjson
	Outcome string // one of the words above
	Date    time.Time
	Basis   string // what the confirmation rests on
	Line    int
}

var (
	outcomeWords   = []string{ConfirmedCopy, ConfirmedGenuine, OutcomeUnknown}
	outcomeColumns = []string{"listing", "outcome", "date", "basis"}
)

// ReadOutcomes reads a comma-separated table with the columns listing, outcome,
// date and basis, in any order; lines that start with # are comments. A listing
// may stand several times with different dates: the latest counts. basis may be
// empty only for an unknown outcome. All mistakes are returned together, with
// line and column.
func ReadOutcomes(file string, data []byte) ([]Outcome, error) {
	var list []Outcome
	seen := map[string]int{} // lines, by listing and date
	err := strict.Table(file, data, outcomeColumns, nil, func(r strict.Row) {
		o := Outcome{Listing: r.Cells["listing"], Outcome: strings.ToLower(r.Cells["outcome"]), Basis: r.Cells["basis"], Line: r.Line}
		if o.Listing == "" {
			r.Fail("listing", "listing is empty")
		}
		if !utf8.ValidString(o.Listing) {
			r.Fail("listing", "listing is not UTF-8")
		}
		if !slices.Contains(outcomeWords, o.Outcome) {
			r.Fail("outcome", "%q is not one of %s", r.Cells["outcome"], strings.Join(outcomeWords, ", "))
		}
		o.Date = r.Day("date")
		if o.Basis == "" && o.Outcome != OutcomeUnknown {
			r.Fail("basis", "basis is empty: say what the confirmation rests on, such as 'examined by the maker'")
		}
		if o.Listing != "" {
			key := o.Listing + "\x00" + r.Cells["date"]
			if before, twice := seen[key]; twice {
				r.Fail("listing", "%q stands in line %d already, with the same date", o.Listing, before)
			}
			seen[key] = r.Line
		}
		list = append(list, o)
	})
	if err != nil {
		return nil, err
	}
	return list, nil
}
