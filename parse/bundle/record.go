package bundle

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"strconv"
	"strings"

	"github.com/klauspost/compress/gzip"
)

// warcFile is one web archive: a file, or a member of a WACZ.
type warcFile struct {
	r      io.ReaderAt
	size   int64
	gz     bool
	name   string      // of the member in a WACZ, or ""
	prefix string      // of its entries' names
	z      gzip.Reader // for scan; its tables are large
}

// span is where a record lies in its file.
type span struct {
	at     int64 // of the record, or of the gzip member that holds it
	header header
	start  int64 // of the block in the unpacked record
	length int64 // of the block, as far as it is there
	stated int64 // Content-Length, -1 if it is not stated or no number
	begin  []byte
	reason string // what is wrong with the record
}

// beginning is how much of a block is looked at while listing.
const beginning = 16 << 10

// recordsPerEntry bounds records that are no captures: requests, metadata,
// empty gzip members.
const recordsPerEntry = 10

// damageLimit is how many damaged places of one file are stepped over.
const damageLimit = 1000

// errSeveral means that the file's gzip members are not its records.
var errSeveral = errors.New("the gzip members are not the records")

// scan calls visit for every record. Places that cannot be read are told to
// damage, and reading goes on with the next thing that looks like a record.
func (f *warcFile) scan(b *budget, visit func(span) error, damage func(at int64, reason string)) error {
	damaged, records := 0, 0
	for at := int64(0); at < f.size; {
		s, next, err := f.record(at, b)
		if err == io.EOF {
			return nil
		}
		switch {
		case err == errSeveral || err == errTotal:
			return err
		case err != nil:
			if damaged++; damaged > damageLimit {
				return hinted{"more damaged places than are stepped over; the rest is not read", ""}
			}
			damage(at, err.Error())
			if next = f.findNext(at + 1); next < 0 {
				return nil
			}
		default:
			if records++; records > recordsPerEntry*b.lim.Entries {
				return hinted{"far more records than captures; the rest is not read", ""}
			}
			if err := visit(s); err != nil {
				return err
			}
		}
		at = next
	}
	return nil
}

// record reads the header and the beginning of the record at an offset.
func (f *warcFile) record(at int64, b *budget) (s span, next int64, err error) {
	if f.gz {
		return f.packedRecord(at, b)
	}
	br := bufio.NewReaderSize(io.NewSectionReader(f.r, at, f.size-at), beginning)
	s, err = recordHead(br, b.lim.Header)
	if err != nil {
		return s, 0, err
	}
	s.at = at
	block := at + s.start
	s.length = s.stated
	next = block + s.stated
	if s.stated < 0 || s.stated > f.size-block || !f.recordEndsAt(next) {
		if next = f.find(block, []byte("\r\n\r\nWARC/1.")); next < 0 {
			next = f.size
		}
		if s.stated < 0 || s.stated > next-block || !f.has(block+s.stated, "\r\n\r\n") {
			s.length = next - block
			s.reason = lengthReason(s.stated, s.length)
		} else {
			s.reason = "bytes that belong to no record follow it"
		}
	}
	s.begin = s.begin[:min(int64(len(s.begin)), s.length)]
	sep := make([]byte, 64)
	n, _ := f.r.ReadAt(sep, next)
	next += int64(n - len(bytes.TrimLeft(sep[:n], "\r\n")))
	return s, next, nil
}

func lengthReason(stated, length int64) string {
	switch {
	case stated < 0:
		return "its length is not stated"
	case length < stated:
		return "it is cut off: " + strconv.FormatInt(length, 10) + " of the stated " + strconv.FormatInt(stated, 10) + " bytes are there"
	case length > stated:
		return "it is longer than stated"
	}
	return ""
}

// recordEndsAt reports whether a block ends there: at the end of the file, or
// before line ends and the next record.
func (f *warcFile) recordEndsAt(at int64) bool {
	sep := make([]byte, 64)
	n, _ := f.r.ReadAt(sep, at)
	rest := bytes.TrimLeft(sep[:n], "\r\n")
	return n == 0 || len(rest) == 0 || len(rest) < n && bytes.HasPrefix(rest, []byte("WARC/"))
}

// has reports whether text stands at an offset.
func (f *warcFile) has(at int64, text string) bool {
	buf := make([]byte, len(text))
	n, _ := f.r.ReadAt(buf, at)
	return string(buf[:n]) == text
}

// packedRecord reads the gzip member at an offset to its end.
func (f *warcFile) packedRecord(at int64, b *budget) (s span, next int64, err error) {
	in := &position{r: io.NewSectionReader(f.r, at, f.size-at)}
	raw := bufio.NewReaderSize(in, 32<<10)
	used := func() int64 { return in.n - int64(raw.Buffered()) }
	z := &f.z
	if err := z.Reset(raw); err != nil {
		if ahead, _ := io.ReadAll(io.NewSectionReader(f.r, at, min(f.size-at, 4<<10))); len(bytes.Trim(ahead, "\x00\r\n")) == 0 && int64(len(ahead)) == f.size-at {
			return s, 0, io.EOF // padding
		}
		return s, 0, damaged{"no gzip member where one should begin"}
	}
	z.Multistream(false)
	m := &meter{r: z, budget: b, key: f.prefix + "@" + strconv.FormatInt(at, 10), packed: used, limit: b.lim.Total}
	br := bufio.NewReaderSize(m, beginning)
	if _, perr := br.Peek(1); perr == io.EOF {
		s.at = at
		return s, at + used(), nil // an empty member
	}
	s, err = recordHead(br, b.lim.Header)
	if m.over != nil {
		return s, 0, m.over
	} else if err != nil {
		return s, 0, unpackReason(err)
	}
	s.at = at
	n, err := discard(br, s.stated)
	s.length = n
	if err != nil {
		s.reason = unpackReason(err).Error() + "; " + lengthReason(s.stated, n)
		s.begin = s.begin[:min(int64(len(s.begin)), n)]
		if next = f.findNext(at + 1); next < 0 {
			next = f.size
		}
		return s, next, keepLimit(err)
	}
	tail, err := br.Peek(16)
	rest := bytes.TrimLeft(tail, "\r\n")
	switch {
	case bytes.HasPrefix(rest, []byte("WARC/")):
		return s, 0, errSeveral
	case len(rest) > 0:
		s.reason = "more bytes follow than its stated length"
	case err != nil && err != io.EOF:
		s.reason = unpackReason(err).Error()
	case s.length < s.stated && at+used() < f.size:
		return s, 0, errSeveral // the record goes on in the next member
	case s.length != s.stated:
		s.reason = lengthReason(s.stated, s.length)
	}
	if _, err := io.Copy(io.Discard, br); err != nil {
		if s.reason == "" {
			s.reason = unpackReason(err).Error()
		}
		if next = f.findNext(at + 1); next < 0 {
			next = f.size
		}
		return s, next, keepLimit(err)
	}
	return s, at + used(), nil
}

// keepLimit passes on only what makes a record refused.
func keepLimit(err error) error {
	if h := (hinted{}); errors.As(err, &h) {
		return err
	}
	return nil
}

// discard reads n bytes, or all if n is negative.
func discard(br *bufio.Reader, n int64) (int64, error) {
	if n < 0 {
		return io.Copy(io.Discard, br)
	}
	got, err := io.CopyN(io.Discard, br, n)
	if err == io.EOF {
		err = nil
	}
	return got, err
}

// unpackReason words the errors of a gzip member.
func unpackReason(err error) error {
	var h hinted
	var d damaged
	switch {
	case errors.As(err, &h), errors.As(err, &d):
		return err
	case isEarlyEnd(err):
		return damaged{"its packed bytes end early"}
	case errors.Is(err, gzip.ErrChecksum):
		return damaged{"its gzip checksum is wrong"}
	}
	return damaged{"its packed bytes are damaged"}
}

// recordHead reads a record up to its block.
func recordHead(br *bufio.Reader, limit int64) (s span, err error) {
	version, err := br.Peek(5)
	if err != nil && len(version) == 0 {
		return s, err
	}
	if string(version) != "WARC/" {
		return s, damaged{"no WARC record where one should begin"}
	}
	line, err := readLine(br, limit)
	if err != nil {
		return s, damaged{"its header is cut off"}
	}
	h, used, err := readHeader(br, limit, false)
	if err == io.EOF {
		return s, damaged{"its header is cut off"}
	} else if err != nil {
		return s, err
	}
	s.header, s.start = h, int64(len(line))+used
	s.stated, err = strconv.ParseInt(h.get("content-length"), 10, 64)
	if err != nil || s.stated < 0 {
		s.stated = -1
	}
	ahead, _ := br.Peek(beginning)
	if s.stated >= 0 && int64(len(ahead)) > s.stated {
		ahead = ahead[:s.stated]
	}
	s.begin = bytes.Clone(ahead)
	return s, nil
}

// findNext looks for what may be the next record.
func (f *warcFile) findNext(from int64) int64 {
	if f.gz {
		return f.find(from, []byte("\x1f\x8b\x08"))
	}
	at := f.find(from, []byte("\nWARC/1."))
	if at < 0 {
		return -1
	}
	return at + 1
}

// find looks for bytes from an offset on, -1 if they do not come.
func (f *warcFile) find(from int64, what []byte) int64 {
	const step = 64 << 10
	buf := make([]byte, step+len(what))
	for at := from; at < f.size; at += step {
		n, _ := f.r.ReadAt(buf, at)
		if i := bytes.Index(buf[:n], what); i >= 0 {
			return at + int64(i)
		}
	}
	return -1
}

// block reads a record's block, at most limit bytes of it.
func (f *warcFile) block(s *span, b *budget) ([]byte, error) {
	limit := b.lim.Entry + b.lim.Header
	if s.length > limit {
		return nil, tooLarge(b.lim.Entry)
	}
	r := io.Reader(io.NewSectionReader(f.r, s.at, f.size-s.at))
	if f.gz {
		z, err := gzip.NewReader(bufio.NewReader(r))
		if err != nil {
			return nil, unpackReason(err)
		}
		z.Multistream(false)
		r = z
	}
	if _, err := io.CopyN(io.Discard, r, s.start); err != nil {
		return nil, unpackReason(err)
	}
	block := make([]byte, s.length)
	n, err := io.ReadFull(r, block)
	if err != nil && s.reason == "" {
		return nil, unpackReason(err)
	}
	return block[:n], nil
}

// target gives the address the record is about. An old writer put it in angle
// brackets.
func (s *span) target() string {
	t := s.header.get("warc-target-uri")
	if strings.HasPrefix(t, "<") && strings.HasSuffix(t, ">") {
		t = t[1 : len(t)-1]
	}
	return strings.TrimSpace(t)
}
