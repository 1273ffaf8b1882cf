// Package parse turns the user's files into listings: it finds the files,
// tells by their content what they are, hands each to its reader on all
// processors, fingerprints the photos they name, and joins captures of one
// listing.
//
// walk.go finds the files, sniff.go tells their kind, folder.go opens what a
// page names and nothing else, photos.go reads each photo once, merge.go joins
// captures. The readers are the packages below this one; each gets bytes and a
// name, and opens nothing itself.
//
// Nothing here writes to the input or reaches the network. What cannot be read
// is a listing.Problem, never a reason to stop.
package parse

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"path"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"counterfoil/parse/bundle"
	"counterfoil/parse/listing"
	"counterfoil/parse/photo"
	"counterfoil/parse/savedpage"
	"counterfoil/parse/table"
)

// Options steer the intake. The zero value reads everything it can.
type Options struct {
	Columns map[string]listing.Name   // the user's columns, see [ReadColumns]
	Pages   []savedpage.SiteSelectors // the user's selectors, see [ReadPages]
	Jobs    int                       // files read at a time; 0: one for each processor
	// Progress is called after each file, possibly from several goroutines.
	Progress func(done, total int)
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

	tree  *tree
	files map[string]*source // photos and what else a thumbnail may need
}

// TableColumns says how the columns of one table were understood.
type TableColumns struct {
	File    string
	Columns []table.ColumnMatch
}

// Bounds on one file, in bytes.
const (
	maxPage  = 64 << 20
	maxTable = 8 << 30
)

// outcome is what one source gave.
type outcome struct {
	captures   []listing.Capture
	listings   []*listing.Listing
	problems   []listing.Problem
	columns    []table.ColumnMatch
	resource   bool // belongs to a saved page and is no capture of its own
	loosePhoto bool // a picture that is used only if a listing names it
}

// Read reads the inputs. The error is for the command line (an input that does
// not exist) or the end of ctx; whatever is wrong with the data is in the
// batch's problems.
func Read(ctx context.Context, inputs []string, opt Options) (*Batch, error) {
	t, err := walk(inputs)
	if err != nil {
		return nil, err
	}
	in := &intake{opt: opt, album: newAlbum(), pages: pageStems(t.sources)}
	outcomes := make([]outcome, len(t.sources))
	in.each(ctx, t.sources, func(i int, s *source) { outcomes[i] = in.read(ctx, s) })
	if err := ctx.Err(); err != nil {
		t.close()
		return nil, err
	}

	b := &Batch{Problems: t.problems, tree: t, files: in.album.files()}
	var all []*listing.Listing
	for i, s := range t.sources {
		o := &outcomes[i]
		b.Problems = append(b.Problems, o.problems...)
		if o.resource {
			continue
		}
		if o.loosePhoto && b.files[s.name] == nil {
			b.Problems = append(b.Problems, listing.Problem{Severity: listing.Notice, File: s.name,
				Reason: "a photo that no page and no table row names; not used",
				Hint:   "name it in the table's photo_files column"})
		}
		if len(o.captures) > 0 {
			b.Captures = append(b.Captures, o.captures...)
			b.files[s.name] = s
		}
		if o.columns != nil {
			b.Columns = append(b.Columns, TableColumns{File: s.name, Columns: o.columns})
		}
		all = append(all, o.listings...)
	}
	var joined []listing.Problem
	b.Listings, joined = merge(all)
	b.Problems = append(b.Problems, joined...)
	b.Captures = append(b.Captures, in.album.captures()...)
	listing.SortProblems(b.Problems)
	slices.SortStableFunc(b.Captures, func(a, b listing.Capture) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Entry, b.Entry))
	})
	return b, nil
}

// intake is the state of one reading.
type intake struct {
	opt   Options
	album *album
	pages map[string]bool // directory and stem of every page-like file
}

// each calls do for all sources from several goroutines until ctx ends.
func (in *intake) each(ctx context.Context, sources []*source, do func(int, *source)) {
	jobs := in.opt.Jobs
	if jobs <= 0 {
		jobs = runtime.GOMAXPROCS(0)
	}
	var next, done atomic.Int64
	var wg sync.WaitGroup
	for range min(jobs, len(sources)) {
		wg.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= len(sources) {
					return
				}
				do(i, sources[i])
				n := done.Add(1)
				if in.opt.Progress != nil {
					in.opt.Progress(int(n), len(sources))
				}
			}
		})
	}
	wg.Wait()
}

// pageStems notes the files that may be pages, so that a folder of saved files
// is told from a folder of captures.
func pageStems(sources []*source) map[string]bool {
	stems := map[string]bool{}
	for _, s := range sources {
		switch ext := path.Ext(s.name); ext {
		case ".html", ".htm", ".xhtml", ".shtml", ".php", ".asp", ".aspx":
			stems[s.name[:len(s.name)-len(ext)]] = true
		}
	}
	return stems
}

// isResource reports whether a file lies in the folder of a saved page.
func (in *intake) isResource(s *source) bool {
	for dir := path.Dir(s.name); dir != "." && dir != "/"; dir = path.Dir(dir) {
		if stem := pageOfFolder(path.Base(dir)); stem != "" && in.pages[path.Join(path.Dir(dir), stem)] {
			return true
		}
	}
	return false
}

func (in *intake) read(ctx context.Context, s *source) outcome {
	if in.isResource(s) {
		return outcome{resource: true}
	}
	head, err := s.head()
	if err != nil {
		return s.refuse(reasonOf(err), "check that the file may be read")
	}
	kind, reason, hint := sniff(head)
	switch kind {
	case kindPage:
		return in.page(s)
	case kindTable:
		return in.table(ctx, s, table.Stream)
	case kindExtract:
		return in.table(ctx, s, table.StreamLines)
	case kindWorkbook:
		return in.table(ctx, s, table.StreamWorkbook)
	case kindArchive:
		return in.archive(ctx, s)
	case kindPhoto:
		return outcome{loosePhoto: true}
	}
	return s.refuse(reason, hint)
}

// head gives the first bytes of a file.
func (s *source) head() ([]byte, error) {
	f, err := s.root.Open(s.rel)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, sniffSize))
}

func (s *source) refuse(reason, hint string) outcome {
	return outcome{problems: []listing.Problem{{Severity: listing.Refused, File: s.name, Reason: reason, Hint: hint}}}
}

func (s *source) capture(kind, sha string, size int64, listings int) listing.Capture {
	return listing.Capture{File: s.name, SHA256: sha, Size: size, Kind: kind, Modified: s.modified, Listings: listings}
}

// whole reads a file of at most limit bytes with its hash.
func (s *source) whole(limit int64) (data []byte, sha string, refused *outcome) {
	data, err := s.read(limit)
	if err != nil {
		hint := "check that the file may be read"
		var large tooLarge
		if errors.As(err, &large) {
			hint = "split it or leave it out"
		}
		o := s.refuse(reasonOf(err), hint)
		return nil, "", &o
	}
	sum := sha256.Sum256(data)
	return data, hex.EncodeToString(sum[:]), nil
}

func (in *intake) page(s *source) outcome {
	data, sha, refused := s.whole(maxPage)
	if refused != nil {
		return *refused
	}
	return in.pageOf(data, pageAt{file: s.name, sha: sha, modified: s.modified}, folderOf(s, in.album))
}

// pageAt says where a page was found.
type pageAt struct {
	file, entry string
	sha         string
	modified    time.Time
	// What a container states of the page; "" when nothing.
	contentType, url, date string
}

func (in *intake) pageOf(data []byte, at pageAt, files savedpage.Resources) outcome {
	doc, _, note := savedpage.Decode(data, at.contentType)
	res := savedpage.Read(doc, at.file, at.sha, files, savedpage.Options{Photo: in.album.read, Pages: in.opt.Pages, URL: at.url})
	o := outcome{listings: res.Listings, problems: res.Problems}
	if note != "" {
		o.problems = append(o.problems, listing.Problem{Severity: listing.Notice, File: at.file, Reason: note})
	}
	if len(res.Listings) == 0 && len(res.Problems) == 0 {
		o.problems = append(o.problems, listing.Problem{Severity: listing.Refused, File: at.file, Reason: res.Kind,
			Hint: "open the offer's own page and save it again"})
	}
	for i := range o.problems {
		o.problems[i].Entry = cmp.Or(at.entry, o.problems[i].Entry)
	}
	for _, l := range o.listings {
		l.Entry = at.entry
		if at.date != "" && !l.Has(listing.CapturedAt) {
			l.Set(listing.Field{Name: listing.CapturedAt, Value: at.date, Raw: at.date, From: listing.Place{Source: "container"}})
		}
	}
	o.captures = []listing.Capture{{File: at.file, Entry: at.entry, SHA256: at.sha, Size: int64(len(data)),
		Kind: kindPage, Modified: at.modified, Listings: len(o.listings)}}
	return o
}

// streamer is the shape of the readers of tables.
type streamer func(r io.Reader, file string, opt table.Options, yield func(*listing.Listing)) table.Result

func (in *intake) table(ctx context.Context, s *source, stream streamer) outcome {
	if s.size > maxTable {
		return s.refuse(tooLarge{s.size, maxTable}.Error(), "split it or leave it out")
	}
	f, err := s.root.Open(s.rel)
	if err != nil {
		return s.refuse(reasonOf(err), "check that the file may be read")
	}
	defer f.Close()
	hash := sha256.New()
	size := new(counter)
	var o outcome
	r := io.TeeReader(&stoppable{ctx, f}, io.MultiWriter(hash, size))
	res := stream(r, s.name, table.Options{Columns: in.opt.Columns}, func(l *listing.Listing) {
		o.listings = append(o.listings, l)
	})
	if _, err := io.Copy(io.Discard, r); err != nil && len(res.Problems) == 0 {
		res.Problems = append(res.Problems, listing.Problem{Severity: listing.Refused, File: s.name, Reason: reasonOf(err)})
	}
	sha := hex.EncodeToString(hash.Sum(nil))
	o.problems, o.columns = res.Problems, res.Columns
	files := folderOf(s, in.album)
	for _, l := range o.listings {
		if l.SHA256 == "" {
			l.SHA256 = sha
		}
		if len(l.Photos) > 0 && l.File == s.name {
			o.problems = append(o.problems, in.album.resolve(l, files)...)
		}
	}
	o.captures = []listing.Capture{s.capture(kindTable, sha, int64(*size), len(o.listings))}
	if len(o.listings) == 0 && len(o.problems) == 0 {
		o.problems = append(o.problems, listing.Problem{Severity: listing.Refused, File: s.name, Reason: "no row that could be read as a listing"})
	}
	return o
}

type counter int64

func (c *counter) Write(p []byte) (int, error) {
	*c += counter(len(p))
	return len(p), nil
}

// stoppable ends a long reading when ctx ends.
type stoppable struct {
	ctx context.Context
	r   io.Reader
}

func (s *stoppable) Read(p []byte) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	return s.r.Read(p)
}

// Thumbnail gives a small JPEG of a photo of the batch, for reports. The file
// is read again, since pixels are not kept.
func (b *Batch) Thumbnail(p *listing.Photo, side int) (jpeg []byte, w, h int, err error) {
	s := b.files[p.File]
	if s == nil {
		return nil, 0, 0, fmt.Errorf("%s: not a file of this batch", p.File)
	}
	data, err := s.read(maxPhoto)
	if err != nil {
		return nil, 0, 0, err
	}
	if p.Entry != "" {
		if data, err = entryOf(s, data, p.Entry); err != nil {
			return nil, 0, 0, err
		}
	}
	return photo.Thumbnail(data, side)
}

// entryOf finds a picture that lies inside a container or page, by reading it
// again.
func entryOf(s *source, page []byte, entry string) (data []byte, err error) {
	if arch, _ := bundle.Open(bytes.NewReader(page), int64(len(page)), s.name, bundle.Limits{}); arch != nil {
		e, err := arch.Read(entry)
		return e.Data, err
	}
	doc, _, _ := savedpage.Decode(page, "")
	savedpage.Read(doc, s.name, "", nil, savedpage.Options{Photo: func(r savedpage.Resource) (listing.Photo, error) {
		if r.Entry == entry {
			data = r.Data
		}
		return photo.Read(r.Data)
	}})
	if data == nil {
		return nil, fmt.Errorf("%s: no picture %s", s.name, entry)
	}
	return data, nil
}

// Close lets go of the folders that were read.
func (b *Batch) Close() { b.tree.close() }
