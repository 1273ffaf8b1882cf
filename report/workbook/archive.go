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
	"slices"
	"strings"
	"sync"

	"github.com/klauspost/compress/flate"
)

// archive is a zip container whose bytes depend on the parts alone: parts are
// compressed as they come and written sorted by name at the end, without
// times. The content-type entries, which the library writes in any order, are
// sorted too. Sheets get the rows and the extensions that the library does not
// write, and are compressed at the same time.
type archive struct {
	w      io.Writer
	stop   func() error // ends the writing with its error
	parts  []*part
	sheets map[string]insert // by the name of the sheet's part; may be nil
}

// insert is what a sheet has beside that which the library writes.
type insert struct {
	rows *rowStore
	tail string // XML before the end tag, or ""
}

// part is one compressed file of the container.
type part struct {
	name    string
	out     bytes.Buffer
	deflate *flate.Writer
	crc     hash.Hash32
	size    uint64
	plain   *bytes.Buffer // set for a part that is changed before it is compressed
	stop    func() error
	done    chan error // of a sheet, gives the end of its compression
}

const (
	contentTypes = "[Content_Types].xml"
	rowsEnd      = "</sheetData>"
	sheetEnd     = "</worksheet>"
)

// Create starts the next part; the one before is complete.
func (a *archive) Create(name string) (io.Writer, error) {
	if err := a.finish(); err != nil {
		return nil, err
	}
	p := &part{name: name, crc: crc32.NewIEEE(), stop: a.stop}
	a.parts = append(a.parts, p)
	if _, sheet := a.sheets[name]; sheet || name == contentTypes {
		p.plain = new(bytes.Buffer)
		return p.plain, nil
	}
	return p, nil
}

func (p *part) Write(b []byte) (int, error) {
	if err := p.stop(); err != nil {
		return 0, err
	}
	if p.deflate == nil {
		p.deflate = compressors.Get().(*flate.Writer)
		p.deflate.Reset(&p.out)
	}
	p.crc.Write(b)
	p.size += uint64(len(b))
	return p.deflate.Write(b)
}

// finish ends the last part.
func (a *archive) finish() error {
	if len(a.parts) == 0 {
		return nil
	}
	p := a.parts[len(a.parts)-1]
	if add, sheet := a.sheets[p.name]; sheet {
		p.done = make(chan error, 1)
		go func() { p.done <- p.sheet(add) }()
		return nil
	}
	if p.plain != nil {
		if _, err := p.Write(sortTypes(p.plain.Bytes())); err != nil {
			return err
		}
	}
	return p.end()
}

// compressors are used again: each takes as much memory as many small parts.
var compressors = sync.Pool{New: func() any {
	w, _ := flate.NewWriter(nil, flate.BestSpeed) // a level that exists
	return w
}}

// end ends the compression.
func (p *part) end() error {
	if p.deflate == nil { // an empty part
		if _, err := p.Write(nil); err != nil {
			return err
		}
	}
	err := p.deflate.Close()
	compressors.Put(p.deflate)
	p.deflate = nil
	return err
}

// sheet compresses a sheet with its insert.
func (p *part) sheet(add insert) error {
	front, back, ok := bytes.Cut(p.plain.Bytes(), []byte(rowsEnd))
	end, last := bytes.CutSuffix(back, []byte(sheetEnd))
	if !ok || !last {
		return errors.New("a sheet without the end of its rows or of itself")
	}
	if _, err := p.Write(front); err != nil {
		return err
	}
	if err := add.rows.writeTo(p); err != nil {
		return err
	}
	for _, b := range [][]byte{[]byte(rowsEnd), end, []byte(add.tail), []byte(sheetEnd)} {
		if _, err := p.Write(b); err != nil {
			return err
		}
	}
	return p.end()
}

// AddFS belongs to the interface; nothing uses it.
func (a *archive) AddFS(fs.FS) error { return errors.ErrUnsupported }

// Close writes the container. The content types come first, as readers expect.
func (a *archive) Close() error {
	if err := a.finish(); err != nil {
		return err
	}
	for _, p := range a.parts {
		if p.done != nil {
			if err := <-p.done; err != nil {
				return err
			}
		}
	}
	slices.SortFunc(a.parts, func(x, y *part) int {
		return cmp.Or(rank(x.name)-rank(y.name), cmp.Compare(x.name, y.name))
	})
	z := zip.NewWriter(a.w)
	for _, p := range a.parts {
		h := &zip.FileHeader{Name: p.name, Method: zip.Deflate, CRC32: p.crc.Sum32(),
			CompressedSize64: uint64(p.out.Len()), UncompressedSize64: p.size,
			//lint:ignore SA1019 CreateRaw writes this field and does not look at Modified
			ModifiedDate: 1<<5 | 1} // 1 January 1980, the first day the format knows
		w, err := z.CreateRaw(h)
		if err != nil {
			return err
		}
		if _, err := p.out.WriteTo(w); err != nil {
			return err
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
