package parse

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"path"
	"strings"

	"counterfoil/parse/bundle"
	"counterfoil/parse/listing"
	"counterfoil/parse/listing/until"
	"counterfoil/parse/savedpage"
)

// archive reads the captures inside a container. Containers inside are opened
// one level deep.
func (in *intake) archive(ctx context.Context, s *source) outcome {
	f, err := s.root.Open(s.rel)
	if err != nil {
		return s.refuse(reasonOf(err), "check that the file may be read")
	}
	defer f.Close()
	if bundle.KindAt(f, s.size) == bundle.KindOffice {
		return in.table(ctx, s, kindWorkbook)
	}
	sha, err := hashOf(until.Reader(ctx, f))
	if err != nil {
		return s.refuse(reasonOf(err), "check that the file may be read")
	}
	arch, problems := bundle.Open(io.NewSectionReader(f, 0, s.size), s.size, s.name, in.opt.limits.bundle)
	o := outcome{problems: problems}
	o.captures = append(o.captures, s.capture(kindArchive, sha, s.size, 0))
	if arch != nil {
		c := &container{in: in, src: s, file: f, arch: arch, out: &o, stems: archiveStems(arch)}
		c.readAll(ctx, true)
	}
	o.captures[0].Listings = len(o.listings)
	if len(o.listings)+len(o.told) == 0 && !refused(o.problems) {
		o.problems = append(o.problems, listing.Problem{Severity: listing.Refused, File: s.name,
			Reason: "no listing found in the archive", Hint: "check that it holds saved pages or tables"})
	}
	return o
}

func hashOf(r io.Reader) (string, error) {
	h := sha256.New()
	if _, err := io.Copy(h, r); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// container is the reading of one archive.
type container struct {
	in    *intake
	src   *source
	file  *os.File
	arch  *bundle.Archive
	out   *outcome
	stems names
}

// archiveStems notes the entries of an archive that may be pages.
func archiveStems(a *bundle.Archive) names {
	stems := names{}
	for _, e := range a.Entries() {
		stems.addStems(e.Name)
	}
	return stems
}

func (c *container) readAll(ctx context.Context, outermost bool) {
	for _, e := range c.arch.Entries() {
		if ctx.Err() != nil {
			return
		}
		if c.skips(e) {
			continue
		}
		if (e.Size > largeTable || c.arch.Kind() == bundle.KindGzip) && c.streams(ctx, e) {
			continue
		}
		full, err := c.arch.Read(e.Name)
		if err != nil {
			c.problem(e, err)
			continue
		}
		if p, ok := c.arch.Doubt(full); ok {
			c.out.problems = append(c.out.problems, p)
		}
		c.entry(ctx, full, outermost)
	}
}

// skips reports whether an entry is no capture of its own: what a page of a
// web capture loaded, a file of a saved page's folder, an index.
func (c *container) skips(e bundle.Entry) bool {
	switch c.arch.Kind() {
	case bundle.KindMHTML:
		return e.Role != bundle.RolePage
	case bundle.KindWARC, bundle.KindWACZ:
		return e.Role == bundle.RolePart || e.Status != 0 && e.Status != 200 ||
			!strings.Contains(e.ContentType, "html")
	}
	if isClutter(path.Base(e.Name)) || strings.HasSuffix(e.Name, "/") {
		return true
	}
	in := intake{pages: c.stems}
	return in.isResource(e.Name)
}

func (c *container) entry(ctx context.Context, e bundle.Entry, outermost bool) {
	kind, reason, hint := sniff(e.Data[:min(len(e.Data), sniffSize)])
	switch kind {
	case kindPage:
		sum := sha256.Sum256(e.Data)
		o := c.in.pageOf(e.Data, pageAt{file: c.src.name, entry: e.Name, sha: hex.EncodeToString(sum[:]),
			modified: c.src.modified, contentType: e.ContentType, url: e.URL, date: e.Date}, &shelf{c, e.Name})
		c.add(o)
	case kindTable, kindExtract, kindWorkbook:
		c.table(e, kind, bytes.NewReader(e.Data))
	case kindArchive:
		if !outermost {
			c.refuse(e, "a container in a container in a container; not opened", "unpack it first")
			return
		}
		nested, problems := c.arch.Nested(e.Name)
		c.out.problems = append(c.out.problems, problems...)
		if nested != nil {
			inner := &container{in: c.in, src: c.src, file: c.file, arch: nested, out: c.out, stems: archiveStems(nested)}
			inner.readAll(ctx, false)
		}
	case kindPhoto:
		// Used only if a page or table names it.
	default:
		c.refuse(e, reason, hint)
	}
}

// largeTable is the size in bytes above which an entry is looked at before it
// is read whole: a table need not be.
const largeTable = 1 << 20

// streams reads an entry that is a table as it unpacks, as large as a table may
// be. It reports whether it did. The entry is unpacked twice: only when it is
// known to be sound and within the limits are its rows kept.
func (c *container) streams(ctx context.Context, e bundle.Entry) bool {
	r, err := c.arch.Stream(e.Name)
	if err != nil {
		return false // reading it whole says why
	}
	r = until.Reader(ctx, r)
	head := make([]byte, sniffSize)
	n, err := io.ReadFull(r, head)
	if err != nil {
		return false
	}
	kind, _, _ := sniff(head[:n])
	if _, ok := streamers[kind]; !ok {
		return false
	}
	rest, err := io.Copy(io.Discard, r)
	if err != nil {
		return false
	}
	if size, limit := rest+int64(n), c.in.opt.limits.table; size > limit {
		c.refuse(e, tooLarge{size, limit}.Error(), "split it or leave it out")
		return true
	}
	if r, err = c.arch.Stream(e.Name); err != nil {
		return false
	}
	c.table(e, kind, until.Reader(ctx, r))
	return true
}

// table reads a table inside an archive; its photos lie beside it there.
func (c *container) table(e bundle.Entry, kind string, data io.Reader) {
	hash, size := sha256.New(), new(counter)
	r := io.TeeReader(data, io.MultiWriter(hash, size))
	var o outcome
	var places listing.Places
	res := streamers[kind](r, c.src.name, c.in.tableOptions(), func(l *listing.Listing) {
		c.in.pack(l, &places)
		o.listings = append(o.listings, l)
	})
	if _, err := io.Copy(io.Discard, r); err != nil && len(res.Problems) == 0 {
		c.problem(e, err)
	}
	for i := range res.Problems {
		res.Problems[i].Entry = within(e.Name, res.Problems[i].Entry)
	}
	o.problems, o.told = res.Problems, res.Told
	sha := hex.EncodeToString(hash.Sum(nil))
	for _, l := range o.listings {
		if l.File != c.src.name { // of an earlier run
			continue
		}
		l.Entry, l.SHA256 = within(e.Name, l.Entry), sha
		if len(l.Photos) > 0 {
			o.problems = append(o.problems, c.in.album.resolve(l, &shelf{c, e.Name})...)
		}
	}
	o.captures = []listing.Capture{{File: c.src.name, Entry: e.Name, SHA256: sha,
		Size: int64(*size), Kind: kind, Modified: c.src.modified, Listings: len(o.listings)}}
	if c.in.opt.Explain {
		o.explained = []Explanation{{File: c.src.name, Entry: e.Name, Kind: kind, Columns: res.Columns, Listings: o.listings}}
	}
	c.out.columns = append(c.out.columns, res.Columns...)
	c.add(o)
}

// within names the sheet of a workbook inside an archive.
func within(entry, sheet string) string {
	if sheet == "" {
		return entry
	}
	return entry + "!" + sheet
}

func (c *container) add(o outcome) {
	c.out.captures = append(c.out.captures, o.captures...)
	c.out.listings = append(c.out.listings, o.listings...)
	c.out.problems = append(c.out.problems, o.problems...)
	c.out.told = append(c.out.told, o.told...)
	c.out.explained = append(c.out.explained, o.explained...)
}

func (c *container) refuse(e bundle.Entry, reason, hint string) {
	c.out.problems = append(c.out.problems, listing.Problem{Severity: listing.Refused, File: c.src.name, Entry: e.Name, Reason: reason, Hint: hint})
}

func (c *container) problem(e bundle.Entry, err error) {
	var p listing.Problem
	if errors.As(err, &p) {
		c.out.problems = append(c.out.problems, p)
		return
	}
	c.refuse(e, err.Error(), "")
}

// shelf gives a page or table inside an archive what it refers to there.
type shelf struct {
	c    *container
	page string
}

// Open implements [savedpage.Resources].
func (s *shelf) Open(ref string) (savedpage.Resource, error) {
	e, err := s.c.arch.Resolve(s.page, ref)
	switch {
	case errors.Is(err, bundle.ErrNotFound):
		return savedpage.Resource{}, savedpage.ErrNotSaved
	case errors.Is(err, bundle.ErrRemote):
		return savedpage.Resource{}, savedpage.ErrRemote
	case errors.Is(err, bundle.ErrOutside):
		return savedpage.Resource{}, savedpage.ErrOutside
	case err != nil:
		return savedpage.Resource{}, err
	}
	s.c.in.album.opened(s.c.src, "")
	return savedpage.Resource{File: s.c.src.name, Entry: e.Name, Data: e.Data}, nil
}
