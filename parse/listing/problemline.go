package listing

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// ProblemLine is the JSON form of a [Problem].
type ProblemLine struct {
	Severity Severity `json:"severity"`
	File     string   `json:"file"`
	Entry    string   `json:"entry,omitempty"`
	Place    string   `json:"place,omitempty"`
	Field    string   `json:"field,omitempty"`
	Raw      string   `json:"raw,omitempty"`
	Reason   string   `json:"reason"`
	Hint     string   `json:"hint,omitempty"`
}

// ToProblemLine gives the JSON form.
func ToProblemLine(p *Problem) ProblemLine {
	line := ProblemLine{Severity: p.Severity, File: p.File, Entry: p.Entry, Place: p.Place.String(), Raw: p.Raw, Reason: p.Reason, Hint: p.Hint}
	if p.Field != NoField {
		line.Field = p.Field.String()
	}
	return line
}

// ProblemRecord is the word by which a line of `counterfoil extract` that holds a
// problem is told from one that holds a listing.
const ProblemRecord = "problem"

// ExtractProblem is a [Problem] as `counterfoil extract` writes it, below the
// listings, and as the intake reads it back.
type ExtractProblem struct {
	Record string `json:"record"` // ProblemRecord
	ProblemLine
}

// Bounds of the texts of a problem that is read back, in runes.
const (
	nameLimit   = 4096
	reasonLimit = 2000
)

// WriteProblem writes a problem as a line of `counterfoil extract`.
func WriteProblem(w io.Writer, p *Problem) error {
	return writeJSON(w, ExtractProblem{Record: ProblemRecord, ProblemLine: ToProblemLine(p)})
}

// FromProblemLine reads a line back that an extract command wrote.
func FromProblemLine(data []byte) (Problem, error) {
	var line ExtractProblem
	if err := json.Unmarshal(data, &line); err != nil {
		return Problem{}, fmt.Errorf("not a problem of an extract: %w", err)
	}
	if line.File == "" || line.Reason == "" {
		return Problem{}, errors.New(`a problem of an extract needs "file" and "reason"`)
	}
	p := Problem{Severity: line.Severity, File: Shorten(line.File, nameLimit), Entry: Shorten(line.Entry, nameLimit), Place: ParsePlace(Shorten(line.Place, nameLimit)),
		Field: NameOf(line.Field), Raw: Shorten(line.Raw, RawLimit), Reason: Shorten(line.Reason, reasonLimit), Hint: Shorten(line.Hint, reasonLimit)}
	switch {
	case p.Severity != Refused && p.Severity != Partial && p.Severity != Notice:
		return Problem{}, fmt.Errorf("unknown severity %q", Shorten(string(line.Severity), 40))
	case p.Field == NoField && line.Field != "":
		return Problem{}, fmt.Errorf("unknown field %q", Shorten(line.Field, 40))
	}
	return p, nil
}
