// Package parse turns the user's files into listings: it finds the files,
// tells by their content what they are, hands each to its reader on all
// processors, fingerprints the photos they name, and joins captures of one
// listing.
//
// intake.go holds the entry point, walk.go finds the files, sniff.go tells
// their kind, encoding.go their encoding, file.go hands each to its reader,
// archive.go opens containers, folder.go what a page names and nothing else,
// kept.go spares pages of an earlier run, lines.go reads for those who want the
// lines alone and spool.go keeps these on disk meanwhile,
// photos.go reads each photo once, thumbnail.go again for a report, merge.go
// joins captures, key.go names listings. The readers are the packages below this one; each gets bytes and a
// name, and opens nothing itself.
//
// Nothing here writes to the input or reaches the network. What cannot be read
// is a listing.Problem, never a reason to stop.
package parse

import (
	"cmp"
	"context"
	"maps"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"counterfoil/parse/bundle"
	"counterfoil/parse/listing"
	"counterfoil/parse/savedpage"
	"counterfoil/parse/table"
)

// Options steer the intake. The zero value reads everything it can.
type Options struct {
	Columns map[string]listing.Name   // the user's columns, see [ReadColumns]
	Pages   []savedpage.SiteSelectors // the user's selectors, see [ReadPages]
	// Encoding is the label of the encoding in which pages and tables are read,
	// see [CheckEncoding]; "" to detect it for each. A byte order mark counts
	// more.
	Encoding string
	// Photo reads a picture like [photo.Read], which it stands in for, say from a
	// cache; nil for that itself.
	Photo func(data []byte) (listing.Photo, error)

	// Positions fills [listing.Photo.Position], personal data that is otherwise
	// neither kept nor taken over from an extract.
	Positions bool

	// Kept keeps what was read from pages for later runs; nil to read all anew.
	// With the user's selectors, with positions, and when they are explained, pages
	// are read anew in each case.
	Kept PageStore

	Jobs    int  // files read at a time; 0: one for each processor
	Explain bool // fill Batch.Explained
	// Progress is called after each file and while a table is read, possibly from
	// several goroutines.
	Progress func(Progress)

	limits limits
}

// Progress is how much of the input has been read.
type Progress struct {
	Files, OfFiles int
	Bytes, OfBytes int64 // a file's count when it is done, a table's as it is read
}

// ReadColumns reads a --columns file.
func ReadColumns(name string, data []byte) (map[string]listing.Name, error) {
	return table.ReadColumns(name, data)
}

// ReadPages reads a --pages file.
func ReadPages(name string, data []byte) ([]savedpage.SiteSelectors, error) {
	return savedpage.ReadPages(name, data)
}

// Batch is all that was read.
type Batch struct {
	Captures []listing.Capture  // by file and entry
	Listings []*listing.Listing // by file, then as they stand in it
	Problems []listing.Problem  // see listing.SortProblems
	Columns  []TableColumns     // by file
	// Explained says how each page and table was understood, by file and
	// entry; only with Options.Explain.
	Explained []Explanation

	tree   *tree
	files  map[string]*source // photos and what else a thumbnail may need
	limits limits
}

// TableColumns says how the columns of one table were understood.
type TableColumns struct {
	File    string
	Columns []table.ColumnMatch
}

// Explanation says how one page or table was understood.
type Explanation struct {
	File, Entry string
	Kind        string                // of the page, else of the capture
	Candidates  []savedpage.Candidate // of a page
	Columns     []table.ColumnMatch   // of a table
	Listings    []*listing.Listing    // as read, before captures were joined
}

// limits bound one file, in bytes. A zero field takes its default.
type limits struct {
	page, table, photo int64
	bundle             bundle.Limits
}

func (l limits) withDefaults() limits {
	l.page, l.table, l.photo = cmp.Or(l.page, 64<<20), cmp.Or(l.table, 8<<30), cmp.Or(l.photo, 64<<20)
	return l
}

// outcome is what one source gave.
type outcome struct {
	captures   []listing.Capture
	listings   []*listing.Listing
	problems   []listing.Problem
	told       []listing.Problem // what an earlier run could not read, as its extract tells
	columns    []table.ColumnMatch
	explained  []Explanation
	resource   bool // belongs to a saved page and is no capture of its own
	loosePhoto bool // a picture that is used only if a listing names it
}

// Read reads the inputs. The error is for the command line (an input that does
// not exist) or the end of ctx; whatever is wrong with the data is in the
// batch's problems.
func Read(ctx context.Context, inputs []string, opt Options) (*Batch, error) {
	t, err := walk(ctx, inputs)
	if err != nil {
		return nil, err
	}
	in := newIntake(opt)
	for _, s := range t.sources {
		in.pages.addStems(s.name)
	}
	outcomes := make([]outcome, len(t.sources))
	if err := in.each(ctx, t.sources, func(i int, s *source) { outcomes[i] = in.read(ctx, s) }); err != nil {
		t.close()
		return nil, err
	}
	return in.gather(t, outcomes), nil
}

func newIntake(opt Options) *intake {
	opt.limits = opt.limits.withDefaults()
	in := &intake{opt: opt, album: newAlbum(opt.Photo), pages: names{}}
	in.album.positions = opt.Positions
	return in
}

// gather makes the batch of what the sources gave.
func (in *intake) gather(t *tree, outcomes []outcome) *Batch {
	b := &Batch{Problems: t.problems, tree: t, files: in.album.files(), limits: in.opt.limits}
	pages := names{}
	for i := range outcomes {
		for _, c := range outcomes[i].captures {
			pages.addPage(c)
		}
	}
	in.addFolders(pages)
	all := make([][]*listing.Listing, 0, len(outcomes))
	var told [][]listing.Problem
	for i, s := range t.sources {
		o := &outcomes[i]
		if o.resource || in.isResource(s.name) {
			continue
		}
		b.Problems = append(b.Problems, o.problems...)
		if o.loosePhoto && b.files[s.name] == nil {
			b.Problems = append(b.Problems, unusedPhoto(s.name))
		}
		if len(o.captures) > 0 {
			b.Captures = append(b.Captures, o.captures...)
			b.files[s.name] = s
		}
		if o.columns != nil {
			b.Columns = append(b.Columns, TableColumns{File: s.name, Columns: o.columns})
		}
		b.Explained = append(b.Explained, o.explained...)
		all = append(all, o.listings)
		if len(o.told) > 0 {
			told = append(told, o.told)
		}
	}
	var joined []listing.Problem
	b.Listings, joined = merge(all)
	b.Problems = append(b.Problems, joined...)
	b.Problems = append(b.Problems, toldAnew(b.Problems, told, named(b.Listings))...)
	b.Captures = append(b.Captures, in.album.captures()...)
	listing.SortProblems(b.Problems)
	slices.SortStableFunc(b.Captures, func(a, b listing.Capture) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Entry, b.Entry))
	})
	return b
}

func unusedPhoto(file string) listing.Problem {
	return listing.Problem{Severity: listing.Notice, File: file,
		Reason: "a photo that no page and no table row names; not used",
		Hint:   "name it in the table's photo_files column"}
}

// addPage notes a page by what was read, so that a page without a page's name has
// its folder too.
func (n names) addPage(c listing.Capture) {
	if c.Kind == kindPage && c.Entry == "" {
		n.add(strings.TrimSuffix(c.File, path.Ext(c.File)))
		n.add(c.File)
	}
}

// addFolders adds the pages that were told by what was read, and the folders
// under older names from which a page took photos.
func (in *intake) addFolders(pages names) {
	maps.Copy(in.pages, pages)
	maps.Copy(in.pages, in.album.folders)
}

// intake is the state of one reading.
type intake struct {
	opt   Options
	album *album
	pages names // directory and stem of every page-like file

	files, bytes atomic.Int64 // read so far
	ofFiles      int
	ofBytes      int64
}

// tell counts what was read.
func (in *intake) tell(ctx context.Context, files int, bytes int64) {
	f, b := in.files.Add(int64(files)), in.bytes.Add(bytes)
	if in.opt.Progress != nil && ctx.Err() == nil {
		in.opt.Progress(Progress{int(f), in.ofFiles, b, in.ofBytes})
	}
}

// each calls do for all sources from several goroutines. When ctx ends it
// returns at once: what is being read cannot be interrupted everywhere, and
// what comes of it then is dropped.
func (in *intake) each(ctx context.Context, sources []*source, do func(int, *source)) error {
	bytes := int64(0)
	for _, s := range sources {
		bytes += s.size
	}
	return in.eachOf(ctx, len(sources), bytes, func(i int) *source { return sources[i] }, do)
}

// eachOf is each for n sources that at gives, of so many bytes together.
func (in *intake) eachOf(ctx context.Context, n int, bytes int64, at func(int) *source, do func(int, *source)) error {
	jobs := in.opt.Jobs
	if jobs <= 0 {
		jobs = runtime.GOMAXPROCS(0)
	}
	in.ofFiles, in.ofBytes = n, bytes
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(jobs, n) {
		wg.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				s := at(i)
				do(i, s)
				in.tell(ctx, 1, s.size-s.counted)
			}
		})
	}
	finished := make(chan struct{})
	go func() {
		wg.Wait()
		close(finished)
	}()
	select {
	case <-finished:
	case <-ctx.Done():
	}
	return ctx.Err()
}
