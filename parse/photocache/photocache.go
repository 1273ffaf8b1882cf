// Package photocache keeps what was read from photos and pages between runs, so
// that what was seen before is not read again. Entries are found by the SHA-256 of
// the photo's bytes and are never wrong for other bytes; the folder may be
// deleted at any time.
//
// photocache.go holds the folder and its shelves, photo.go the shelf of
// fingerprints, page.go the drawer of pages.
//
// A shelf is one file of lines, each a checksum, a hash and a JSON value:
//
//	9f1c03aa 0f3e…c1 {"w":1600,…}
//
// Lines are only appended, each in one write, so that several runs may share a
// folder. A line that is damaged or cut short is passed over, and its entry is
// appended anew when it is next read. The name of a shelf names the version of
// what it holds: another version is another file.
package photocache

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
	"sync"
)

// Bounds of a shelf. A file above the limit is begun anew: it is a cache.
const (
	maxShelf = 1 << 30 // bytes
	maxEntry = 1 << 16 // bytes of one JSON value
)

// Cache is a folder of shelves. It is safe for concurrent use.
type Cache struct {
	dir string

	mu      sync.Mutex
	shelves map[string]*Shelf
	drawer  *Drawer
}

// Open makes the folder if there is none.
func Open(dir string) (*Cache, error) {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, err
	}
	return &Cache{dir: dir, shelves: map[string]*Shelf{}}, nil
}

// Close closes all shelves. The error is that of the first entry that could
// not be written: the cache then holds less, and nothing else is amiss.
func (c *Cache) Close() error {
	c.mu.Lock()
	defer c.mu.Unlock()
	var errs []error
	for _, s := range c.shelves {
		errs = append(errs, s.failed, s.file.Close())
	}
	if c.drawer != nil {
		errs = append(errs, c.drawer.error())
	}
	return errors.Join(errs...)
}

// Shelf opens the shelf of a name made of letters, digits, hyphens and dots.
func (c *Cache) Shelf(name string) (*Shelf, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if s := c.shelves[name]; s != nil {
		return s, nil
	}
	s, err := openShelf(filepath.Join(c.dir, name+".lines"))
	if err != nil {
		return nil, err
	}
	c.shelves[name] = s
	return s, nil
}

// Shelf is one kind of entry. It is safe for concurrent use.
type Shelf struct {
	mu      sync.Mutex
	entries map[[32]byte][]byte
	file    *os.File
	failed  error // of the first write that failed
}

func openShelf(name string) (*Shelf, error) {
	if info, err := os.Stat(name); err == nil && info.Size() > maxShelf {
		if err := os.Remove(name); err != nil {
			return nil, err
		}
	}
	f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o666)
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(f, maxShelf))
	if err == nil && len(data) > 0 && data[len(data)-1] != '\n' {
		_, err = f.WriteString("\n") // ends a line that was cut short
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	s := &Shelf{entries: make(map[[32]byte][]byte, bytes.Count(data, []byte("\n"))), file: f}
	for line := range bytes.Lines(data) {
		if sum, value, ok := parse(bytes.TrimSuffix(line, []byte("\n"))); ok {
			s.entries[sum] = value
		}
	}
	return s, nil
}

// parse reads one line; ok is false when it is damaged.
func parse(line []byte) (sum [32]byte, value []byte, ok bool) {
	check, rest, ok := bytes.Cut(line, []byte(" "))
	if !ok || len(check) != 8 || fmt.Sprintf("%08x", crc32.ChecksumIEEE(rest)) != string(check) {
		return sum, nil, false
	}
	hash, value, ok := bytes.Cut(rest, []byte(" "))
	if !ok || len(hash) != 64 {
		return sum, nil, false
	}
	_, err := hex.Decode(sum[:], hash)
	return sum, value, err == nil
}

// Get fills v with the entry of a hash in lower-case hex, and reports whether
// there is a sound one.
func (s *Shelf) Get(sha256 string, v any) bool {
	sum, ok := key(sha256)
	if !ok {
		return false
	}
	s.mu.Lock()
	value, ok := s.entries[sum]
	s.mu.Unlock()
	return ok && json.Unmarshal(value, v) == nil
}

// Put stores an entry. What cannot be stored is read again next time; see
// [Cache.Close].
func (s *Shelf) Put(sha256 string, v any) {
	sum, ok := key(sha256)
	value, err := json.Marshal(v)
	if !ok || err != nil || len(value) > maxEntry {
		return
	}
	rest := sha256 + " " + string(value)
	line := fmt.Sprintf("%08x %s\n", crc32.ChecksumIEEE([]byte(rest)), rest)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.entries[sum] = value
	if s.failed == nil {
		_, s.failed = s.file.WriteString(line)
	}
}

func key(sha256 string) (sum [32]byte, ok bool) {
	if len(sha256) != 64 {
		return sum, false
	}
	_, err := hex.Decode(sum[:], []byte(sha256))
	return sum, err == nil
}
