package bundle

import (
	"archive/zip"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"path"
	"strings"
	"sync/atomic"

	"github.com/klauspost/compress/flate"
	"golang.org/x/text/unicode/norm"

	"counterfoil/parse/listing"
)

// zipMember is one member of a zip, from its directory or found by scanning.
type zipMember struct {
	name      string
	mode      fs.FileMode
	method    uint16
	encrypted bool
	file      *zip.File // nil if it was found by scanning
	offset    int64     // of the packed bytes, if file is nil
	packed    int64
	size      int64
	crc       uint32
}

// zipStore reads members on demand.
type zipStore struct {
	a       *Archive
	r       io.ReaderAt
	members []zipMember
	byNFC   map[string]int // some systems store accents as letters of their own
}

// directoryBytes is what one member of a zip's directory is allowed on average,
// so that the directory of a hostile file is not read whole. A header has 46
// bytes and the name.
const directoryBytes = 512

// capped gives an error when more is read than a directory should need.
type capped struct {
	r    io.ReaderAt
	left atomic.Int64
}

func (c *capped) ReadAt(p []byte, off int64) (int, error) {
	if c.left.Add(-int64(len(p))) < 0 {
		return 0, errDirectory
	}
	return c.r.ReadAt(p, off)
}

var errDirectory = hinted{"the archive's list of entries is larger than the limit", "unpack it and give the files that matter"}

// zipDirectory reads the directory at the end of a zip.
func zipDirectory(r io.ReaderAt, size int64, lim Limits) ([]zipMember, error) {
	c := &capped{r: r}
	c.left.Store(int64(lim.Entries)*directoryBytes + 1<<20)
	z, err := zip.NewReader(c, size)
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, err
	}
	c.left.Store(1 << 62) // it now serves single local headers only
	members := make([]zipMember, len(z.File))
	for i, f := range z.File {
		members[i] = zipMember{name: zipName(f.Name, f.NonUTF8, f.Extra), mode: f.Mode(), method: f.Method,
			encrypted: f.Flags&1 != 0, file: f, packed: int64(f.CompressedSize64), size: int64(f.UncompressedSize64), crc: f.CRC32}
	}
	return members, nil
}

func openZip(r io.ReaderAt, size int64, b *builder) (store, error) {
	members, err := zipMembers(r, size, b)
	if err != nil {
		return nil, err
	}
	if n := allEncrypted(members); n > 0 {
		return nil, hinted{fmt.Sprintf("encrypted: all %d entries need a password", n), "unpack it with its password and give the files"}
	}
	s := &zipStore{a: b.a, r: r, byNFC: map[string]int{}}
	resources, first := 0, map[string]bool{}
	for _, m := range members {
		if strings.HasPrefix(m.name, "__MACOSX/") {
			resources++
			continue
		}
		if m.mode.IsDir() || strings.HasSuffix(m.name, "/") && m.size == 0 {
			continue
		}
		if err := m.check(); err != nil {
			b.problem(listing.Refused, m.name, "", err.Error(), hintOf(err))
			continue
		}
		if first[m.name] {
			b.problem(listing.Notice, m.name, "", "a further entry of the same name", "")
		}
		first[m.name] = true
		if err := b.add(Entry{Name: m.name, Size: m.size}); err != nil {
			b.partial("", err)
			break
		}
		nfc := norm.NFC.String(m.name)
		if _, ok := s.byNFC[nfc]; !ok {
			s.byNFC[nfc] = len(s.members)
		}
		s.members = append(s.members, m)
	}
	if resources > 0 {
		b.problem(listing.Notice, "__MACOSX", "", fmt.Sprintf("%d entries in which a file manager keeps its own notes; not read", resources), "")
	}
	return s, nil
}

// allEncrypted counts the files if every one is encrypted, else it gives 0.
func allEncrypted(members []zipMember) (n int) {
	for _, m := range members {
		switch {
		case m.encrypted:
			n++
		case !m.mode.IsDir():
			return 0
		}
	}
	return n
}

// zipMembers reads the directory, or finds the members without it.
func zipMembers(r io.ReaderAt, size int64, b *builder) ([]zipMember, error) {
	lim := b.a.budget.lim
	members, err := zipDirectory(r, size, lim)
	if err == nil || errors.Is(err, errDirectory) {
		return members, err
	}
	members, stopped := scanZip(r, size, b.a.budget)
	reason := fmt.Sprintf("the archive's list of entries is missing or damaged; %d entries were found by reading from the start", len(members))
	if stopped != "" {
		reason += ", up to one that " + stopped
	}
	if len(members) == 0 {
		return nil, hinted{reason, "fetch or copy the archive again"}
	}
	b.problem(listing.Partial, "", "", reason, "fetch or copy the archive again")
	return members, nil
}

// check tells why a member is not read.
func (m *zipMember) check() error {
	if err := checkPath(m.name); err != nil {
		return err
	}
	switch {
	case m.mode&fs.ModeSymlink != 0:
		return hinted{"a symbolic link; links are not followed", "pack the file it points to"}
	case !m.mode.IsRegular():
		return hinted{"not a regular file", ""}
	case m.encrypted:
		return hinted{"encrypted; it can be read only after unpacking with its password", "unpack it and give the files"}
	case m.method != zip.Store && m.method != zip.Deflate:
		return hinted{fmt.Sprintf("packed by method %d, which is not read", m.method), "unpack it and give the files"}
	case m.size < 0 || m.packed < 0 || m.method == zip.Store && m.size != m.packed:
		return hinted{"the stated sizes contradict each other", "fetch or copy the archive again"}
	}
	return nil
}

func (s *zipStore) stored(i int) (*io.SectionReader, error) {
	m := &s.members[i]
	at := m.offset
	if m.file != nil {
		var err error
		if at, err = m.file.DataOffset(); err != nil {
			return nil, hinted{"its header is damaged or lies outside the archive", "fetch or copy the archive again"}
		}
	}
	return io.NewSectionReader(s.r, at, m.packed), nil
}

func (s *zipStore) section(i int) (*io.SectionReader, bool) {
	if s.members[i].method != zip.Store {
		return nil, false
	}
	r, err := s.stored(i)
	return r, err == nil
}

func (s *zipStore) read(i int) ([]byte, string, error) {
	if lim := s.a.budget.lim.Entry; s.members[i].size > lim {
		return nil, "", tooLarge(lim)
	}
	r, err := s.open(i, s.a.budget.lim.Entry)
	if err != nil {
		return nil, "", err
	}
	data, err := io.ReadAll(r)
	return data, "", err
}

func (s *zipStore) stream(i int) (io.Reader, error) { return s.open(i, s.a.budget.lim.Total) }

func (s *zipStore) open(i int, limit int64) (io.Reader, error) {
	stored, err := s.stored(i)
	if err != nil {
		return nil, err
	}
	m := &s.members[i]
	var r io.Reader = stored
	if m.method == zip.Deflate {
		r = flate.NewReader(stored)
	}
	return &zipReader{m: m, r: &meter{r: r, budget: s.a.budget, key: s.a.entries[i].Name, limit: limit,
		packed: func() int64 { return m.packed }}}, nil
}

// zipReader checks length and checksum at the end.
type zipReader struct {
	m    *zipMember
	r    io.Reader
	crc  uint32
	size int64
}

func (z *zipReader) Read(p []byte) (int, error) {
	n, err := z.r.Read(p)
	z.crc = crc32.Update(z.crc, crc32.IEEETable, p[:n])
	z.size += int64(n)
	var h hinted
	switch {
	case err == nil || errors.As(err, &h):
		return n, err
	case err != io.EOF:
		return n, hinted{"its packed bytes are damaged or cut off", "fetch or copy the archive again"}
	case z.size != z.m.size:
		return n, hinted{fmt.Sprintf("it has %d bytes and not the stated %d", z.size, z.m.size), "fetch or copy the archive again"}
	case z.crc != z.m.crc:
		return n, hinted{"its checksum is wrong", "fetch or copy the archive again"}
	}
	return n, io.EOF
}

// resolve finds a path beside the page. Paths that leave the archive are
// refused, paths of the site the page was saved from are not in it.
func (s *zipStore) resolve(from int, ref string) (int, error) {
	dir := "."
	if from >= 0 {
		dir = path.Dir(s.members[from].name)
	}
	ref = strings.ReplaceAll(strings.TrimSpace(ref), `\`, "/")
	plain, _, _ := strings.Cut(ref, "#")
	plain, _, _ = strings.Cut(plain, "?")
	err := ErrNotFound
	for _, p := range []string{plain, unescaped(plain), ref} {
		full, perr := below(dir, p)
		if perr != nil {
			return 0, perr
		}
		if i, ok := s.byNFC[norm.NFC.String(full)]; ok {
			return i, nil
		}
	}
	return 0, err
}
