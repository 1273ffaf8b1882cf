package bundle

import (
	"bytes"
	"fmt"
	"io"
	"net/url"
	"strings"
	"time"

	"counterfoil/parse/listing"
)

// warcStore holds the index of one or several web archives (ISO 28500). Of each
// record it keeps the header lines it needs, never the block.
type warcStore struct {
	a       *Archive
	records []warcRecord
	byURL   map[string][]int // by sameAddress, in stored order
	byRef   map[string]int   // what a revisit may refer to: record id and payload digest
}

// warcRecord is one capture: a response, a resource, or a revisit, which
// repeats an earlier payload.
type warcRecord struct {
	file     *warcFile
	span     span
	kind     string
	when     time.Time
	redirect string
	original int // of a revisit: the record whose payload it repeats, -1 if it is not here
}

func openWARC(r io.ReaderAt, size int64, b *builder) (store, error) {
	s := newWARCStore(b.a)
	if err := s.scan(r, size, "", b); err != nil {
		if len(s.records) == 0 {
			return nil, err
		}
		b.partial("", err)
	}
	s.finish()
	return s, nil
}

func newWARCStore(a *Archive) *warcStore {
	return &warcStore{a: a, byURL: map[string][]int{}, byRef: map[string]int{}}
}

// scan lists the records of one file; member is its name in a WACZ.
func (s *warcStore) scan(r io.ReaderAt, size int64, member string, b *builder) error {
	magic := make([]byte, 2)
	r.ReadAt(magic, 0)
	f := &warcFile{r: r, size: size, gz: string(magic) == "\x1f\x8b", name: member}
	if member != "" {
		f.prefix = member + nestedMark
	}
	forget := b.mark()
	before := len(s.records)
	err := s.scanFile(f, b)
	if err != errSeveral {
		return err
	}
	// Not packed record by record: one cannot be reached without unpacking all
	// before it, so the file is unpacked once.
	plain, n, partial, err := unpackWhole(f, b.a.budget)
	if err != nil {
		return err
	}
	forget()
	s.records = s.records[:before]
	if partial != "" {
		b.problem(listing.Partial, member, "", partial, "fetch or copy the archive again")
	}
	return s.scanFile(&warcFile{r: plain, size: n, name: f.name, prefix: f.prefix}, b)
}

// unpackWhole unpacks a gzip file in memory, as far as it goes.
func unpackWhole(f *warcFile, b *budget) (plain io.ReaderAt, size int64, partial string, err error) {
	g := &gzipStore{a: &Archive{budget: b, entries: []Entry{{Name: f.prefix + "whole"}}}, r: f.r, size: f.size}
	r, err := g.open(b.lim.Memory)
	if err != nil {
		return nil, 0, "", err
	}
	data, err := io.ReadAll(r)
	if d, ok := err.(damaged); ok {
		return bytes.NewReader(data), int64(len(data)), d.reason, nil
	}
	return bytes.NewReader(data), int64(len(data)), "", err
}

func (s *warcStore) scanFile(f *warcFile, b *builder) error {
	place := func(at int64) string {
		return fmt.Sprintf("%srecord at byte %d", f.prefix, at)
	}
	return f.scan(b.a.budget, func(sp span) error {
		return s.list(f, sp, place(sp.at), b)
	}, func(at int64, reason string) {
		b.problem(listing.Partial, place(at), "", reason, "")
	})
}

// list adds a record if it is a capture. Requests, metadata, conversions and
// the archive's own description are none.
func (s *warcStore) list(f *warcFile, sp span, place string, b *builder) error {
	rec := warcRecord{file: f, kind: strings.ToLower(sp.header.get("warc-type")), original: -1}
	target, doubt := sp.target(), sp.reason
	e := Entry{Size: -1, ContentType: sp.header.get("content-type")}
	switch rec.kind {
	case "response", "revisit":
		if isHTTP(sp.header) {
			p, err := responseHead(sp.begin, b.a.budget.lim.Header)
			if err == nil {
				e.Status, e.ContentType, rec.redirect = p.status, p.header.get("content-type"), p.header.only("location").get("location")
			} else if rec.kind == "response" {
				doubt = joinDoubts(doubt, err.Error())
			}
		}
	case "resource":
	case "continuation":
		b.problem(listing.Partial, place, target, "a record in segments; they are not joined", "")
		return nil
	default:
		if sp.reason != "" {
			b.problem(listing.Notice, place, "", sp.reason, "")
		}
		return nil
	}
	date := sp.header.get("warc-date")
	if t, err := time.Parse(time.RFC3339, date); err == nil {
		rec.when, e.Date = t, date
	} else {
		b.problem(listing.Notice, place, date, "its capture time is not readable", "")
	}
	e.Name = place
	if target != "" {
		e.Name = f.prefix + target
		if u, err := url.Parse(target); len(target) <= fieldLimit && err == nil && u.IsAbs() {
			e.URL = target
		}
	}
	sp.begin, sp.header = nil, sp.header.only("warc-target-uri", "warc-block-digest", "warc-payload-digest", "warc-truncated",
		"warc-record-id", "warc-refers-to", "warc-refers-to-target-uri", "warc-refers-to-date", "content-type")
	rec.span = sp
	if err := b.add(e); err != nil {
		return err
	}
	if doubt != "" {
		b.doubt(doubt)
	}
	s.records = append(s.records, rec)
	return nil
}

func isHTTP(h header) bool {
	kind, _ := h.mediaType()
	return kind == "application/http"
}

// fieldLimit is the longest header field kept of a record, in bytes.
const fieldLimit = 4 << 10

// only keeps the named fields, unless they are too long to keep.
func (h header) only(names ...string) header {
	var kept header
	for _, f := range h {
		for _, n := range names {
			if f.name == n && len(f.value) <= fieldLimit {
				kept = append(kept, f)
			}
		}
	}
	return kept
}

// finish builds the index of addresses and finds what revisits repeat.
func (s *warcStore) finish() {
	for i := range s.records {
		rec := &s.records[i]
		if u := absolute(rec.span.target(), nil); u != nil {
			key := sameAddress(u)
			s.byURL[key] = append(s.byURL[key], i)
		}
		if rec.kind == "revisit" {
			continue
		}
		for _, key := range []string{rec.span.header.get("warc-record-id"), rec.span.header.get("warc-payload-digest")} {
			if key != "" {
				note(s.byRef, key, i)
			}
		}
	}
	for i := range s.records {
		if s.records[i].kind != "revisit" {
			continue
		}
		s.records[i].original = s.originalOf(i)
		if e, o := &s.a.entries[i], s.records[i].original; o >= 0 && e.ContentType == "" {
			e.ContentType = s.a.entries[o].ContentType
		}
	}
}

// originalOf finds a revisit's payload by record id, by payload digest, or by
// address and time (ISO 28500, 6.7).
func (s *warcStore) originalOf(i int) int {
	h := s.records[i].span.header
	for _, key := range []string{h.get("warc-refers-to"), h.get("warc-payload-digest")} {
		if o, ok := s.byRef[key]; ok && key != "" {
			return o
		}
	}
	target := h.get("warc-refers-to-target-uri")
	if target == "" {
		return -1
	}
	if u := absolute(strings.Trim(target, "<>"), nil); u != nil {
		when, _ := time.Parse(time.RFC3339, h.get("warc-refers-to-date"))
		for _, o := range s.byURL[sameAddress(u)] {
			if s.records[o].kind != "revisit" && (when.IsZero() || s.records[o].when.Equal(when)) {
				return o
			}
		}
	}
	return -1
}

func (s *warcStore) section(int) (*io.SectionReader, bool) { return nil, false }

func (s *warcStore) stream(i int) (io.Reader, error) {
	data, _, err := s.read(i)
	return bytes.NewReader(data), err
}

func (s *warcStore) read(i int) ([]byte, string, error) {
	rec := &s.records[i]
	if rec.kind == "revisit" {
		if rec.original < 0 {
			return nil, "", hinted{"a revisit, whose earlier capture is not in this archive", "give the archive that holds it"}
		}
		i, rec = rec.original, &s.records[rec.original]
	}
	block, err := rec.file.block(&rec.span, s.a.budget)
	if err != nil {
		return nil, "", err
	}
	doubt := rec.span.reason
	if why := rec.span.header.get("warc-truncated"); why != "" {
		doubt = joinDoubts(doubt, "the capture was cut off when it was made ("+listing.Shorten(why, 40)+")")
	}
	raw, data := block, block
	if isHTTP(rec.span.header) && rec.kind == "response" {
		p, err := responseHead(block, s.a.budget.lim.Header)
		if err != nil {
			return block, joinDoubts(doubt, err.Error()), nil
		}
		raw = block[p.size:]
		more := ""
		if data, more, err = p.body(raw, s.a.budget, s.a.entries[i].Name); err != nil {
			return nil, "", err
		}
		doubt = joinDoubts(doubt, more)
	}
	if doubt == "" {
		doubt = checkDigests(rec.span.header, block, raw)
	}
	if lim := s.a.budget.lim.Entry; int64(len(data)) > lim {
		return nil, "", tooLarge(lim)
	}
	return data, doubt, nil
}

// redirects bounds how many redirections are followed inside the archive.
const redirects = 5

// resolve finds the capture of an address that is nearest in time to the
// page's, and follows the redirections that were captured.
func (s *warcStore) resolve(from int, ref string) (int, error) {
	var base *url.URL
	var when time.Time
	if from >= 0 {
		base = absolute(s.records[from].span.target(), nil)
		when = s.records[from].when
	}
	u := absolute(strings.TrimSpace(ref), base)
	for range redirects {
		if u == nil {
			break
		}
		i := s.nearest(s.byURL[sameAddress(u)], when)
		if i < 0 {
			break
		}
		if st := s.a.entries[i].Status; st < 300 || st > 399 || s.records[i].redirect == "" {
			return i, nil
		}
		u = absolute(s.records[i].redirect, u)
	}
	return 0, ErrNotFound
}

// nearest prefers captures that succeeded, then the nearest in time, then the
// first.
func (s *warcStore) nearest(list []int, when time.Time) int {
	best, bestRank, bestGap := -1, 0, time.Duration(0)
	for _, i := range list {
		rank := 0
		switch st := s.a.entries[i].Status; {
		case st == 0 || st < 300:
			rank = 2
		case st < 400:
			rank = 1
		}
		gap := s.records[i].when.Sub(when).Abs()
		if best < 0 || rank > bestRank || rank == bestRank && gap < bestGap {
			best, bestRank, bestGap = i, rank, gap
		}
	}
	return best
}
