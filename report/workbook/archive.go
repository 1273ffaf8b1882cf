package workbook

import (
	"archive/zip"
	"bytes"
	"cmp"
	"errors"
	"hash"
	"hash/crc32"
	"io"
	"io/fs"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"

	"github.com/klauspost/compress/flate"
)

// archive is a zip container whose bytes depend on the parts alone: parts are
// compressed as they come and written sorted by name at the end, without
// times. The content-type entries, which the library writes in any order, are
// sorted too. Sheets get the extensions that streaming leaves out.
type archive struct {
	w          io.Writer
	stop       func() error // ends the writing with its error
	parts      []*part
	extensions map[string]string // XML by the name of the sheet's part
	slots      chan struct{}     // one for each block being compressed
}

// part is one compressed file of the container: a row of deflate blocks, each
// compressed by itself and ended at a byte, so that several processors can work
// on a large sheet (RFC 1951 lets such blocks follow each other).
type part struct {
	name   string
	block  []byte // not yet handed out
	blocks []*block
	crc    hash.Hash32
	size   uint64
	plain  *bytes.Buffer // set for the part that must be sorted first
	of     *archive
	tail   string // to be written before the end tag of a sheet
	held   []byte // what may be the end tag, when there is a tail
}

type block struct {
	out  bytes.Buffer
	err  error
	done chan struct{} // closed when out and err are set
}

// blockSize is how many bytes are compressed as one. It is fixed, since the bytes
// of the container depend on it.
const blockSize = 1 << 20

const (
	contentTypes = "[Content_Types].xml"
	sheetEnd     = "</worksheet>"
)

// Create starts the next part; the one before is complete.
func (a *archive) Create(name string) (io.Writer, error) {
	if a.slots == nil {
		a.slots = make(chan struct{}, runtime.GOMAXPROCS(0))
	}
	p := &part{name: name, crc: crc32.NewIEEE(), of: a, tail: a.extensions[name]}
	if err := a.finish(); err != nil {
		return nil, err
	}
	a.parts = append(a.parts, p)
	if name == contentTypes {
		p.plain = new(bytes.Buffer)
		return p.plain, nil
	}
	return p, nil
}

func (p *part) Write(b []byte) (int, error) {
	if p.tail == "" {
		return p.put(b)
	}
	p.held = append(p.held, b...)
	if n := len(p.held) - len(sheetEnd); n > 0 {
		if _, err := p.put(p.held[:n]); err != nil {
			return 0, err
		}
		p.held = append(p.held[:0], p.held[n:]...)
	}
	return len(b), nil
}

func (p *part) put(b []byte) (int, error) {
	if err := p.of.stop(); err != nil {
		return 0, err
	}
	p.crc.Write(b)
	p.size += uint64(len(b))
	for rest := b; len(rest) > 0; {
		if p.block == nil {
			p.block = (*plains.Get().(*[blockSize]byte))[:0]
		}
		n := min(len(rest), blockSize-len(p.block))
		p.block = append(p.block, rest[:n]...)
		if rest = rest[n:]; len(p.block) == blockSize {
			p.compress(false)
		}
	}
	return len(b), nil
}

// compress hands out what was gathered; nothing follows the last block.
func (p *part) compress(last bool) {
	b, plain := &block{done: make(chan struct{})}, p.block
	p.block, p.blocks = nil, append(p.blocks, b)
	p.of.slots <- struct{}{}
	go func() {
		defer func() {
			if plain != nil {
				plains.Put((*[blockSize]byte)(plain[:blockSize]))
			}
			<-p.of.slots
			close(b.done)
		}()
		w := compressors.Get().(*flate.Writer)
		defer compressors.Put(w)
		w.Reset(&b.out)
		if _, b.err = w.Write(plain); b.err != nil {
			return
		}
		if last {
			b.err = w.Close()
		} else {
			b.err = w.Flush()
		}
	}()
}

// compressors are used again: each takes as much memory as many small parts.
var compressors = sync.Pool{New: func() any {
	w, _ := flate.NewWriter(nil, flate.BestSpeed) // a level that exists
	return w
}}

// plains are the blocks before they are compressed.
var plains = sync.Pool{New: func() any { return new([blockSize]byte) }}

// finish ends the last part.
func (a *archive) finish() error {
	if len(a.parts) == 0 {
		return nil
	}
	p := a.parts[len(a.parts)-1]
	if p.plain != nil {
		if _, err := p.Write(sortTypes(p.plain.Bytes())); err != nil {
			return err
		}
		p.plain = nil
	}
	if p.tail != "" {
		if string(p.held) != sheetEnd {
			return errors.New("a sheet has no end tag")
		}
		if _, err := p.put([]byte(p.tail + sheetEnd)); err != nil {
			return err
		}
		p.tail = ""
	}
	p.compress(true)
	return nil
}

// AddFS belongs to the interface; nothing uses it.
func (a *archive) AddFS(fs.FS) error { return errors.ErrUnsupported }

// Close writes the container. The content types come first, as readers expect.
func (a *archive) Close() error {
	if err := a.finish(); err != nil {
		return err
	}
	slices.SortFunc(a.parts, func(x, y *part) int {
		return cmp.Or(rank(x.name)-rank(y.name), cmp.Compare(x.name, y.name))
	})
	z := zip.NewWriter(a.w)
	for _, p := range a.parts {
		var packed uint64
		for _, b := range p.blocks {
			if <-b.done; b.err != nil {
				return b.err
			}
			packed += uint64(b.out.Len())
		}
		h := &zip.FileHeader{Name: p.name, Method: zip.Deflate, CRC32: p.crc.Sum32(),
			CompressedSize64: packed, UncompressedSize64: p.size,
			//lint:ignore SA1019 CreateRaw writes this field and does not look at Modified
			ModifiedDate: 1<<5 | 1} // 1 January 1980, the first day the format knows
		w, err := z.CreateRaw(h)
		if err != nil {
			return err
		}
		for _, b := range p.blocks {
			if _, err := b.out.WriteTo(w); err != nil {
				return err
			}
		}
	}
	return z.Close()
}

func rank(name string) int {
	switch name {
	case contentTypes:
		return 0
	case "_rels/.rels":
		return 1
	}
	return 2
}

var typeEntry = regexp.MustCompile(`<(Default|Override)\b[^>]*?(/>|></(Default|Override)>)`)

// sortTypes sorts the entries of the content-type part.
func sortTypes(x []byte) []byte {
	all := typeEntry.FindAllIndex(x, -1)
	if len(all) == 0 {
		return x
	}
	var entries []string
	for _, at := range all {
		entries = append(entries, string(x[at[0]:at[1]]))
	}
	slices.Sort(entries)
	start, end := all[0][0], all[len(all)-1][1]
	return slices.Concat(x[:start], []byte(strings.Join(entries, "")), x[end:])
}
