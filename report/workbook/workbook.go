package workbook

import (
	"cmp"
	"fmt"
	"io"
	"sync"
	"time"

	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/market"
	"counterfoil/rules/settings"
)

// The sheets, in order.
const (
	sheetFirst      = "Read first"
	sheetSuspects   = "Suspects"
	sheetOffers     = "Offers to consider" // with a wanted part
	sheetArrival    = "Arrival inspection" // with a wanted part
	sheetOwn        = "Own listings"       // with own listings
	sheetRivals     = "Rivals by part"     // with own prices
	sheetFindings   = "Findings"
	sheetMarkets    = "Markets"
	sheetSellers    = "Sellers"
	sheetSerials    = "Serials"
	sheetPhotos     = "Photos"
	sheetIncomplete = "Incomplete"
	sheetRules      = "Rules"
	sheetRun        = "Run"
)

// Limits keep the file of a size that spreadsheet programs open; each sheet
// says when it was cut. The NDJSON file always holds everything.
const (
	maxListings = 1_000_000 // rows of Suspects, and of Incomplete
	maxFindings = 250_000
	maxMarkets  = 20_000
	maxSerials  = 20_000
	maxGroups   = 5_000
	maxRunRows  = 100_000
	maxLinks    = 2_000 // links to captures on a sheet
	maxPictured = 60    // photo groups with thumbnails
	maxThumbs   = 6     // thumbnails of a group
)

// Options are what the workbook needs beside the batch.
type Options struct {
	// Dir is the folder the workbook goes to; captures are linked from there. ""
	// leaves the links out.
	Dir string
	// Thumb gives a small JPEG of a photo and its size in pixels. Nil, or an
	// error, leaves the picture out.
	Thumb func(p *listing.Photo) (jpeg []byte, w, h int, err error)
	// Page gives the evidence page of a listing, as a path from Dir with forward
	// slashes, "" when it has none. Nil leaves the links out.
	Page func(j *rules.Judged) string
	// Groups are [report.SellerGroups] of the batch; nil gathers them.
	Groups []*report.SellerGroup
	// GroupPage gives the page of a group of sellers by its number, in the same
	// way; nil leaves the links out.
	GroupPage func(number int) string
	// Wanted is the part for which offers are looked for; nil leaves the buyer's
	// sheets out.
	Wanted *report.Wanted
	// Own holds the listings that were set apart as the user's; may be nil.
	Own *report.Own
	// Rows is how many listings stand on the sheets Suspects and Incomplete, and
	// with their findings on Findings, the first by rank; 0 is [DefaultRows].
	// Listings with a decision always stand there.
	Rows int
	// Stop is asked again and again while the workbook is made; an error ends the
	// making and is handed on. May be nil.
	Stop func() error
	// OwnPrices are the user's costs and list prices; none leaves the sheet of
	// rivals out.
	OwnPrices []settings.OwnPrice
}

// DefaultRows is more than a person works through, and few enough for every
// spreadsheet program.
const DefaultRows = 10_000

// File is the workbook as a file of the report.
func File(res *rules.Result, run *report.Run, opt Options) report.File {
	return report.File{Name: "suspects.xlsx", Write: func(w io.Writer) error { return Write(w, res, run, opt) }}
}

// book is a workbook being written.
type book struct {
	f        *excelize.File
	styles   *styles
	res      *rules.Result
	run      *report.Run
	opt      Options
	counts   report.Counts
	headline string
	sheets   []string // in order
	rank     []int    // by number of the listing, 0 for one set apart
	doubted  []bool   // by number: called suspect or a copy
	listed   rows     // everything but the incomplete
	unclear  rows     // the incomplete
	archive  *archive

	also      map[*rules.Gap]string // by the first gap of a list; see alsoAsk
	groupOnce sync.Once             // fills what follows; see groups
	groupBy   map[string]*report.SellerGroup
	thumbs    map[string]thumb // by SHA-256; see thumbOf
	thumbLock sync.Mutex
	rateOnce  sync.Once
	rateTable *market.Rates
}

// task is one sheet: opened, then filled, then finished.
type task struct {
	sheet  *sheet
	fill   func()
	finish func()
}

// run fills the sheet, and hands its rows on as they come.
func (t *task) run() {
	s := t.sheet
	if s.feed == nil {
		return
	}
	go s.feed.write()
	t.fill()
	ended := s.feed.end()
	s.do(func() error { return ended })
	s.do(s.feed.move)
	closed := s.feed.f.Close()
	s.do(func() error { return closed })
	s.feed = nil
}

// Write writes the workbook.
func Write(w io.Writer, res *rules.Result, run *report.Run, opt Options) (err error) {
	b := &book{res: res, run: run, opt: opt, counts: report.CountsOf(run, res), thumbs: map[string]thumb{},
		also: map[*rules.Gap]string{}}
	// The archive writes to w by itself: the buffer that the library would collect
	// the whole file in stays empty.
	b.archive = newArchive(w, opt.stopped)
	b.index()
	if err := b.setUp(); err != nil {
		return err
	}
	defer func() {
		if e := b.f.Close(); err == nil {
			err = e
		}
	}()
	tasks := b.fill()
	for _, t := range tasks {
		if t.finish != nil && t.sheet.err == nil {
			t.finish()
		}
		if err := t.sheet.close(); err != nil {
			return fmt.Errorf("sheet %s: %w", t.sheet.name, err)
		}
	}
	b.f.SetZipWriter(func(io.Writer) excelize.ZipWriter { return b.archive })
	_, err = b.f.WriteToBuffer()
	return err
}

// fill opens and fills the sheets: one after the other those that have a row or
// more for each listing, since the library holds 20 MB of each, and beside them the
// others.
func (b *book) fill() []*task {
	large, small := make(chan *task, len(b.sheets)), make(chan *task, len(b.sheets))
	var wg sync.WaitGroup
	for _, queue := range []chan *task{large, small} {
		wg.Go(func() {
			for t := range queue {
				t.run()
			}
		})
	}
	var tasks []*task
	for _, name := range b.sheets {
		t := b.taskOf(name)
		tasks = append(tasks, &t)
		if name == sheetSuspects || name == sheetFindings || name == sheetIncomplete {
			large <- &t
		} else {
			small <- &t
		}
	}
	close(large)
	close(small)
	wg.Wait()
	return tasks
}

// stopped is the error of Stop.
func (o *Options) stopped() error {
	if o.Stop == nil {
		return nil
	}
	return o.Stop()
}

// wantedSheets lists the sheets of this workbook in their order.
func (b *book) wantedSheets() []string {
	list := []string{sheetFirst}
	if b.opt.Own != nil {
		list = append(list, sheetOwn)
	}
	if b.opt.Wanted != nil {
		list = append(list, sheetOffers, sheetArrival)
	}
	if len(b.opt.OwnPrices) > 0 {
		list = append(list, sheetRivals)
	}
	return append(list, sheetSuspects, sheetFindings, sheetMarkets, sheetSellers, sheetSerials,
		sheetPhotos, sheetIncomplete, sheetRules, sheetRun)
}

func (b *book) taskOf(name string) task {
	switch name {
	case sheetFirst:
		return b.first()
	case sheetOwn:
		return b.ownListings()
	case sheetOffers:
		return b.offers()
	case sheetArrival:
		return b.arrival()
	case sheetRivals:
		return b.rivals()
	case sheetSuspects:
		return b.suspects()
	case sheetFindings:
		return b.findings()
	case sheetMarkets:
		return b.markets()
	case sheetSellers:
		return b.sellers()
	case sheetSerials:
		return b.serials()
	case sheetPhotos:
		return b.photos()
	case sheetIncomplete:
		return b.incomplete()
	case sheetRules:
		return b.catalogue()
	}
	return b.account()
}

func (b *book) index() {
	b.sheets = b.wantedSheets()
	b.rank, b.doubted = make([]int, len(b.res.Facts.Listings)), make([]bool, len(b.res.Facts.Listings))
	limit := min(cmp.Or(b.opt.Rows, DefaultRows), maxListings)
	for _, j := range b.res.Ranked {
		b.rank[j.N] = j.Rank
		b.doubted[j.N] = j.Outcome == rules.DeceptionSuspected || j.Outcome == rules.CopyOpenlySold
		to := &b.listed
		if j.Outcome == rules.TooIncomplete {
			to = &b.unclear
		}
		_, _, decided := b.run.Decided.Of(j)
		to.add(j, j.Rank <= limit || decided)
	}
}

// rows are the listings of one sheet, by rank.
type rows struct {
	shown []*rules.Judged
	all   int // with those that are not shown
}

func (r *rows) add(j *rules.Judged, show bool) {
	r.all++
	if show && len(r.shown) < maxListings {
		r.shown = append(r.shown, j)
	}
}

// cut says on the sheet that listings are left out.
func (r *rows) cut() string {
	if len(r.shown) == r.all {
		return ""
	}
	return fmt.Sprintf("Only %d of %d listings are shown, the first by rank and those with a decision; suspects.ndjson holds all (--rows shows more).", len(r.shown), r.all)
}

func (b *book) setUp() error {
	at := b.run.AsOf.UTC()
	b.headline = "Suspect listings, as of " + at.Format("2 January 2006 15:04") + " UTC"
	var err error
	if b.f, err = newFile(b.sheets); err != nil {
		return err
	}
	if b.styles, err = newStyles(b.f); err != nil {
		return err
	}
	stamp := at.Format(time.RFC3339)
	if err := b.f.SetDocProps(&excelize.DocProperties{Creator: "Counterfoil " + b.run.Version, Title: "Suspect listings",
		Description: "Leads, not findings: a person decides.", Created: stamp, Modified: stamp}); err != nil {
		return err
	}
	return b.f.SetAppProps(&excelize.AppProperties{Application: "Counterfoil"})
}

// newFile is a workbook of empty sheets.
func newFile(names []string) (*excelize.File, error) {
	f := excelize.NewFile()
	if err := f.SetSheetName("Sheet1", names[0]); err != nil {
		return nil, err
	}
	for _, name := range names[1:] {
		if _, err := f.NewSheet(name); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// partOf names the part of a sheet by its number from 0.
func partOf(n int) string { return fmt.Sprintf("xl/worksheets/sheet%d.xml", n+1) }

func (b *book) printTitles(name string, row int) error {
	return b.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: name,
		RefersTo: fmt.Sprintf("'%s'!$%d:$%d", name, row, row)})
}

func (b *book) printArea(name string, columns int) error {
	last, err := excelize.ColumnNumberToName(columns)
	if err != nil {
		return err
	}
	return b.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: name,
		RefersTo: fmt.Sprintf("'%s'!$A:$%s", name, last)})
}

// seller is the displayed name of a listing's seller, or that there is none.
func seller(l *listing.Listing) string {
	if s := l.Value(listing.Seller); s != "" {
		return s
	}
	if s := l.Value(listing.SellerID); s != "" {
		return s
	}
	return "not observed"
}

// heading is a listing's title, or its key.
func heading(l *listing.Listing) string {
	if s := l.Value(listing.Title); s != "" {
		return s
	}
	return l.Key
}

// cutNote says that a sheet holds only the first rows, "" when it holds all.
func cutNote(shown, all int, what string) string {
	if shown >= all {
		return ""
	}
	return fmt.Sprintf("Only the first %d of %d %s are shown; suspects.ndjson holds all.", shown, all, what)
}

// notes drops empty lines.
func notes(lines ...string) []string {
	var out []string
	for _, l := range lines {
		if l != "" {
			out = append(out, l)
		}
	}
	return out
}
