package evidence

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"regexp"
	"strings"
	"sync"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// Options are what the pages need beside the batch.
type Options struct {
	// Dir is the output folder of the report. Captures are linked from its
	// folder of pages; "" leaves the links out.
	Dir string
	// Limit is the largest number of pages. With 0 there are none, not even the
	// index.
	Limit int
	// Thumb gives a small JPEG of a photo and its size in pixels. It is called
	// from several goroutines. Nil, or an error, leaves the picture out.
	Thumb func(p *listing.Photo) (jpeg []byte, w, h int, err error)
	// Crop gives a small JPEG of a part of a photo, likewise.
	Crop func(p *listing.Photo, at listing.Box) (jpeg []byte, w, h int, err error)
}

// Set is the pages of one run.
type Set struct {
	res    *rules.Result
	run    *report.Run
	opt    Options
	paged  []*rules.Judged // those with a page, by rank
	alone  bool            // the page leads to no other
	look   *lookup
	files  captures
	thumbs thumbs

	specimens specimens
	cut       func(p *listing.Photo, at listing.Box) (jpeg []byte, w, h int, err error) // may be nil
}

const (
	folder    = "pages"
	indexName = "index.html"
	// generator marks the pages of this package, so that no other file is ever
	// taken for a stale page.
	generator = `<meta name="generator" content="Counterfoil evidence pages">`
)

// New prepares the pages of the first opt.Limit listings by rank whose support
// is at least weak.
func New(res *rules.Result, run *report.Run, opt Options) *Set {
	s := &Set{res: res, run: run, opt: opt, paged: report.Top(res, max(0, opt.Limit)), specimens: specimensOf(res)}
	s.look = newLookup(res, s.paged)
	s.files = newCaptures(run, wayFrom(opt.Dir))
	s.thumbs.make, s.cut = opt.Thumb, opt.Crop
	return s
}

// PageName is the name of a listing's page in the output folder, with a forward
// slash: the rank and what of the key can stand in a file name everywhere.
// Whether the page exists is for [Set.Page] to say.
func PageName(j *rules.Judged) string { return folder + "/" + pageFile(j) }

var unsafe = regexp.MustCompile(`[^a-z0-9]+`)

func pageFile(j *rules.Judged) string {
	key := unsafe.ReplaceAllString(strings.ToLower(listing.Shorten(j.Listing.Key, 40)), "-")
	key = strings.Trim(key, "-")
	if key == "" {
		key = "listing"
	}
	return fmt.Sprintf("%04d-%s.html", j.Rank, key)
}

// Page is the name of the listing's page in the output folder, "" when the set
// has none.
func (s *Set) Page(j *rules.Judged) string {
	if !s.has(j) {
		return ""
	}
	return PageName(j)
}

// has relies on the pages being those of the first ranks.
func (s *Set) has(j *rules.Judged) bool { return !s.alone && j.Rank >= 1 && j.Rank <= len(s.paged) }

// Files are the pages by rank, the index, and the removal of pages that an
// earlier run left in the folder. They belong before the account of the run in
// [report.Write], so that a crash between two renames leaves the old account
// beside whatever is new, never the other way round.
func (s *Set) Files() []report.File {
	var list []report.File
	now := map[string]bool{}
	add := func(name string, write func(io.Writer) error) {
		now[name] = true
		list = append(list, report.File{Name: folder + "/" + name, Write: write})
	}
	for _, j := range s.paged {
		add(pageFile(j), func(w io.Writer) error { return s.writePage(w, j) })
	}
	if s.opt.Limit > 0 {
		add(indexName, s.writeIndex)
	}
	for _, name := range report.LeftPages(s.opt.Dir, folder, pageForm, generator) {
		if !now[name] {
			list = append(list, report.File{Name: folder + "/" + name})
		}
	}
	return list
}

var pageForm = regexp.MustCompile(`^([0-9]{4,}-[a-z0-9-]{1,60}|index)\.html$`)

//go:embed templates
var markup embed.FS

var templates = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("").ParseFS(markup, "templates/*.html"))
})

// WriteAlone writes the page of one listing, whatever its support, to stand
// without index and other pages. link gives the way to a file of the input as
// an escaped relative address, "" where there is none. Of opt only
// Thumb and Crop count.
func WriteAlone(w io.Writer, res *rules.Result, run *report.Run, j *rules.Judged, opt Options, link func(file string) string) error {
	s := &Set{res: res, run: run, paged: []*rules.Judged{j}, alone: true, specimens: specimensOf(res)}
	s.look = newLookup(res, s.paged)
	s.files = newCaptures(run, link)
	s.thumbs.make, s.cut = opt.Thumb, opt.Crop
	return s.writePage(w, j)
}

// writePage writes the page of a listing that has one.
func (s *Set) writePage(w io.Writer, j *rules.Judged) error {
	return templates().ExecuteTemplate(w, "page.html", s.page(j))
}

// writeIndex writes the list of all pages.
func (s *Set) writeIndex(w io.Writer) error {
	return templates().ExecuteTemplate(w, "index.html", s.index())
}
