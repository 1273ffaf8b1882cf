package savedpage

import (
	"errors"
	"net/url"
	"strconv"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/parse/values"
)

// Options steer the reading of a page. The zero value reads without photos.
type Options struct {
	// Photo hashes and measures the bytes of a picture. Without it no photo
	// is opened.
	Photo func(Resource) (listing.Photo, error)
	// Pages are the user's own selectors; what they find wins over all else.
	Pages []SiteSelectors
	// Currency is the ISO 4217 code to assume where a sign is shared by
	// several currencies, or "".
	Currency string
	// URL is the address of the page when the input states it outside of the
	// page (an archive's header), or "".
	URL string
	// Explain keeps every candidate in Result.Candidates.
	Explain bool
	// MaxListings and MaxPhotos bound one page; 0 means 2,000 and 60.
	MaxListings, MaxPhotos int
}

// Bounds that Options may lower or raise.
const (
	maxListings = 2000
	maxPhotos   = 60
)

// Kinds of a page.
const (
	KindListing = "listing" // the page of one item
	KindResults = "results" // a page with several offers
	KindBlocked = "no listing found: blocked page"
	KindLogin   = "no listing found: login page"
	KindEmpty   = "no listing found: empty search"
	KindArticle = "no listing found: article"
	KindNone    = "no listing found"
)

// Result is what a page holds.
type Result struct {
	Listings   []*listing.Listing
	Problems   []listing.Problem
	Kind       string // one of the Kind words
	Candidates []Candidate
}

// Candidate is one reading of a field, for a person who wants to know why a
// value was taken.
type Candidate struct {
	Listing int // index into Result.Listings, -1 when it belongs to none
	Field   listing.Name
	Raw     string
	Value   string // normalised, "" when it could not be read
	From    listing.Place
	Score   int    // the higher the better
	Why     string // what speaks for or against it, "" when only its source does
	Won     bool
}

// A Resource is a file that was saved with the page.
type Resource struct {
	File  string // as named on the command line
	Entry string // inside an archive, or the ordinal of a data: address
	Data  []byte
}

// Resources opens what a page refers to. It must not follow links, leave the
// page's folder or reach the network; the errors below say why not.
type Resources interface {
	Open(ref string) (Resource, error)
}

// Errors of [Resources].
var (
	ErrRemote   = errors.New("the reference leads to another host and is not followed")
	ErrOutside  = errors.New("the reference leaves the page's folder")
	ErrNotSaved = errors.New("the file was not saved with the page")
	ErrTooLarge = errors.New("the file is too large")
)

// reader is the state of reading one page.
type reader struct {
	p           *page
	file        string
	sha256      string
	res         Resources
	opt         Options
	hints       values.Hints
	facts       facts
	heading     string
	itemName    string
	loose       []value
	cands       []candidate // about the page's own item
	money1      []spot
	out         Result
	saved       []string // folders of the page's files
	offerCount  int
	seenRef     map[string]bool
	buttons     map[string]int // kinds of buttons by their words
	dataCount   int
	imageSource string
}

// Read reads the listings of one page. doc is UTF-8 (see [Decode]); file and
// sha256 name the capture. res may be nil. Read never fails: what could not be
// read is in Result.Problems.
func Read(doc []byte, file, sha256 string, res Resources, opt Options) Result {
	r := &reader{file: file, sha256: sha256, res: res, opt: opt, seenRef: map[string]bool{}}
	if r.opt.MaxListings <= 0 {
		r.opt.MaxListings = maxListings
	}
	if r.opt.MaxPhotos <= 0 {
		r.opt.MaxPhotos = maxPhotos
	}
	p, err := parse(doc, len(opt.Pages) > 0)
	if err != nil {
		r.out.Kind = KindNone
		r.out.Problems = append(r.out.Problems, listing.Problem{Severity: listing.Refused, File: file,
			Reason: "the page could not be parsed: " + err.Error()})
		return r.out
	}
	r.p = p
	r.read()
	r.boundProblems()
	p.release()
	return r.out
}

func (r *reader) read() {
	r.bounds()
	r.meta()
	r.pickTitle()
	r.p.inherit()
	r.setHints()
	things := append(append(r.jsonLD(), r.microdata()...), r.rdfa()...)
	r.sideHeadings()
	items := r.items(things)
	r.money1 = r.spots()
	if r.hints.DecimalMark == 0 {
		r.hints.DecimalMark = decimalMark(r.money1)
	}
	r.group(r.money1)
	r.discounts(r.money1)
	r.rank(r.money1)
	r.decide(items)
}

// bounds reports what the bounds of a page left out.
func (r *reader) bounds() {
	if r.p.pruned {
		r.out.Problems = append(r.out.Problems, listing.Problem{Severity: listing.Partial, File: r.file,
			Reason: "elements nest too deep; the inner ones were joined with the outer ones",
			Hint:   "fields whose place in the page matters may be lacking"})
	}
	if r.p.cut {
		r.out.Problems = append(r.out.Problems, listing.Problem{Severity: listing.Partial, File: r.file,
			Reason: "the page has more than 400,000 elements and texts; the rest was not read"})
	}
}

// maxProblems and maxCandidates bound what one page reports.
const (
	maxProblems   = 200
	maxCandidates = 5000
)

func (r *reader) boundProblems() {
	list := r.out.Problems
	listing.SortProblems(list)
	if n := len(list) - maxProblems; n > 0 {
		list = append(list[:maxProblems:maxProblems], listing.Problem{Severity: listing.Partial, File: r.file,
			Reason: strconv.Itoa(n) + " further problems of the page are not listed"})
	}
	r.out.Problems = list
	if len(r.out.Candidates) > maxCandidates {
		r.out.Candidates = r.out.Candidates[:maxCandidates]
	}
}

func (r *reader) setHints() {
	r.hints.Currency = r.opt.Currency
	r.hints.Language = r.p.lang
	r.hints.Host = host(r.address())
}

// address is the page's own address as far as the page or the input states it.
func (r *reader) address() string {
	for _, s := range [...]string{r.opt.URL, r.facts.canonical, r.facts.ogURL, r.facts.savedFrom} {
		if strings.Contains(s, "://") {
			return s
		}
	}
	return firstOf(r.facts.canonical, r.facts.ogURL)
}

func host(s string) string {
	u, err := url.Parse(s)
	if err != nil {
		return ""
	}
	return strings.ToLower(u.Hostname())
}

func (r *reader) put(c candidate) { r.cands = append(r.cands, c) }

func (r *reader) problem(severity listing.Severity, node int32, source, raw, reason, hint string) {
	r.out.Problems = append(r.out.Problems, listing.Problem{Severity: severity, File: r.file,
		Place: r.place(candidate{source: source, path: r.p.path(node), node: node}),
		Raw:   listing.Shorten(squeeze(clip(raw, 1000)), listing.RawLimit), Reason: reason, Hint: hint})
}
