package table

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"strings"
	"unicode/utf8"
)

// Bounds on one table.
const (
	sniffSize  = 64 << 10
	maxRecord  = 1 << 20 // bytes in one record, quoted line ends and all
	maxColumns = 4096
)

// delimiters that a table may use, the likeliest first.
var delimiters = []byte{',', ';', '\t', '|'}

// delimiter finds the delimiter of a table by its first records: the one that
// cuts most of them into the same number of cells. A first line "sep=;", as
// spreadsheets write it, decides; skip is its length.
func delimiter(head []byte) (sep byte, skip int) {
	if line, _, found := bytes.Cut(head, []byte("\n")); found {
		mark := strings.ToLower(strings.Trim(string(line), "\" \r"))
		if rest, ok := strings.CutPrefix(mark, "sep="); ok && len(rest) == 1 {
			return rest[0], len(line) + 1
		}
	}
	best, bestScore := byte(','), 0
	for _, d := range delimiters {
		if score := evenness(head, d); score > bestScore {
			best, bestScore = d, score
		}
	}
	return best, 0
}

// evenness scores a delimiter: how many of the first records have the same
// number of cells, above one, as most of them.
func evenness(head []byte, sep byte) int {
	r := newRecordReader(bufio.NewReader(bytes.NewReader(head)), sep)
	counts := map[int]int{}
	for range 30 {
		cells, _, err := r.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err == nil && !blank(cells) {
			counts[len(cells)]++
		}
	}
	best := 0
	for n, times := range counts {
		if n > 1 {
			best = max(best, times*1000+min(n, 999))
		}
	}
	return best
}

// recordReader reads records as RFC 4180 has them, with any delimiter and
// either line end. Unlike encoding/csv it bounds a record, keeps line ends
// inside quotes as they are, and goes on behind a record that cannot be read:
// one stray quote must not cost the rest of the table.
type recordReader struct {
	r     *bufio.Reader
	sep   byte
	line  int      // lines consumed so far
	again [][]byte // lines to be read again after an unclosed quote
	buf   []byte   // bytes of the record's cells
	ends  []int    // end of each cell in buf

	damaged int // line of the first record that was not valid text, or 0
}

func newRecordReader(r *bufio.Reader, sep byte) *recordReader {
	return &recordReader{r: r, sep: sep}
}

var errLongLine = errors.New("line too long")

// readLine gives the next physical line with its end. A line over the bound is
// passed over.
func (r *recordReader) readLine() ([]byte, error) {
	if len(r.again) > 0 {
		line := r.again[0]
		r.again = r.again[1:]
		r.line++
		return line, nil
	}
	line, err := r.r.ReadSlice('\n')
	if err == nil {
		r.line++
		return line, nil
	}
	var whole []byte
	tooLong := false
	for errors.Is(err, bufio.ErrBufferFull) {
		if len(whole) <= maxRecord {
			whole = append(whole, line...)
		} else {
			tooLong = true
		}
		line, err = r.r.ReadSlice('\n')
	}
	whole = append(whole, line...)
	if len(whole) == 0 && err != nil {
		return nil, err
	}
	r.line++
	if tooLong {
		return whole[:maxRecord], errLongLine
	}
	if errors.Is(err, io.EOF) {
		err = nil
	}
	return whole, err
}

// next gives the cells of the next record and the line on which it starts.
func (r *recordReader) next() (cells []string, line int, err error) {
	text, err := r.readLine()
	start := r.line
	if errors.Is(err, errLongLine) {
		return nil, start, badRecord{string(text[:200]), "a line of more than one megabyte", "check the line ends of the table"}
	}
	if err != nil {
		return nil, start, err
	}
	r.buf, r.ends = r.buf[:0], r.ends[:0]
	first := text
	var held [][]byte // copies of the lines after the first one
	size := len(text)
	open, bad := r.cells(text, false)
	for open && bad == "" {
		if held == nil {
			first = bytes.Clone(first)
		}
		more, err := r.readLine()
		if err != nil || size+len(more) > maxRecord {
			// The quote is a stray one: only its own line is lost.
			if err == nil || errors.Is(err, errLongLine) {
				held = append(held, bytes.Clone(more))
			}
			r.again = append(held, r.again...)
			r.line = start
			return nil, start, badRecord{string(first[:min(len(first), 200)]), "a quote is opened and not closed", "double the quotes inside a cell"}
		}
		size += len(more)
		held = append(held, bytes.Clone(more))
		open, bad = r.cells(more, true)
	}
	if bad != "" {
		// The lines behind the first one may be records of their own.
		r.again = append(held, r.again...)
		r.line = start
		return nil, start, badRecord{string(first[:min(len(first), 200)]), bad, "quote the cell and double the quotes inside it"}
	}
	return r.take(), start, nil
}

// take turns the collected bytes into cells that share one string.
func (r *recordReader) take() []string {
	all := string(r.buf)
	if !utf8.ValidString(all) {
		return r.repaired(all)
	}
	cells := make([]string, len(r.ends))
	from := 0
	for i, end := range r.ends {
		cells[i] = all[from:end]
		from = end
	}
	return cells
}

// repaired cuts a record with bytes that are no text; they become U+FFFD.
func (r *recordReader) repaired(all string) []string {
	if r.damaged == 0 {
		r.damaged = r.line
	}
	cells := make([]string, len(r.ends))
	from := 0
	for i, end := range r.ends {
		cells[i] = strings.ToValidUTF8(all[from:end], "\uFFFD")
		from = end
	}
	return cells
}

// fit leaves the cells as they are: a record of another length is a fault.
func (r *recordReader) fit(cells []string, _ []ColumnMatch) []string { return cells }
