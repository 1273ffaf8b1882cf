package workbook

import (
	"fmt"
	"io"
	"sync"
	"time"

	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// The sheets, in order.
const (
	sheetFirst      = "Read first"
	sheetSuspects   = "Suspects"
	sheetFindings   = "Findings"
	sheetMarkets    = "Markets"
	sheetSerials    = "Serials"
	sheetPhotos     = "Photos"
	sheetIncomplete = "Incomplete"
	sheetRules      = "Rules"
	sheetRun        = "Run"
)

var sheets = []string{sheetFirst, sheetSuspects, sheetFindings, sheetMarkets, sheetSerials,
	sheetPhotos, sheetIncomplete, sheetRules, sheetRun}

// Limits keep the file of a size that spreadsheet programs open; each sheet
// says when it was cut. The NDJSON file always holds everything.
const (
	maxListings = 100_000 // rows of Suspects, and of Incomplete
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
}

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
	rank     []int // by number of the listing
	judged   []*rules.Judged
	listed   []*rules.Judged // everything but the incomplete, by rank
	unclear  []*rules.Judged // the incomplete, by rank
	// extensions are XML to end a sheet with, by the name of its part.
	extensions map[string]string
}

// task is one sheet: opened, then filled, then finished.
type task struct {
	sheet  *sheet
	fill   func()
	finish func()
}

// Write writes the workbook.
func Write(w io.Writer, res *rules.Result, run *report.Run, opt Options) (err error) {
	b := &book{f: excelize.NewFile(), res: res, run: run, opt: opt, counts: report.CountsOf(run, res),
		extensions: map[string]string{}}
	defer func() {
		if e := b.f.Close(); err == nil {
			err = e
		}
	}()
	b.index()
	if err := b.setUp(); err != nil {
		return err
	}
	tasks := []task{b.first(), b.suspects(), b.findings(), b.markets(), b.serials(), b.photos(), b.incomplete(), b.catalogue(), b.account()}
	// Two at a time: the library holds what is not yet written in memory.
	var wg sync.WaitGroup
	slots := make(chan struct{}, 2)
	for _, t := range tasks {
		wg.Go(func() {
			slots <- struct{}{}
			t.fill()
			<-slots
		})
	}
	wg.Wait()
	for _, t := range tasks {
		if t.finish != nil && t.sheet.err == nil {
			t.finish()
		}
		if err := t.sheet.close(); err != nil {
			return fmt.Errorf("sheet %s: %w", t.sheet.name, err)
		}
	}
	b.f.SetZipWriter(func(w io.Writer) excelize.ZipWriter { return &archive{w: w, extensions: b.extensions} })
	_, err = b.f.WriteTo(w)
	return err
}

func (b *book) index() {
	n := len(b.res.Facts.Listings)
	b.rank, b.judged = make([]int, n), make([]*rules.Judged, n)
	for _, j := range b.res.Ranked {
		b.rank[j.N], b.judged[j.N] = j.Rank, j
		if j.Outcome == rules.TooIncomplete {
			b.unclear = append(b.unclear, j)
		} else {
			b.listed = append(b.listed, j)
		}
	}
}

func (b *book) setUp() error {
	at := b.run.AsOf.UTC()
	b.headline = "Suspect listings, as of " + at.Format("2 January 2006 15:04") + " UTC"
	for i, name := range sheets {
		if i == 0 {
			if err := b.f.SetSheetName("Sheet1", name); err != nil {
				return err
			}
			continue
		}
		if _, err := b.f.NewSheet(name); err != nil {
			return err
		}
	}
	var err error
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
