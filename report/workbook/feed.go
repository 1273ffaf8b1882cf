package workbook

import (
	"io"
	"io/fs"

	"github.com/xuri/excelize/v2"
)

// feed takes the rows of one sheet to the library, which takes longer over a row
// than making it takes: one goroutine makes rows and another hands them on, some at
// a time. Until it spills them to a file, the library holds 20 MB of a sheet for as
// long as its workbook is open. So the rows of each sheet are written to a workbook
// of their own, which ends when the sheet is filled; what follows the rows comes
// from the workbook that all sheets share.
type feed struct {
	f     *excelize.File
	sw    *excelize.StreamWriter
	from  string      // the sheet's part in f
	to    *part       // and in the archive
	fill  *batch      // being filled
	full  chan *batch // on their way to the library
	spare chan *batch
	ended chan error
}

// batch is a number of rows that follow each other.
type batch struct {
	rows [batchSize]row
	n    int
	err  error // of writing it
}

// row is one row on its way.
type row struct {
	number int
	height float64
	refs   []any // to cells, or nil
	cells  []excelize.Cell
}

const (
	batchSize = 64
	batches   = 3
)

func newFeed(f *excelize.File, sw *excelize.StreamWriter, from string, to *part) *feed {
	r := &feed{f: f, sw: sw, from: from, to: to, full: make(chan *batch, batches), spare: make(chan *batch, batches), ended: make(chan error, 1)}
	for range batches {
		r.spare <- &batch{}
	}
	return r
}

// next is the row to be filled, of so many columns. It belongs to the library from
// the next call on.
func (r *feed) next(columns int) (*row, error) {
	if r.fill != nil && r.fill.n == batchSize {
		r.full <- r.fill
		r.fill = nil
	}
	if r.fill == nil {
		r.fill = <-r.spare
		r.fill.n = 0
	}
	x := &r.fill.rows[r.fill.n]
	r.fill.n++
	if x.cells == nil {
		x.refs, x.cells = make([]any, columns), make([]excelize.Cell, columns)
	}
	return x, r.fill.err
}

// write hands rows on until there are no more.
func (r *feed) write() {
	var err error
	for x := range r.full {
		for i := 0; i < x.n && err == nil; i++ {
			err = r.set(&x.rows[i])
		}
		x.err = err
		r.spare <- x
	}
	r.ended <- err
}

func (r *feed) set(l *row) error {
	name, err := excelize.CoordinatesToCellName(1, l.number)
	if err != nil {
		return err
	}
	return r.sw.SetRow(name, l.refs, excelize.RowOpts{Height: l.height})
}

// end waits until all rows are with the library.
func (r *feed) end() error {
	if r.fill != nil {
		r.full <- r.fill
	}
	close(r.full)
	return <-r.ended
}

// move takes the sheet up to its last row to the archive.
func (r *feed) move() error {
	r.f.SetZipWriter(func(io.Writer) excelize.ZipWriter { return onePart{r} })
	_, err := r.f.WriteToBuffer()
	r.to.wait()
	return err
}

// onePart takes the part of the sheet from a container and drops the others.
type onePart struct{ *feed }

func (o onePart) Create(name string) (io.Writer, error) {
	if name == o.from {
		return o.to, nil
	}
	return io.Discard, nil
}

func (onePart) AddFS(fs.FS) error { return nil }

func (onePart) Close() error { return nil }
