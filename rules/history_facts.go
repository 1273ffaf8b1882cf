package rules

import (
	"fmt"
	"time"

	"counterfoil/parse/listing"
)

// What earlier runs saw. The time rules compare a batch with it; they know only
// the interface and the types here, not how or where it is kept.

// History gives what earlier runs kept. Package history fills it from a
// casebook.
type History interface {
	// Recall gives what was kept of what a batch shows. The order of the answer
	// must not depend on the order in which runs were recorded.
	Recall(*Question) (*Memory, error)
	// Looks gives, for each earlier run that saw a part on a marketplace, the
	// listings it saw, oldest run first.
	Looks(q *Question, market, part string) ([]Look, error)
}

// Question is what a batch asks. Sightings of runs after Until do not count,
// nor do those from the batch's own captures, so that a repeated audit gives
// the same answer as the first.
type Question struct {
	Until    time.Time
	Captures []string // SHA-256 of the batch's captures, sorted
	Traces   []Trace  // by listing
	Bound    int      // bits that the fingerprints of one picture may differ in
}

// Trace is what of a listing is kept to know it, its unit and its seller again.
// Descriptions are kept as a mark only, contacts as hashes.
type Trace struct {
	Key    string // names the listing across runs, see keyAcross
	Market string // host of the marketplace, NoMarket when unknown
	Part   string // "" when not resolved
	Unit   string // one of the Unit words, or ""

	Seller string   // key across runs, "" when not observed
	Shown  string   // displayed name of the seller
	Marks  []string // by which the trader is known again: key, name, contacts; sorted

	Title      string // at most TitleLimit runes
	Claim      string // one of claims.Claims
	ClaimQuote string // the words that decided the claim, at most TitleLimit runes
	Condition  string
	State      string // one of the Availability words, or ""

	Price    listing.Amount // of the lot, zero when there is no fixed price
	Shipping int64          // minor units, NotStated when not observed
	Lot      int            // units the price buys
	Quantity int            // units available, or NotStated
	LastOne  string         // wording such as "last one", as read, or ""
	Sold     int            // units sold as the page counts them, or NotStated
	Ratings  int            // the seller's ratings, or NotStated

	Serials []SerialSeen
	Photos  []Print
	Text    TextMark
}

const (
	NoMarket   = "-"
	NotStated  = -1
	TitleLimit = 120 // runes
)

// SerialSeen is a usable serial in canonical form and the field it stood in.
type SerialSeen struct {
	Serial string
	Field  listing.Name
}

// Print is a picture without its pixels.
type Print struct {
	SHA256      string
	Fingerprint uint64
	Mirror      uint64
	Printed     bool
	OneUnit     bool     // known to show a plate or a box label
	Labels      []string // what a person said of it: views, and features as "maker/feature/seen"; sorted
}

// Earlier is one state of a listing, as earlier runs saw it: all sightings
// between which nothing that is kept has changed.
type Earlier struct {
	Trace                 // Sold and Ratings are the least values
	ID          int64     // of the listing, as long as the history is open
	First, Last time.Time // capture time where the page states it, else run time
	LastRun     time.Time // the run of the last sighting
	Runs        int       // distinct runs
	Capture     listing.CaptureRef
}

// Look is one run's view of a part on a marketplace.
type Look struct {
	Run      time.Time
	Listings []int64 // as in Earlier.ID, ascending
}

// EarlierRun is a run that counts for a question.
type EarlierRun struct {
	At      time.Time
	Markets []string // sorted
}

// Outcome words of cases.
const (
	ConfirmedCopy    = "confirmed copy"
	ConfirmedGenuine = "confirmed genuine"
	OutcomeUnknown   = "unknown"
)

// OutcomeWords lists the words for how a case ended.
var OutcomeWords = []string{ConfirmedCopy, ConfirmedGenuine, OutcomeUnknown}

// Case is how the examination of a listing or serial ended, by a person's
// record.
type Case struct {
	Listing string // key across runs, or ""
	Serial  string // canonical, or ""
	Word    string // one of OutcomeWords
	Date    time.Time
	Basis   string // "test purchase, report of the maker"
}

// Memory is the answer to a question.
type Memory struct {
	Runs []EarlierRun // oldest first
	// Earlier holds all states of the listings of the batch; of those that share
	// a serial with it; of those that share a picture or a description with a
	// listing of it that is new or whose seller is; and of those that have a case,
	// with all that share a picture with them. It is sorted by key, first sighting
	// and capture. Pictures and descriptions that very many sellers use may be
	// left out, and of one seller's listings with the same one all but those seen
	// last that are not in the batch.
	Earlier []Earlier
	IDs     map[string]int64 // of the listings of the batch that an earlier run saw, by key
	Cases   []Case           // of listings all, of serials those of the batch; by listing, serial, word
	Known   []string         // marks of traders of the batch that an earlier run saw, sorted
}

// Remember gives the traces of a batch.
func Remember(f *Facts) []Trace {
	if f.Past != nil {
		return f.Past.Traces
	}
	return f.traces()
}

// buildPast asks the history, if there is one.
func (f *Facts) buildPast() error {
	if f.History == nil {
		return nil
	}
	q := &Question{Until: f.AsOf, Captures: f.captureSums(), Traces: f.traces(), Bound: f.photoBound()}
	memory, err := f.History.Recall(q)
	if err != nil {
		return fmt.Errorf("cannot read the casebook: %w", err)
	}
	if f.Past, err = newPast(f, q, memory); err != nil {
		return fmt.Errorf("cannot read the casebook: %w", err)
	}
	return nil
}
