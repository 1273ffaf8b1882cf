package workbook

import (
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// rowStore holds the rows of a sheet as XML until the workbook is put together:
// in memory up to a bound, beyond it in a file. The library's own writer of rows
// takes four times as long and holds 32 MB of each large sheet.
type rowStore struct {
	buf   []byte
	file  *os.File
	names []string // of the columns
}

// rowsHeld is how many bytes of a sheet's rows are held in memory.
const rowsHeld = 256 << 10

// cell is one cell to be written: nil, a string, a whole number or a float64 in
// the numbered style.
type cell struct {
	style int
	value any
	none  bool // no cell at all
}

// add writes a row with the cells from column A on; height is in points. Rows come
// in order.
func (r *rowStore) add(row int, height float64, cells []cell) error {
	if row > excelize.TotalRows || height > excelize.MaxRowHeight {
		return fmt.Errorf("row %d, %v points high: the format has no such row", row, height)
	}
	b := append(r.buf, `<row r="`...)
	b = strconv.AppendInt(b, int64(row), 10)
	if height > 0 {
		b = append(b, `" ht="`...)
		b = strconv.AppendFloat(b, height, 'f', -1, 64)
		b = append(b, `" customHeight="1`...)
	}
	b = append(b, `">`...)
	for i := range cells {
		c := &cells[i]
		if c.none {
			continue
		}
		b = append(b, `<c r="`...)
		b = append(b, r.name(i)...)
		b = strconv.AppendInt(b, int64(row), 10)
		if c.style != 0 {
			b = append(b, `" s="`...)
			b = strconv.AppendInt(b, int64(c.style), 10)
		}
		b = appendValue(b, c.value)
		b = append(b, `</c>`...)
	}
	r.buf = append(b, `</row>`...)
	if len(r.buf) < rowsHeld {
		return nil
	}
	return r.spill()
}

// name is the letters of the column counted from 0.
func (r *rowStore) name(i int) string {
	for len(r.names) <= i {
		letters, _ := excelize.ColumnNumberToName(len(r.names) + 1)
		r.names = append(r.names, letters)
	}
	return r.names[i]
}

// appendValue ends the start tag of a cell and writes its value.
func appendValue(b []byte, value any) []byte {
	switch v := value.(type) {
	case nil:
		return append(b, `">`...)
	case int:
		return appendWhole(b, int64(v))
	case int64:
		return appendWhole(b, v)
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return appendText(b, fmt.Sprint(v))
		}
		b = append(b, `"><v>`...)
		b = appendFloat(b, v)
		return append(b, `</v>`...)
	case string:
		return appendText(b, v)
	}
	return appendText(b, fmt.Sprint(value))
}

func appendWhole(b []byte, v int64) []byte {
	b = append(b, `"><v>`...)
	b = strconv.AppendInt(b, v, 10)
	return append(b, `</v>`...)
}

// appendFloat writes a number with the 15 significant digits that spreadsheet
// programs keep; further ones are cut off.
func appendFloat(b []byte, v float64) []byte {
	from := len(b)
	b = strconv.AppendFloat(b, v, 'f', -1, 64)
	digits, point := 0, -1
	for i := from; i < len(b); i++ {
		switch c := b[i]; {
		case c == '.':
			point = i
			continue
		case c < '0' || c > '9' || digits == 0 && c == '0':
			continue
		}
		if digits++; digits <= 15 {
			continue
		}
		if point >= 0 {
			return b[:i-btoi(i == point+1)]
		}
		for ; i < len(b) && b[i] != '.'; i++ {
			b[i] = '0'
		}
		return b[:i]
	}
	return b
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func appendText(b []byte, s string) []byte {
	b = append(b, `" t="inlineStr"><is><t`...)
	if s != "" && (isEdge(s[0]) || isEdge(s[len(s)-1])) {
		b = append(b, ` xml:space="preserve"`...)
	}
	b = append(b, '>')
	b = appendEscaped(b, s)
	return append(b, `</t></is>`...)
}

func isEdge(c byte) bool { return c == ' ' || c == '\n' || c == '\t' || c == '\r' }

// appendEscaped writes a text as the value of ST_Xstring (ISO/IEC 29500-1,
// 22.9.2.19): what looks like the escape of a character gets its underscore
// escaped.
func appendEscaped(b []byte, s string) []byte {
	plain := 0
	for i := 0; i < len(s); i++ {
		c := s[i]
		switch {
		case c >= utf8.RuneSelf:
			if r, n := utf8.DecodeRuneInString(s[i:]); n > 1 && r != '\uFFFE' && r != '\uFFFF' {
				i += n - 1
				continue
			}
		case c == '\n' || c >= ' ' && c != '&' && c != '<' && c != '>' && c != '"' && c != '\'' && c != '_':
			continue
		case c == '_' && !escapes(s[i:]):
			continue
		}
		b = append(b, s[plain:i]...)
		if c >= utf8.RuneSelf {
			_, n := utf8.DecodeRuneInString(s[i:])
			i += n - 1
		}
		plain = i + 1
		switch c {
		case '&':
			b = append(b, "&amp;"...)
		case '<':
			b = append(b, "&lt;"...)
		case '>':
			b = append(b, "&gt;"...)
		case '"':
			b = append(b, "&#34;"...)
		case '\'':
			b = append(b, "&#39;"...)
		case '\t':
			b = append(b, "&#x9;"...)
		case '\r':
			b = append(b, "&#xD;"...)
		case '_':
			b = append(b, "_x005F_"...)
		default: // not allowed in XML
			b = append(b, "\uFFFD"...)
		}
	}
	return append(b, s[plain:]...)
}

// escapes reports whether a text begins like the escape of a character: "_x0041_".
func escapes(s string) bool {
	if len(s) < len("_x0041_") || s[1] != 'x' || s[6] != '_' {
		return false
	}
	_, err := strconv.ParseUint(s[2:6], 16, 16)
	return err == nil
}

// spill moves the rows to the file.
func (r *rowStore) spill() error {
	if r.file == nil {
		f, err := os.CreateTemp("", "counterfoil-rows-*")
		if err != nil {
			return err
		}
		r.file = f
	}
	_, err := r.file.Write(r.buf)
	r.buf = r.buf[:0]
	return err
}

// writeTo writes all rows.
func (r *rowStore) writeTo(w io.Writer) error {
	if r.file != nil {
		if _, err := r.file.Seek(0, io.SeekStart); err != nil {
			return err
		}
		if _, err := io.Copy(w, r.file); err != nil {
			return err
		}
	}
	_, err := w.Write(r.buf)
	return err
}

// close removes the file.
func (r *rowStore) close() {
	if r.file != nil {
		r.file.Close()
		os.Remove(r.file.Name())
	}
}
