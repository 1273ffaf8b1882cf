package bundle

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"sync"
)

// Limits bound what a container may unpack to. A zero field takes its default.
type Limits struct {
	Entry   int64 // bytes of one entry given by Archive.Read; default 64 MiB
	Total   int64 // bytes unpacked from the whole container; default 4 GiB
	Entries int   // entries listed; default 100,000
	// Ratio is the most that anything may grow by unpacking once it is larger
	// than RatioFrom; default 200. Deflate's utmost is 1032, text reaches 20.
	Ratio     int64
	RatioFrom int64 // bytes; default 1 MiB
	// Memory is the size up to which a container is held in memory where that
	// is the only way: MHTML, a web archive packed as one gzip member, a
	// container that is compressed inside a zip; default 256 MiB.
	Memory int64
	Header int64 // bytes of one block of header lines; default 256 KiB
}

func (l Limits) withDefaults() Limits {
	set := func(v *int64, to int64) {
		if *v <= 0 {
			*v = to
		}
	}
	set(&l.Entry, 64<<20)
	set(&l.Total, 4<<30)
	set(&l.Ratio, 200)
	set(&l.RatioFrom, 1<<20)
	set(&l.Memory, 256<<20)
	set(&l.Header, 256<<10)
	if l.Entries <= 0 {
		l.Entries = 100_000
	}
	return l
}

// budget is what a container may still unpack. Reading an entry again costs
// nothing, so that photos can be opened for several pages.
type budget struct {
	lim  Limits
	mu   sync.Mutex
	left int64
	paid map[string]int64
}

// newBudget allows a container of size bytes Total, and less if that would be
// Ratio times its size: entries that share their packed bytes have harmless
// ratios each.
func newBudget(lim Limits, size int64) *budget {
	left := lim.Total
	if size < left/lim.Ratio {
		left = max(size*lim.Ratio, lim.RatioFrom)
	}
	return &budget{lim: lim, left: left, paid: map[string]int64{}}
}

var errTotal = hinted{"the container unpacks to more than the limit", "unpack it and give the files that matter"}

// pay accounts n unpacked bytes of an entry.
func (b *budget) pay(key string, n int64) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if n <= b.paid[key] {
		return nil
	}
	more := n - b.paid[key]
	if more > b.left {
		return errTotal
	}
	b.left -= more
	b.paid[key] = n
	return nil
}

// meter bounds a stream that unpacks: by total, by ratio and by limit.
type meter struct {
	r      io.Reader
	budget *budget
	key    string
	packed func() int64 // bytes used of the packed form; nil: not packed
	limit  int64
	n      int64
	over   error // the limit that was passed
}

func (m *meter) Read(p []byte) (int, error) {
	if m.over != nil {
		return 0, m.over
	}
	if int64(len(p)) > m.limit-m.n+1 {
		p = p[:m.limit-m.n+1]
	}
	n, err := m.r.Read(p)
	m.n += int64(n)
	lim := m.budget.lim
	switch {
	case m.n > m.limit:
		m.over = tooLarge(m.limit)
	case m.packed != nil && m.n > lim.RatioFrom && m.n/lim.Ratio > m.packed():
		m.over = hinted{fmt.Sprintf("unpacks to more than %d times its size", lim.Ratio), "unpack it yourself if you trust where it comes from"}
	default:
		m.over = m.budget.pay(m.key, m.n)
	}
	if m.over != nil {
		return n, m.over
	}
	return n, err
}

func tooLarge(limit int64) error {
	size := fmt.Sprintf("%d MiB", limit>>20)
	if limit < 1<<20 {
		size = fmt.Sprintf("%d bytes", limit)
	}
	return hinted{"larger than the limit of " + size + " for an entry", "unpack it and give the file itself"}
}

// inMemory reads r whole.
func inMemory(r io.Reader, limit int64) (io.ReaderAt, int64, error) {
	data, err := io.ReadAll(io.LimitReader(r, limit+1))
	if err == nil && int64(len(data)) > limit {
		err = hinted{fmt.Sprintf("larger than the %d MiB that are unpacked in memory", limit>>20), "unpack it first"}
	}
	if err != nil {
		return nil, 0, err
	}
	return bytes.NewReader(data), int64(len(data)), nil
}

// isEarlyEnd reports whether reading stopped because the data did.
func isEarlyEnd(err error) bool {
	return errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF)
}
