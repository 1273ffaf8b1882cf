package bundle

import (
	"bytes"
	"fmt"
	"io"
	"net/mail"
	"net/url"
	"slices"
	"strings"
	"time"

	"counterfoil/parse/listing"
)

// mhtmlStore holds a single-file page in memory, its parts still encoded.
type mhtmlStore struct {
	a        *Archive
	parts    []mhtmlPart
	bases    []*url.URL // of each part's own references
	root     *url.URL
	byID     map[string]int
	byText   map[string]int // Content-Location as it stands
	byURL    map[string]int // Content-Location made absolute
	byAnyURL map[string]int // the same in the form of sameAddress
}

// noBase stands for the address of a message that states none (RFC 2557, 5).
const (
	baseScheme = "thismessage"
	noBase     = baseScheme + ":/"
)

func openMHTML(r io.ReaderAt, size int64, b *builder) (store, error) {
	lim := b.a.budget.lim
	if size > lim.Memory {
		return nil, hinted{fmt.Sprintf("larger than the %d MiB up to which single-file pages are read", lim.Memory>>20), "save the page as 'page, complete'"}
	}
	raw, err := io.ReadAll(io.NewSectionReader(r, 0, size))
	if err != nil {
		return nil, err
	}
	raw = bytes.TrimLeft(bytes.TrimPrefix(raw, []byte("\xef\xbb\xbf")), "\r\n")
	h, body, err := bodyHeader(raw, lim.Header, false)
	if err == errHeaderSize {
		return nil, err
	}
	p := parts{headerLimit: lim.Header, limit: lim.Entries}
	p.walk(mhtmlPart{h: h, body: body}, 0)
	slices.Sort(p.notes)
	for _, note := range slices.Compact(p.notes) {
		b.problem(listing.Partial, "", "", note, "save the page again if you can")
	}
	if p.full {
		b.partial("", fmt.Errorf("more than %d parts; the rest is not read", lim.Entries))
	}
	if len(p.leaves) == 0 {
		return nil, hinted{"a single-file page without any part", "save the page again"}
	}
	s := &mhtmlStore{a: b.a, parts: p.leaves, byID: map[string]int{}, byText: map[string]int{}, byURL: map[string]int{}, byAnyURL: map[string]int{}}
	return s, s.list(h, b)
}

// list finds the root and names the parts.
func (s *mhtmlStore) list(h header, b *builder) error {
	date, ok := mailDate(h.get("date"))
	if raw := h.get("date"); !ok && raw != "" {
		b.problem(listing.Notice, "", raw, "its date of saving is not readable", "")
	}
	stated := firstOf(h.get("snapshot-content-location"), h.get("content-location"))
	s.root, _ = url.Parse(noBase)
	if u := absolute(h.get("content-base"), s.root); u != nil {
		s.root = u
	}
	if u := absolute(stated, s.root); u != nil {
		s.root = u
	}
	root := s.rootPart(h, stated)
	if s.root.Scheme == baseScheme {
		if u := absolute(s.parts[root].location(), s.root); u != nil {
			s.root = u
		}
	}
	for i := range s.parts {
		p := &s.parts[i]
		e := Entry{Name: fmt.Sprintf("part %d", i+1), Size: -1, Date: date, ContentType: p.h.get("content-type"), Role: RolePart}
		id := contentID(p.h.get("content-id"))
		if id != "" {
			e.Name = "cid:" + id
			note(s.byID, id, i)
		}
		base := s.root
		if u := absolute(p.base, s.root); u != nil {
			base = u
		}
		if loc := p.location(); loc != "" {
			e.Name = loc
			note(s.byText, loc, i)
			note(s.byText, p.h.get("content-location"), i) // with blanks of a file's name
			if u := absolute(loc, base); u != nil {
				note(s.byURL, withoutFragment(u), i)
				note(s.byAnyURL, sameAddress(u), i)
				if u.Scheme != baseScheme {
					e.Name = u.String()
				}
				if u.Scheme == "http" || u.Scheme == "https" {
					e.URL = u.String()
				}
				if p.base == "" {
					base = u
				}
			}
		}
		if i == root {
			e.Role = RolePage
			if e.URL == "" && s.root.Scheme != baseScheme {
				e.URL = s.root.String()
			}
		}
		s.bases = append(s.bases, base)
		if err := b.add(e); err != nil {
			return err
		}
		if p.cut {
			b.a.told[i] = cutPart // as a note
		}
	}
	return nil
}

// rootPart follows RFC 2387, 3.2 (the start parameter, else the first part),
// with the page's own address and the first page before the first part, since
// some writers put another part first.
func (s *mhtmlStore) rootPart(h header, stated string) int {
	_, params := h.mediaType()
	start := contentID(params["start"])
	page := -1
	for i := range s.parts {
		p := &s.parts[i]
		kind, _ := p.h.mediaType()
		isPage := kind == "text/html" || kind == "application/xhtml+xml"
		switch {
		case start != "" && contentID(p.h.get("content-id")) == start:
			return i
		case isPage && start == "" && stated != "" && p.location() == stated:
			return i
		case isPage && page < 0:
			page = i
		}
	}
	return max(page, 0)
}

// location gives the Content-Location. Blanks come from folding (RFC 2557,
// 4.4.2).
func (p *mhtmlPart) location() string {
	return strings.Join(strings.Fields(p.h.get("content-location")), "")
}

func (s *mhtmlStore) read(i int) ([]byte, string, error) {
	p := &s.parts[i]
	if lim := s.a.budget.lim.Entry; int64(len(p.body))/4*3 > lim {
		return nil, "", tooLarge(lim)
	}
	data, doubt := transferDecode(p.h.get("content-transfer-encoding"), p.body)
	if p.cut {
		doubt = strings.TrimPrefix(doubt+"; "+cutPart, "; ")
	}
	return data, doubt, nil
}

const cutPart = "the file ends before the part does"

func (s *mhtmlStore) stream(i int) (io.Reader, error) {
	data, _, err := s.read(i)
	return bytes.NewReader(data), err
}

func (s *mhtmlStore) section(int) (*io.SectionReader, bool) { return nil, false }

// resolve follows RFC 2557, 8.2: by Content-ID, then by the text of the
// Content-Location, then by the absolute address.
func (s *mhtmlStore) resolve(from int, ref string) (int, error) {
	ref = strings.TrimSpace(ref)
	if len(ref) > 4 && strings.EqualFold(ref[:4], "cid:") {
		for _, id := range []string{ref[4:], unescaped(ref[4:])} {
			if i, ok := s.byID[id]; ok {
				return i, nil
			}
		}
	}
	// Some browsers state cid: addresses as Content-Location.
	if i, ok := s.byText[ref]; ok {
		return i, nil
	}
	base := s.root
	if from >= 0 {
		base = s.bases[from]
	}
	u := absolute(ref, base)
	if u == nil {
		return 0, ErrNotFound
	}
	if i, ok := s.byURL[withoutFragment(u)]; ok {
		return i, nil
	}
	if i, ok := s.byAnyURL[sameAddress(u)]; ok {
		return i, nil
	}
	return 0, ErrNotFound
}

// contentID strips the angle brackets.
func contentID(s string) string {
	s = strings.TrimSpace(s)
	return strings.TrimSuffix(strings.TrimPrefix(s, "<"), ">")
}

// mailDate reads the date of a message's header as RFC 3339. Besides RFC 5322
// it takes the form that scripts print, which an old add-on wrote.
func mailDate(s string) (string, bool) {
	if t, err := mail.ParseDate(s); err == nil {
		return t.Format(time.RFC3339), true
	}
	for _, layout := range []string{"Mon Jan 2 2006 15:04:05 GMT-0700", time.RFC3339} {
		text, _, _ := strings.Cut(s, " (")
		if t, err := time.Parse(layout, text); err == nil {
			return t.Format(time.RFC3339), true
		}
	}
	return "", false
}

func firstOf(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}

// note keeps the first of several entries under a key.
func note(m map[string]int, key string, i int) {
	if _, ok := m[key]; !ok {
		m[key] = i
	}
}
