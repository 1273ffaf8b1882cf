// Package bundle reads containers of captures: single-file pages (MHTML,
// RFC 2557), zip archives, web archives (WARC, ISO 28500, and WACZ) and single
// gzip files. Every container looks the same from outside: a list of entries
// whose bytes are read on demand, and a way to open what one entry refers to.
//
// kind.go tells containers apart, limits.go bounds what they may unpack to,
// mhtml.go with multipart.go and transfer.go reads single-file pages, zip.go
// with zipname.go and zipscan.go zip archives, warc.go with record.go, http.go
// and digest.go web archives, wacz.go those packed in a zip, gzip.go the rest.
// header.go and address.go serve several of them.
//
// Nothing is written, unpacked to disk or fetched. A container that is damaged
// gives what can be read of it, and a problem for the rest.
package bundle

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"counterfoil/parse/listing"
)

// Roles of an entry, as far as the container tells them.
const (
	RolePage = "page" // the page that was captured: MHTML's root, a page listed by a WACZ
	RolePart = "part" // what such a page loaded: every other part of an MHTML
)

// Entry is one file of a container.
type Entry struct {
	// Name is unique in the container: in a zip the path, with forward slashes
	// and never leading outside; in MHTML the Content-Location, "cid:" and the
	// Content-ID, or "part 3"; in a WARC the target address. Further entries of
	// one name have " (2)" and so on behind it. In a nested container the name
	// of the outer entry and "!" stand before it.
	Name string
	// URL is the absolute address that the entry was captured from, "" if the
	// container does not tell it.
	URL string
	// Date is the capture time that the container states, RFC 3339, or "". The
	// file times in a zip are no capture times.
	Date        string
	ContentType string // as stated, with its parameters, or ""
	Status      int    // of the HTTP response, 0 if there was none
	Role        string // one of the Role words, "" when the container does not tell
	Size        int64  // of Data in bytes, as a zip states it; else -1
	Data        []byte // decoded, not to be changed; nil in a list, set by [Archive.Read]
	// Doubt says in what way Data may not be what was captured: an early end, a
	// wrong checksum, a damaged encoding. "" if nothing is wrong. See
	// [Archive.Doubt].
	Doubt string
}

// Errors of [Archive.Read], [Archive.Stream] and [Archive.Resolve]. Any other
// error they give is a [listing.Problem] that is ready for the report.
var (
	ErrNotFound = errors.New("the container has no such entry")
	ErrRemote   = errors.New("the reference leads to another host and is not followed")
	ErrOutside  = errors.New("the reference leaves the container")
)

// Archive is an opened container. Its methods may be called from several
// goroutines. It needs no closing; the reader it was opened with must stay
// open.
type Archive struct {
	kind    string
	name    string // of the outermost file
	prefix  string // of entry names, in a nested container
	depth   int    // 0 for a file, 1 inside another container
	budget  *budget
	entries []Entry
	byName  map[string]int
	told    map[int]string // doubts that Open has already reported
	store   store
}

// store is one format's way to the bytes. Entries go by their place in the
// list. Errors are reasons without file and entry.
type store interface {
	read(i int) (data []byte, doubt string, err error)
	// stream gives the bytes of an entry that may be too large for read. The
	// last Read reports a wrong checksum.
	stream(i int) (io.Reader, error)
	// resolve finds what the entry from refers to by ref, -1 if ref is to be
	// taken as it stands.
	resolve(from int, ref string) (int, error)
	// section gives an entry's bytes as they lie in the container, if they are
	// stored there as they are.
	section(i int) (*io.SectionReader, bool)
}

// Open reads the list of a container of size bytes; name is the file's name for
// problems. The archive is nil when nothing can be read.
func Open(r io.ReaderAt, size int64, name string, lim Limits) (*Archive, []listing.Problem) {
	lim = lim.withDefaults()
	a := &Archive{name: name, budget: newBudget(lim, size)}
	return a.open(r, size)
}

func (a *Archive) open(r io.ReaderAt, size int64) (*Archive, []listing.Problem) {
	return a.openAs(KindAt(r, size), r, size)
}

func (a *Archive) openAs(kind string, r io.ReaderAt, size int64) (*Archive, []listing.Problem) {
	b := &builder{a: a, seen: map[string]int{}}
	a.kind, a.told = kind, map[int]string{}
	var err error
	switch a.kind {
	case KindMHTML:
		a.store, err = openMHTML(r, size, b)
	case KindZip:
		a.store, err = openZip(r, size, b)
	case KindWACZ:
		a.store, err = openWACZ(r, size, b)
	case KindWARC:
		a.store, err = openWARC(r, size, b)
	case KindGzip:
		a.store, err = openGzip(r, size, b)
	case KindOffice:
		err = errors.New("an office file, which is no container of captures")
	default:
		err = errors.New("no container of a known kind")
	}
	if err != nil {
		b.refuse("", err)
		return nil, b.problems
	}
	if len(a.entries) == 0 && len(b.problems) == 0 {
		b.refuse("", hinted{"no capture in it", "give the archive that holds the pages"})
	}
	a.byName = make(map[string]int, len(a.entries))
	for i := range a.entries {
		a.byName[a.entries[i].Name] = i
	}
	return a, b.problems
}

// builder collects the list of a container while it is read.
type builder struct {
	a        *Archive
	seen     map[string]int
	problems []listing.Problem
	muted    bool
}

// problemLimit is how many problems of one container are listed; the rest is
// counted.
const problemLimit = 1000

// add lists an entry, whose name it makes unique and full.
func (b *builder) add(e Entry) error {
	if len(b.a.entries) >= b.a.budget.lim.Entries {
		return fmt.Errorf("more than %d entries; the rest is not read", b.a.budget.lim.Entries)
	}
	e.Name = listing.Shorten(printable(e.Name), nameLimit)
	e.URL, e.ContentType = printable(e.URL), listing.Shorten(printable(e.ContentType), typeLimit)
	e.Name = b.a.prefix + b.unique(e.Name)
	b.a.entries = append(b.a.entries, e)
	return nil
}

// unique numbers the second and further entries of one name.
func (b *builder) unique(name string) string {
	n := b.seen[name]
	if n == 0 {
		b.seen[name] = 1
		return name
	}
	for {
		n++
		other := fmt.Sprintf("%s (%d)", name, n)
		if b.seen[other] == 0 {
			b.seen[name], b.seen[other] = n, 1
			return other
		}
	}
}

// mark gives a function that takes back what was added since.
func (b *builder) mark() (forget func()) {
	entries, problems := len(b.a.entries), len(b.problems)
	return func() {
		for i, e := range b.a.entries[entries:] {
			delete(b.seen, strings.TrimPrefix(e.Name, b.a.prefix))
			delete(b.a.told, entries+i)
		}
		b.a.entries, b.problems = b.a.entries[:entries], b.problems[:problems]
	}
}

// Longest name and type of an entry, in runes. Longer ones, as of addresses
// that carry data, are shortened.
const (
	nameLimit = 2000
	typeLimit = 200
)

// doubt reports at once what is wrong with the entry added last.
func (b *builder) doubt(reason string) {
	i := len(b.a.entries) - 1
	b.problem(listing.Partial, strings.TrimPrefix(b.a.entries[i].Name, b.a.prefix), "", reason, "")
	b.a.told[i] = reason
}

func (b *builder) problem(sev listing.Severity, entry, raw, reason, hint string) {
	switch {
	case len(b.problems) < problemLimit:
		b.problems = append(b.problems, b.a.problem(sev, entry, raw, reason, hint))
	case !b.muted:
		b.muted = true
		b.problems = append(b.problems, b.a.problem(listing.Notice, "", "", fmt.Sprintf("more than %d problems; the rest is not listed", problemLimit), ""))
	}
}

func (b *builder) refuse(entry string, err error) {
	b.problem(listing.Refused, entry, "", err.Error(), hintOf(err))
}

// partial reports that the container is not read to its end.
func (b *builder) partial(entry string, err error) {
	b.problem(listing.Partial, entry, "", err.Error(), hintOf(err))
}

func (a *Archive) problem(sev listing.Severity, entry, raw, reason, hint string) listing.Problem {
	switch {
	case entry != "" && a.prefix != "":
		entry = a.prefix + entry
	case entry == "" && a.prefix != "":
		entry = a.prefix[:len(a.prefix)-len(nestedMark)]
	}
	return listing.Problem{Severity: sev, File: a.name, Entry: listing.Shorten(printable(entry), nameLimit),
		Raw: listing.Shorten(printable(raw), listing.RawLimit), Reason: reason, Hint: hint}
}

// nestedMark stands between the names of an outer and an inner entry.
const nestedMark = "!"

// hinted is an error with something the user can do about it.
type hinted struct{ reason, hint string }

func (e hinted) Error() string { return e.reason }

func hintOf(err error) string {
	var h hinted
	errors.As(err, &h)
	return h.hint
}

// Kind gives the container's kind, one of the Kind words.
func (a *Archive) Kind() string { return a.kind }

// Entries lists the entries in their stored order, without Data. The slice
// belongs to the archive and must not be changed.
func (a *Archive) Entries() []Entry { return a.entries }

// Find gives the entry of that name, without Data.
func (a *Archive) Find(name string) (Entry, bool) {
	i, ok := a.byName[name]
	if !ok {
		return Entry{}, false
	}
	return a.entries[i], true
}

// Read gives an entry with its decoded bytes, at most Limits.Entry of them.
func (a *Archive) Read(name string) (Entry, error) {
	i, ok := a.byName[name]
	if !ok {
		return Entry{}, ErrNotFound
	}
	return a.readAt(i)
}

func (a *Archive) readAt(i int) (Entry, error) {
	e := a.entries[i]
	data, doubt, err := a.store.read(i)
	if err != nil {
		return Entry{}, a.entryProblem(listing.Refused, i, err.Error(), hintOf(err))
	}
	if data == nil {
		data = []byte{}
	}
	e.Data, e.Doubt = data, doubt
	return e, nil
}

func (a *Archive) entryProblem(sev listing.Severity, i int, reason, hint string) listing.Problem {
	return listing.Problem{Severity: sev, File: a.name, Entry: a.entries[i].Name, Reason: reason, Hint: hint}
}

// Stream gives the decoded bytes of an entry of any size within Limits.Total,
// for tables. An error of its Read is a [listing.Problem], as is what is wrong
// with the checksum, which the last Read reports.
func (a *Archive) Stream(name string) (io.Reader, error) {
	i, ok := a.byName[name]
	if !ok {
		return nil, ErrNotFound
	}
	r, err := a.store.stream(i)
	if err != nil {
		return nil, a.entryProblem(listing.Refused, i, err.Error(), hintOf(err))
	}
	return &streamed{a, i, r}, nil
}

type streamed struct {
	a *Archive
	i int
	r io.Reader
}

func (s *streamed) Read(p []byte) (int, error) {
	n, err := s.r.Read(p)
	if err != nil && err != io.EOF {
		err = s.a.entryProblem(listing.Partial, s.i, err.Error(), hintOf(err))
	}
	return n, err
}

// Resolve opens what the entry named page refers to: in a zip by the path
// beside it, in MHTML by Content-Location and "cid:", in a WARC by address, the
// capture nearest in time first. With page "" the reference must be complete.
// References to what the container does not hold are ErrNotFound, or ErrRemote
// where the container could not hold it.
func (a *Archive) Resolve(page, ref string) (Entry, error) {
	from := -1
	if page != "" {
		i, ok := a.byName[page]
		if !ok {
			return Entry{}, ErrNotFound
		}
		from = i
	}
	i, err := a.store.resolve(from, ref)
	if err != nil {
		return Entry{}, err
	}
	return a.readAt(i)
}

// Doubt words the Doubt of an entry that was read as a problem, unless it has
// none or Open has reported it.
func (a *Archive) Doubt(e Entry) (listing.Problem, bool) {
	i, ok := a.byName[e.Name]
	if !ok || e.Doubt == "" || e.Doubt == a.told[i] {
		return listing.Problem{}, false
	}
	return a.entryProblem(listing.Partial, i, e.Doubt, "fetch or save it again if you can"), true
}

// Each reads every entry in turn, one in memory at a time. What cannot be read
// and every Entry.Doubt become problems. It stops, without a problem, when
// yield gives an error.
func (a *Archive) Each(yield func(Entry) error) []listing.Problem {
	var problems []listing.Problem
	for i := range a.entries {
		e, err := a.readAt(i)
		if err != nil {
			problems = append(problems, err.(listing.Problem))
			continue
		}
		if p, ok := a.Doubt(e); ok {
			problems = append(problems, p)
		}
		if yield(e) != nil {
			break
		}
	}
	return problems
}

// Nested opens an entry that is itself a container. Only one level is opened:
// a container in a nested container is a problem. Both share the outer one's
// limits.
func (a *Archive) Nested(name string) (*Archive, []listing.Problem) {
	i, ok := a.byName[name]
	if !ok {
		return nil, []listing.Problem{{Severity: listing.Refused, File: a.name, Entry: name, Reason: ErrNotFound.Error()}}
	}
	if a.depth > 0 {
		return nil, []listing.Problem{a.entryProblem(listing.Refused, i,
			"a container in a container in a container; only one level is opened", "unpack the outer ones first")}
	}
	inner := &Archive{name: a.name, prefix: name + nestedMark, depth: a.depth + 1, budget: a.budget}
	r, size, err := a.section(i)
	if err != nil {
		return nil, []listing.Problem{a.entryProblem(listing.Refused, i, err.Error(), hintOf(err))}
	}
	return inner.open(r, size)
}

// section gives random access to an entry's bytes: where they lie if they are
// stored as they are, else in memory.
func (a *Archive) section(i int) (io.ReaderAt, int64, error) {
	if s, ok := a.store.section(i); ok {
		return s, s.Size(), nil
	}
	r, err := a.store.stream(i)
	if err != nil {
		return nil, 0, err
	}
	return inMemory(r, a.budget.lim.Memory)
}
