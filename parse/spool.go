package parse

import (
	"bytes"
	"cmp"
	"fmt"
	"os"
	"sync"

	"counterfoil/parse/listing"
)

// spool keeps listings of pages in a temporary file until all are read, each as
// its line. Of each it keeps the sums of the texts under which captures are joined
// and named.
type spool struct {
	mu    sync.Mutex
	file  *os.File // nil when none can be written
	size  int64
	stubs []stub
}

// stub is what is kept of a listing in the spool.
type stub struct {
	at, long    int64 // where its line is
	source, seq int32 // index of its source, and its number among that one's listings
	known       uint8 // how many of host, seller and seller's id it tells
	traces
	file, entry string // file is "" when it is the source's
}

// traces are sums of the texts that tell whether a listing may be a capture of
// another, or named like it. 0 stands for a text that the listing lacks.
type traces struct{ id, hostID, address, place, bytes sum }

func tracesOf(c *capture) (t traces) {
	t.place, t.bytes = sumOfText(whence(c.Listing)), sumOfText(c.SHA256, "")
	if id := c.Value(listing.ListingID); id != "" {
		t.id = sumOfText(id)
		if c.host != "" {
			t.hostID = sumOfText(c.host + "/" + id)
		}
	}
	if c.address != "" {
		t.address = sumOfText(c.address)
	}
	return t
}

// newSpool opens a spool. Its file has no name from the start where the system
// allows that, so that nothing stays behind whatever happens.
func newSpool() *spool {
	f, err := os.CreateTemp("", "counterfoil-*.ndjson")
	if err != nil {
		return &spool{}
	}
	_ = os.Remove(f.Name()) // else when it is closed
	return &spool{file: f}
}

func (sp *spool) close() {
	if sp.file != nil {
		name := sp.file.Name()
		sp.file.Close()
		_ = os.Remove(name)
	}
}

// put takes a listing of a page; false when it must stay in memory.
func (sp *spool) put(source, seq int, file string, l *listing.Listing) bool {
	if sp.file == nil || l.Row != 0 {
		return false
	}
	c := captureOf(l)
	s := stub{source: int32(source), seq: int32(seq), known: uint8(c.told()), traces: tracesOf(c), entry: l.Entry}
	if l.File != file {
		s.file = l.File
	}
	l.Key = cmp.Or(l.Value(listing.ListingID), c.address, whence(l)) // if no other listing has it
	var line bytes.Buffer
	if err := listing.WriteLine(&line, l); err != nil {
		return false
	}
	sp.mu.Lock()
	defer sp.mu.Unlock()
	if _, err := sp.file.WriteAt(line.Bytes(), sp.size); err != nil {
		return false // no room, say
	}
	s.at, s.long = sp.size, int64(line.Len())
	sp.size += s.long
	sp.stubs = append(sp.stubs, s)
	return true
}

// line gives the line of a stub.
func (sp *spool) line(s *stub) ([]byte, error) {
	line := make([]byte, s.long)
	if _, err := sp.file.ReadAt(line, s.at); err != nil {
		return nil, fmt.Errorf("the temporary file cannot be read: %w", err)
	}
	return line, nil
}

// listing gives the listing of a stub.
func (sp *spool) listing(s *stub, file string) (*listing.Listing, error) {
	line, err := sp.line(s)
	if err != nil {
		return nil, err
	}
	l, err := listing.FromLine(line)
	if err != nil {
		return nil, fmt.Errorf("the temporary file was damaged: %w", err)
	}
	l.File, l.Entry = cmp.Or(s.file, file), s.entry
	l.Pack(nil)
	return l, nil
}
