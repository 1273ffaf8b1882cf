package bundle

import (
	"bufio"
	"errors"
	"io"
	"path"
	"strings"

	"github.com/klauspost/compress/gzip"
)

// gzipStore is a single packed file (RFC 1952), of one or several members.
type gzipStore struct {
	a    *Archive
	r    io.ReaderAt
	size int64
}

func openGzip(r io.ReaderAt, size int64, b *builder) (store, error) {
	z, err := gzip.NewReader(io.NewSectionReader(r, 0, size))
	if err != nil {
		return nil, hinted{"its gzip header is damaged or cut off", "fetch or copy the file again"}
	}
	name := path.Base(strings.ReplaceAll(strings.ToValidUTF8(z.Name, "\ufffd"), `\`, "/"))
	if checkPath(name) != nil || name == "." || name == "/" {
		name = plainName(b.a.name)
	}
	return &gzipStore{b.a, r, size}, b.add(Entry{Name: name, Size: -1})
}

// plainName is a file's name without what packing added to it.
func plainName(name string) string {
	name = path.Base(strings.ReplaceAll(name, `\`, "/"))
	switch ext := path.Ext(name); strings.ToLower(ext) {
	case ".gz", ".gzip":
		return strings.TrimSuffix(name, ext)
	case ".tgz":
		return strings.TrimSuffix(name, ext) + ".tar"
	}
	return name
}

func (s *gzipStore) section(int) (*io.SectionReader, bool) { return nil, false }

func (s *gzipStore) resolve(int, string) (int, error) { return 0, ErrNotFound }

// read keeps what comes before damage: pages and tables are read line by line
// and are of use in part.
func (s *gzipStore) read(int) ([]byte, string, error) {
	r, err := s.open(s.a.budget.lim.Entry)
	if err != nil {
		return nil, "", err
	}
	data, err := io.ReadAll(r)
	if d := (damaged{}); errors.As(err, &d) && len(data) > 0 {
		return data, d.Error(), nil
	}
	return data, "", err
}

func (s *gzipStore) stream(int) (io.Reader, error) { return s.open(s.a.budget.lim.Total) }

func (s *gzipStore) open(limit int64) (io.Reader, error) {
	in := &position{r: io.NewSectionReader(s.r, 0, s.size)}
	br := bufio.NewReaderSize(in, 64<<10)
	z, err := gzip.NewReader(br)
	if err != nil {
		return nil, damaged{"its gzip header is damaged or cut off"}
	}
	return &gzipReader{&meter{r: z, budget: s.a.budget, key: s.a.entries[0].Name, limit: limit,
		packed: func() int64 { return in.n }}}, nil
}

// damaged is an error behind which some bytes could be read.
type damaged struct{ reason string }

func (d damaged) Error() string { return d.reason }

type gzipReader struct{ r io.Reader }

func (g *gzipReader) Read(p []byte) (int, error) {
	n, err := g.r.Read(p)
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF):
		err = damaged{"it ends early; what comes before is kept"}
	case errors.Is(err, gzip.ErrHeader):
		err = damaged{"bytes that are not gzip stand behind its end"}
	case errors.Is(err, gzip.ErrChecksum):
		err = damaged{"its checksum is wrong"}
	case err != nil && err != io.EOF:
		if h := (hinted{}); !errors.As(err, &h) {
			err = damaged{"its packed bytes are damaged; what comes before is kept"}
		}
	}
	return n, err
}
