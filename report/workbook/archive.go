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
}

// part is one compressed file of the container.
type part struct {
	name    string
	out     bytes.Buffer
	deflate *flate.Writer
	crc     hash.Hash32
	size    uint64
	plain   *bytes.Buffer // set for the part that must be sorted first
	stop    func() error
	tail    string // to be written before the end tag of a sheet
	held    []byte // what may be the end tag, when there is a tail
}

const (
	contentTypes = "[Content_Types].xml"
	sheetEnd     = "</worksheet>"
)

// Create starts the next part; the one before is complete.
func (a *archive) Create(name string) (io.Writer, error) {
	p := &part{name: name, crc: crc32.NewIEEE(), stop: a.stop, tail: a.extensions[name]}
	var err error
	if p.deflate, err = flate.NewWriter(&p.out, flate.BestSpeed); err != nil {
		return nil, err
	}
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
	if err := p.stop(); err != nil {
		return 0, err
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
	return p.deflate.Close()
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
