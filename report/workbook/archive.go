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
// sorted too. The rows of a sheet may come before the rest of it, and sheets get
// the extensions that streaming leaves out.
type archive struct {
	w          io.Writer
	stop       func() error // ends the writing with its error
	parts      []*part
	last       *part             // of Create
	begun      map[string]*part  // sheets that have their rows, by name
	extensions map[string]string // XML by the name of the sheet's part
	slots      chan struct{}     // one for each block being compressed
}

func newArchive(w io.Writer, stop func() error) *archive {
	return &archive{w: w, stop: stop, begun: map[string]*part{}, extensions: map[string]string{},
		slots: make(chan struct{}, runtime.GOMAXPROCS(0))}
}

// part is one compressed file of the container: a row of deflate blocks, each
// compressed by itself and ended at a byte, so that several processors can work
// on a large sheet (RFC 1951 lets such blocks follow each other).
type part struct {
	name   string
	block  []byte // not yet handed out
	rest   []byte // the same while the part waits
	blocks []*block
	crc    hash.Hash32
	size   uint64
	whole  *bytes.Buffer // set for a part that is changed before it is compressed
	of     *archive
}

type block struct {
	out  []byte
	err  error
	done chan struct{} // closed when out and err are set
}

// blockSize is how many bytes are compressed as one. It is fixed, since the bytes
// of the container depend on it.
const blockSize = 1 << 20

const (
	contentTypes = "[Content_Types].xml"
	rowsEnd      = "</sheetData>"
	sheetEnd     = "</worksheet>"
)

// begin makes the part of a sheet, to which all up to its last row is written. The
// rest is taken from what [archive.Create] is then given under the name.
func (a *archive) begin(name string) *part {
	p := &part{name: name, crc: crc32.NewIEEE(), of: a}
	a.begun[name] = p
	return p
}

// Create starts the next part; the one before is complete.
func (a *archive) Create(name string) (io.Writer, error) {
	if err := a.finish(); err != nil {
		return nil, err
	}
	p, begun := a.begun[name]
	if !begun {
		p = &part{name: name, crc: crc32.NewIEEE(), of: a}
	}
	a.parts, a.last = append(a.parts, p), p
	if begun || name == contentTypes {
		p.whole = new(bytes.Buffer)
		return p.whole, nil
	}
	return p, nil
}

func (p *part) Write(b []byte) (int, error) {
	if err := p.of.stop(); err != nil {
		return 0, err
	}
	p.crc.Write(b)
	p.size += uint64(len(b))
	for rest := b; len(rest) > 0; {
		if p.block == nil {
			p.block = append((*plains.Get().(*[blockSize]byte))[:0], p.rest...)
			p.rest = nil
		}
		n := min(len(rest), blockSize-len(p.block))
		p.block = append(p.block, rest[:n]...)
		if rest = rest[n:]; len(p.block) == blockSize {
			p.compress(false)
		}
	}
	return len(b), nil
}

// wait gives back the room of a block until more is written.
func (p *part) wait() {
	if p.block != nil {
		p.rest = bytes.Clone(p.block)
		plains.Put((*[blockSize]byte)(p.block[:blockSize]))
		p.block = nil
	}
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
		c := compressors.Get().(*compressor)
		defer compressors.Put(c)
		b.out, b.err = c.compress(plain, last)
	}()
}

// compressor takes as much memory as many small parts, and is used again.
type compressor struct {
	w   *flate.Writer
	out bytes.Buffer
}

var compressors = sync.Pool{New: func() any {
	w, _ := flate.NewWriter(nil, flate.BestSpeed) // a level that exists
	return &compressor{w: w}
}}

func (c *compressor) compress(plain []byte, last bool) ([]byte, error) {
	c.out.Reset()
	c.w.Reset(&c.out)
	if _, err := c.w.Write(plain); err != nil {
		return nil, err
	}
	end := c.w.Flush
	if last {
		end = c.w.Close
	}
	err := end()
	return bytes.Clone(c.out.Bytes()), err
}

// plains are the blocks before they are compressed.
var plains = sync.Pool{New: func() any { return new([blockSize]byte) }}

// finish ends the last part.
func (a *archive) finish() error {
	p := a.last
	if p == nil {
		return nil
	}
	if p.whole != nil {
		text, err := p.changed(p.whole.Bytes())
		if err != nil {
			return err
		}
		p.whole = nil
		if _, err := p.Write(text); err != nil {
			return err
		}
	}
	p.compress(true)
	return nil
}

// changed is what is still to be written of a part: the sorted content types, or
// what follows the rows of a sheet, with its extension.
func (p *part) changed(text []byte) ([]byte, error) {
	if p.name == contentTypes {
		return sortTypes(text), nil
	}
	rows := bytes.Index(text, []byte(rowsEnd))
	body, ended := bytes.CutSuffix(text, []byte(sheetEnd))
	if rows < 0 || !ended {
		return nil, errors.New("a sheet has no end tag")
	}
	return slices.Concat(body[rows:], []byte(p.of.extensions[p.name]+sheetEnd)), nil
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
			packed += uint64(len(b.out))
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
			if _, err := w.Write(b.out); err != nil {
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
