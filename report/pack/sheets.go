package pack

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"
	"time"

	"counterfoil/report"
)

// sheet writes a table as CSV with a byte order mark, so that spreadsheet
// programs read its letters right.
func (d *draft) sheet(rows [][]string) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString("\ufeff")
	w := csv.NewWriter(&b)
	w.UseCRLF = true // RFC 4180
	for _, row := range rows {
		cells := make([]string, len(row))
		for i, cell := range row {
			cells[i] = inert(d.text(cell))
		}
		if err := w.Write(cells); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// inert makes a text that no spreadsheet program takes for a formula
// (CWE-1236), on one line.
func inert(s string) string {
	s = strings.Join(strings.Fields(report.Visible(s)), " ")
	if s != "" && strings.ContainsRune("=+-@", rune(s[0])) {
		return "'" + s
	}
	return s
}

// index is the list of exhibits. Three times are kept apart: when the file was
// changed by the file system's account, when the capture was made by its own
// account, and when this package was made.
func (d *draft) index() ([]byte, error) {
	rows := [][]string{{"exhibit", "file_in_package", "sha256", "bytes", "kind", "shows", "file_as_read", "entry",
		"file_modified_utc_by_file_system", "capture_time_as_stated", "run_time_utc", "note"}}
	for _, e := range d.exhibits {
		p := e.path
		if p != "" {
			p = "data/" + p
		}
		size := ""
		if e.size > 0 || e.kind != "" {
			size = strconv.FormatInt(e.size, 10)
		}
		rows = append(rows, []string{e.no, p, e.sha256, size, e.kind, strings.Join(e.shows, "; "), e.file, e.entry,
			e.modified, e.captured, stamp(d.opt.Run.AsOf), e.note})
	}
	return d.sheet(rows)
}

// custodyLines are the empty lines of the sheet.
const custodyLines = 12

// custody is the sheet of transfers: who, what, when, where, why, and the
// seal's number. Only the tool's own act is filled in.
func (d *draft) custody() ([]byte, error) {
	what := "package made from the captures listed in exhibits.csv, each copied byte for byte and checked against the SHA-256 taken when it was read"
	if d.masked {
		what = "masked copy made of the package with the seal " + d.original
	}
	rows := [][]string{
		{"step", "what", "when_utc", "who_hands_over", "who_receives", "where", "why", "seal_number", "condition_of_seal", "signature"},
		{"1", what, stamp(d.opt.Run.AsOf), "", "counterfoil " + d.opt.Run.Version + ", run by (name): ", "",
			"to preserve the listing as captured, for review by a person", "SHA-256 of tagmanifest-sha256.txt, in the file beside the package", "", ""},
	}
	for n := range custodyLines {
		rows = append(rows, append([]string{strconv.Itoa(n + 2)}, make([]string, len(rows[0])-1)...))
	}
	return d.sheet(rows)
}

func stamp(t time.Time) string { return t.UTC().Format(time.RFC3339) }
