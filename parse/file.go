package parse

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"path"
	"slices"
	"strings"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/parse/listing/until"
	"counterfoil/parse/savedpage"
	"counterfoil/parse/table"
)

// isResource reports whether a file lies in the folder of a saved page.
func (in *intake) isResource(name string) bool {
	for dir := path.Dir(name); dir != "." && dir != "/"; dir = path.Dir(dir) {
		if stem := pageOfFolder(path.Base(dir)); stem != "" && in.pages.has(path.Join(path.Dir(dir), stem)) {
			return true
		}
	}
	return false
}

func (in *intake) read(ctx context.Context, s *source) outcome {
	if in.isResource(s.name) {
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
	case kindTable, kindExtract, kindWorkbook:
		return in.table(ctx, s, kind)
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
	data, sha, refused := s.whole(in.opt.limits.page)
	if refused != nil {
		return *refused
	}
	return in.pageOf(data, pageAt{file: s.name, sha: sha, modified: s.modified}, in.folderOf(s, true))
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
	name := in.keptName(data, at)
	o, known := outcome{}, false
	if name != "" {
		o, known = in.recall(name, at, files)
	}
	if !known {
		rec := &recorder{files: files}
		o = in.readPage(data, at, rec)
		if name != "" {
			in.keep(name, rec, &o)
		}
	}
	o.captures = []listing.Capture{{File: at.file, Entry: at.entry, SHA256: at.sha, Size: int64(len(data)),
		Kind: kindPage, Modified: at.modified, Listings: len(o.listings)}}
	return o
}

// readPage reads a page that is not known from an earlier run.
func (in *intake) readPage(data []byte, at pageAt, rec *recorder) outcome {
	doc, note := in.pageText(data, at.contentType)
	doc, cut := bounded(doc)
	res := savedpage.Read(doc, at.file, at.sha, rec, savedpage.Options{Photo: rec.photo(in.photoOf(at)), Pages: in.opt.Pages,
		URL: at.url, Explain: in.opt.Explain})
	o := outcome{listings: res.Listings, problems: res.Problems}
	if cut {
		o.problems = append(o.problems, listing.Problem{Severity: listing.Partial, File: at.file,
			Reason: "tags that unfold to more than a million elements; the page is read up to there"})
	}
	if note != "" {
		o.problems = append(o.problems, listing.Problem{Severity: listing.Notice, File: at.file, Reason: note,
			Hint: "if letters look wrong, name the encoding with --encoding"})
	}
	if in.opt.Explain {
		o.explained = []Explanation{{File: at.file, Entry: at.entry, Kind: res.Kind, Candidates: res.Candidates, Listings: res.Listings}}
	}
	if len(res.Listings) == 0 && !refused(res.Problems) {
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
		l.Pack(nil)
	}
	return o
}

// photoOf reads the photos of a page. Of pages in one container each has its own
// first inline picture.
func (in *intake) photoOf(at pageAt) func(savedpage.Resource) (listing.Photo, error) {
	if at.entry == "" {
		return in.album.read
	}
	return func(r savedpage.Resource) (listing.Photo, error) {
		if strings.HasPrefix(r.Entry, inlineMark[1:]) {
			r.Entry = at.entry + "#" + r.Entry
		}
		return in.album.read(r)
	}
}

// streamers are the readers of the kinds of table.
var streamers = map[string]func(r io.Reader, file string, opt table.Options, yield func(*listing.Listing)) table.Result{
	kindTable: table.Stream, kindExtract: table.StreamLines, kindWorkbook: table.StreamWorkbook,
}

func (in *intake) tableOptions() table.Options {
	return table.Options{Columns: in.opt.Columns, Encoding: in.opt.Encoding}
}

// pack makes a listing of a table small. What an extract tells of positions is not
// for those who do not ask.
func (in *intake) pack(l *listing.Listing, places *listing.Places) {
	if !in.opt.Positions {
		l.DropPositions()
	}
	l.Pack(places)
}

func (in *intake) table(ctx context.Context, s *source, kind string) outcome {
	if limit := in.opt.limits.table; s.size > limit {
		return s.refuse(tooLarge{s.size, limit}.Error(), "split it or leave it out")
	}
	f, err := s.root.Open(s.rel)
	if err != nil {
		return s.refuse(reasonOf(err), "check that the file may be read")
	}
	defer f.Close()
	hash := sha256.New()
	size := new(counter)
	var o outcome
	var places listing.Places
	r := io.TeeReader(until.Reader(ctx, f), io.MultiWriter(hash, size, told(func(n int) {
		s.counted += int64(n)
		in.tell(ctx, 0, int64(n))
	})))
	res := streamers[kind](r, s.name, in.tableOptions(), func(l *listing.Listing) {
		in.pack(l, &places)
		o.listings = append(o.listings, l)
	})
	if _, err := io.Copy(io.Discard, r); err != nil && len(res.Problems) == 0 {
		res.Problems = append(res.Problems, listing.Problem{Severity: listing.Refused, File: s.name, Reason: reasonOf(err)})
	}
	sha := hex.EncodeToString(hash.Sum(nil))
	o.problems, o.told, o.columns = res.Problems, res.Told, res.Columns
	files := in.folderOf(s, false)
	for _, l := range o.listings {
		if ctx.Err() != nil {
			return o
		}
		if l.SHA256 == "" {
			l.SHA256 = sha
		}
		if len(l.Photos) > 0 && l.File == s.name {
			o.problems = append(o.problems, in.album.resolve(l, files)...)
		}
	}
	o.captures = []listing.Capture{s.capture(kind, sha, int64(*size), len(o.listings))}
	if in.opt.Explain {
		o.explained = []Explanation{{File: s.name, Kind: kind, Columns: res.Columns, Listings: o.listings}}
	}
	if len(o.listings)+len(o.told) == 0 && !refused(o.problems) {
		o.problems = append(o.problems, listing.Problem{Severity: listing.Refused, File: s.name, Reason: "no row that could be read as a listing"})
	}
	return o
}

// refused reports whether the problems say already that something was not
// read.
func refused(list []listing.Problem) bool {
	return slices.ContainsFunc(list, func(p listing.Problem) bool { return p.Severity == listing.Refused })
}

type counter int64

func (c *counter) Write(p []byte) (int, error) {
	*c += counter(len(p))
	return len(p), nil
}

// told hears how many bytes come by.
type told func(n int)

func (t told) Write(p []byte) (int, error) {
	t(len(p))
	return len(p), nil
}
