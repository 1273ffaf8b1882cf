package compare

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/report/workbook"
)

// The sheets, in order.
const (
	sheetSummary = "Summary"
	sheetChanges = "Changes"
	sheetNew     = "New"
	sheetGone    = "Gone"
	sheetPrices  = "Prices"
)

// maxRows keeps sheets of a size that spreadsheet programs open; each sheet says
// when it was cut.
const maxRows = 100_000

type book struct {
	f        *excelize.File
	styles   *styles
	run      *Run
	res      *Result
	headline string
}

func digits(n int) string { return strconv.Itoa(n) }

// WriteWorkbook writes changes.xlsx. dir is the folder it goes to; captures are
// linked from there, "" leaves the links out. The same comparison and run give
// the same bytes.
func WriteWorkbook(w io.Writer, run *Run, res *Result, dir string) (err error) {
	b := &book{f: excelize.NewFile(), run: run, res: res,
		headline: "What changed, as of " + run.AsOf.UTC().Format("2 January 2006 15:04") + " UTC"}
	defer func() {
		if e := b.f.Close(); err == nil {
			err = e
		}
	}()
	if err := b.setUp(); err != nil {
		return err
	}
	rows := b.sorted()
	for _, s := range []*sheet{b.summary(), b.changes(rows[sheetChanges], dir), b.offers(sheetNew, rows[sheetNew], dir),
		b.offers(sheetGone, rows[sheetGone], dir), b.prices(rows[sheetPrices], dir)} {
		if err := s.close(); err != nil {
			return fmt.Errorf("sheet %s: %w", s.name, err)
		}
	}
	b.f.SetZipWriter(workbook.Container)
	_, err = b.f.WriteTo(w)
	return err
}

func (b *book) setUp() error {
	if err := b.f.SetSheetName("Sheet1", sheetSummary); err != nil {
		return err
	}
	for _, name := range []string{sheetChanges, sheetNew, sheetGone, sheetPrices} {
		if _, err := b.f.NewSheet(name); err != nil {
			return err
		}
	}
	var err error
	if b.styles, err = newStyles(b.f); err != nil {
		return err
	}
	stamp := b.run.AsOf.UTC().Format(time.RFC3339)
	if err := b.f.SetDocProps(&excelize.DocProperties{Creator: "Counterfoil " + b.run.Version, Title: "What changed",
		Description: "Leads, not findings: a person decides.", Created: stamp, Modified: stamp}); err != nil {
		return err
	}
	return b.f.SetAppProps(&excelize.AppProperties{Application: "Counterfoil"})
}

// numbered is a change with its number in the NDJSON file.
type numbered struct {
	n int
	*Change
}

// sorted gives the changes of each sheet, in order.
func (b *book) sorted() map[string][]numbered {
	rows := map[string][]numbered{}
	for i := range b.res.Changes {
		c := numbered{i + 1, &b.res.Changes[i]}
		switch c.Kind {
		case New, FirstLookedAt:
			rows[sheetNew] = append(rows[sheetNew], c)
		case Gone, NotLookedAt:
			rows[sheetGone] = append(rows[sheetGone], c)
		case PriceMoved:
			rows[sheetPrices] = append(rows[sheetPrices], c)
			if c.Attention != Routine {
				rows[sheetChanges] = append(rows[sheetChanges], c)
			}
		default:
			rows[sheetChanges] = append(rows[sheetChanges], c)
		}
	}
	slices.SortStableFunc(rows[sheetPrices], func(x, y numbered) int {
		switch {
		case x.Moved < y.Moved:
			return -1
		case x.Moved > y.Moved:
			return 1
		}
		return 0
	})
	return rows
}

func (b *book) summary() *sheet {
	s := b.open(sheetSummary, 0, 0, []column{{"", 20, strong}, {"", 12, whole}, {"", 96, wrapped}})
	s.put(26, as{title, "What changed"})
	s.put(15, as{note, fmt.Sprintf("Counterfoil %s. As of %s UTC.", b.run.Version, b.run.AsOf.UTC().Format("2006-01-02 15:04:05"))})
	s.put(15, as{note, "Before: " + report.Visible(sideText(&b.run.Before, &b.res.Before)) + "."})
	s.put(15, as{note, "After: " + report.Visible(sideText(&b.run.After, &b.res.After)) + "."})
	s.heading("In short")
	for _, f := range inShort(b.res) {
		s.add(f.label, f.n, f.text)
	}
	before, after := CountsOf(&b.run.Before, &b.res.Before), CountsOf(&b.run.After, &b.res.After)
	if n := before.Unread() + after.Unread(); n > 0 {
		s.add(as{warm, "Not read"}, n, fmt.Sprintf("files, rows or values could not be read, %d before and %d after; what was not read may stand as new or gone. run.json names each.", before.Unread(), after.Unread()))
	}
	for _, warning := range warnings(b.run, b.res) {
		s.add(as{warm, "Warning"}, nil, report.Sentence(warning))
	}
	s.heading("What stands out")
	top := standingOut(b.res, topN)
	if len(top) == 0 {
		s.add("Nothing", nil, "Nothing stands out in what was supplied. That clears no listing.")
	}
	for _, c := range top {
		s.add(as{warm, c.Kind.About().Title}, nil, heading(c)+"\n"+c.Statement+"\nInnocent: "+c.Kind.About().Innocent)
	}
	s.heading("How listings were joined")
	for _, n := range joinedBy(b.res) {
		if n.N > 0 {
			label := "By " + n.Of
			if n.Of == putUpAgain {
				label = "Put up again"
			}
			s.add(label, n.N, joinedMeans[n.Of])
		}
	}
	s.heading("Sheets")
	for _, row := range [][2]string{
		{sheetChanges, "Every change but the new, the gone and small price moves; what stands out first, with quotes of both sides"},
		{sheetNew, "Listings that are new"}, {sheetGone, "Listings that are gone"},
		{sheetPrices, "Every price that moved, in its own currency, the largest fall first"}} {
		s.add(as{link, row[0]}, nil, row[1])
		s.linkTo(1, "'"+row[0]+"'!A1", "Location")
	}
	s.heading("Cautions")
	for _, c := range Cautions() {
		s.add(c.Title, nil, c.Text)
	}
	return s
}

var joinedMeans = map[string]string{
	byID: "the same id on the same marketplace", byAddress: "the same address",
	bySerial: "the same serial, no id or address speaking against it", byPhotos: "the same photos at the same seller",
	byText: "nearly the same text at the same seller", byTitle: "the same title at the same seller",
	byPart: "the same seller, part, unit and condition, and no other that would do", putUpAgain: "joined to a listing that is gone or over; the reason stands with each",
}

// heading starts a block of the first sheet.
func (s *sheet) heading(text string) {
	s.put(6)
	s.put(20, as{section, text}, as{section, nil}, as{section, nil})
}

var changeColumns = []column{
	{"No.", 7, whole}, {"Look", 12, wrapped}, {"Kind", 22, strong}, {"What changed", 46, wrapped}, {"Listing", 32, wrapped}, {"Seller", 18, wrapped},
	{"Before, as quoted", 36, wrapped}, {"After, as quoted", 36, wrapped}, {"Innocent explanation", 34, wrapped}, {"Joined by", 15, wrapped},
	{"Part", 18, wrapped}, {"Capture before", 26, wrapped}, {"Capture after", 26, wrapped}, {"Key before", 18, wrapped}, {"Key after", 18, wrapped},
	{"Address as stated", 36, plain}, {"SHA-256 before", 20, plain}, {"SHA-256 after", 20, plain},
}

func (b *book) changes(rows []numbered, dir string) *sheet {
	s := b.open(sheetChanges, 3, 9, changeColumns, cut(len(rows), "Number as in changes.ndjson. What stands out comes first; many changes have an innocent explanation.")...)
	for _, c := range rows[:min(len(rows), maxRows)] {
		look := as{wrapped, strings.ReplaceAll(c.Attention.String(), "-", " ")}
		if c.Attention == StandsOut {
			look.look = warm
		}
		l := c.Listing()
		s.add(c.n, look, c.Kind.About().Title, c.Statement, shortTitle(l), seller(l), quotesOf(c.Change, "before"), quotesOf(c.Change, "after"),
			c.Kind.About().Innocent, joinedText(c.Change), c.Part, whence(c.Old), whence(c.New), keyOf(c.Old), keyOf(c.New), l.Value(listing.URL), hashOf(c.Old), hashOf(c.New))
		s.linkCapture(12, dir, c.Old)
		s.linkCapture(13, dir, c.New)
	}
	return s
}

var offerColumns = []column{
	{"No.", 7, whole}, {"Part", 20, wrapped}, {"Title", 44, wrapped}, {"Seller", 20, wrapped}, {"Condition", 14, plain}, {"Price", 12, money},
	{"Currency", 10, plain}, {"Stock", 8, whole}, {"Captured", 20, plain}, {"Remark", 38, wrapped}, {"Capture", 28, wrapped},
	{"Address as stated", 36, plain}, {"Listing key", 24, plain}, {"SHA-256", 20, plain},
}

func (b *book) offers(name string, rows []numbered, dir string) *sheet {
	about := New.About()
	if name == sheetGone {
		about = Gone.About()
	}
	s := b.open(name, 1, 11, offerColumns, cut(len(rows), about.Meaning+" "+about.Innocent)...)
	for _, c := range rows[:min(len(rows), maxRows)] {
		l := c.Listing()
		var price, stock any
		if a, ok := l.Amount(listing.Price); ok {
			price = amount(a)
		}
		if n, ok := l.Int(listing.QuantityAvailable); ok {
			stock = n
		}
		s.add(c.n, c.Part, shortTitle(l), seller(l), l.Value(listing.Condition), price, l.Value(listing.Currency), stock, l.Value(listing.CapturedAt),
			c.Statement, whence(l), l.Value(listing.URL), l.Key, l.SHA256)
		s.linkCapture(11, dir, l)
	}
	return s
}

var priceColumns = []column{
	{"No.", 7, whole}, {"Part", 20, wrapped}, {"Title", 44, wrapped}, {"Seller", 20, wrapped}, {"Was", 12, money}, {"Is", 12, money}, {"Currency", 10, plain},
	{"Moved", 12, money}, {"Per cent", 10, share}, {"Condition", 14, plain}, {"Before, as quoted", 30, wrapped}, {"After, as quoted", 30, wrapped},
	{"Joined by", 15, wrapped}, {"Capture before", 26, wrapped}, {"Capture after", 26, wrapped}, {"Key before", 18, plain}, {"Key after", 18, plain},
}

func (b *book) prices(rows []numbered, dir string) *sheet {
	s := b.open(sheetPrices, 1, 12, priceColumns, cut(len(rows), "Price of one unit without shipping, in its own currency. A price alone is never a ground for a notice.")...)
	for _, c := range rows[:min(len(rows), maxRows)] {
		currency := c.NewPrice.Currency
		var moved, percent any
		if m, ok := c.moved(); ok {
			moved, percent = amount(m), c.Moved
		} else {
			currency = c.OldPrice.Currency + " to " + c.NewPrice.Currency
		}
		s.add(c.n, c.Part, shortTitle(c.New), seller(c.New), amount(c.OldPrice), amount(c.NewPrice), currency, moved, percent, c.New.Value(listing.Condition),
			quotesOf(c.Change, "before"), quotesOf(c.Change, "after"), joinedText(c.Change), whence(c.Old), whence(c.New), c.Old.Key, c.New.Key)
		s.linkCapture(14, dir, c.Old)
		s.linkCapture(15, dir, c.New)
	}
	return s
}

// cut gives a sheet's note and, when not all rows fit, one that says so.
func cut(rows int, text string) []string {
	if rows <= maxRows {
		return []string{text}
	}
	return []string{text, fmt.Sprintf("Only the first %d of %d rows are shown; changes.ndjson holds all.", maxRows, rows)}
}

// shortTitle is a listing's title, shortened, or its key.
func shortTitle(l *listing.Listing) string {
	if t := l.Value(listing.Title); t != "" {
		return listing.Shorten(t, 200)
	}
	return l.Key
}

// quotesOf are the quotes of one side, each with its place.
func quotesOf(c *Change, side string) string {
	var list []string
	for _, e := range c.Evidence {
		if e.Side == side {
			list = append(list, fmt.Sprintf("'%s' (%s)", e.Quote, e.Place))
		}
	}
	return strings.Join(list, "\n")
}

func joinedText(c *Change) string {
	s := strings.Join(c.Basis, ", ")
	if c.Strength != "" {
		s += " (" + c.Strength + ")"
	}
	return s
}

func whence(l *listing.Listing) string {
	if l == nil {
		return ""
	}
	s := report.FileText(l.File, l.Entry)
	if l.Row > 0 {
		s += ", row " + digits(l.Row)
	}
	return s
}

func keyOf(l *listing.Listing) string {
	if l == nil {
		return ""
	}
	return l.Key
}

func hashOf(l *listing.Listing) string {
	if l == nil {
		return ""
	}
	return l.SHA256
}

func (s *sheet) linkCapture(col int, dir string, l *listing.Listing) {
	if l != nil {
		s.linkTo(col, report.Link(dir, l.File), "External")
	}
}
