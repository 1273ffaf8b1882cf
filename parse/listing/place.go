package listing

import (
	"fmt"
	"strconv"
	"strings"
)

// Place says where in a file a text was read.
//
// In a table, Row and Path (the column's heading as it stands in the file)
// are set. In a page, Source names the kind of markup ("json-ld",
// "microdata", "rdfa", "open-graph", "meta", "page") and Path the property
// path or the element path; Start and End give the byte range of the element
// in the file, half-open, both 0 when the markup was not at one place.
type Place struct {
	Source string
	Path   string
	Row    int32 // 1 is the file's first line, so a table's header has a row too
	Start  int32
	End    int32
}

// Cell is the place of a table cell. Row 1 is the first line of the file.
func Cell(row int, column string) Place {
	return Place{Row: int32(row), Path: column}
}

// String writes the place as reports print it: "row 12, column serial_number",
// "json-ld offers.price" or "page main > h1, bytes 120-150".
func (p Place) String() string {
	if p.Row > 0 && p.Source == "" {
		if p.Path == "" {
			return fmt.Sprintf("row %d", p.Row)
		}
		return fmt.Sprintf("row %d, column %s", p.Row, p.Path)
	}
	s := p.Source
	if p.Path != "" {
		s += " " + p.Path
	}
	if p.End > 0 {
		s += fmt.Sprintf(", bytes %d-%d", p.Start, p.End)
	}
	return s
}

// ParsePlace is the inverse of [Place.String]. A text of another form becomes
// a place whose Source is that text, so that nothing is lost.
func ParsePlace(s string) Place {
	if rest, ok := strings.CutPrefix(s, "row "); ok {
		number, column, hasColumn := strings.Cut(rest, ", column ")
		if n, err := strconv.ParseInt(number, 10, 32); err == nil && n > 0 {
			if hasColumn {
				return Place{Row: int32(n), Path: column}
			}
			return Place{Row: int32(n)}
		}
	}
	var p Place
	if i := strings.LastIndex(s, ", bytes "); i >= 0 {
		from, to, ok := strings.Cut(s[i+len(", bytes "):], "-")
		a, errA := strconv.ParseInt(from, 10, 32)
		b, errB := strconv.ParseInt(to, 10, 32)
		if ok && errA == nil && errB == nil && b > 0 && a >= 0 {
			p.Start, p.End = int32(a), int32(b)
			s = s[:i]
		}
	}
	p.Source, p.Path, _ = strings.Cut(s, " ")
	return p
}
