package calibrate

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// Case is a listing with a confirmed outcome and what the rules said of it.
type Case struct {
	Key      string
	Copy     bool // confirmed copy; otherwise confirmed genuine
	Findings []Finding
	Lacks    []int   // numbers of the rules that were not assessed, ascending
	Place    float64 // place in its ranking, from 0 (first) to below 1
}

// Finding is a rule that applied.
type Finding struct {
	Rule     int     // number of the rule
	Strength float64 // share of the rule's weight, above 0, at most 1
}

// Intake gathers the cases of suspects files.
type Intake struct {
	rules    []Rule
	numbers  map[string]int
	outcomes map[string]Outcome
	cases    map[string]*found
	// Listings counts the lines of all files, Again the cases that a later file
	// replaced, Superseded the outcomes of which a later one speaks of the same
	// listing.
	Listings, Again, Superseded int
}

type found struct {
	Case
	url, file string
	line      int
	unknown   bool
}

// NewIntake takes the rules, in the order in which they are numbered, and the
// outcomes. Of several outcomes of one listing the latest counts.
func NewIntake(rules []Rule, outcomes []Outcome) *Intake {
	in := &Intake{rules: rules, numbers: map[string]int{}, outcomes: map[string]Outcome{}, cases: map[string]*found{}}
	for i, r := range rules {
		in.numbers[r.ID] = i
	}
	for _, o := range outcomes {
		before, again := in.outcomes[o.Listing]
		if again {
			in.Superseded++
		}
		if !again || before.Date.Before(o.Date) {
			in.outcomes[o.Listing] = o
		}
	}
	return in
}

// maxLine bounds a line of a suspects file, in bytes.
const maxLine = 8 << 20

// Read reads a suspects file, as the audit writes it. The first line that is
// not one of its lines, or that does not fit the rules and their weights, ends
// it with an error that names file and line. A listing that an earlier file
// held too counts as this file shows it.
func (in *Intake) Read(file string, r io.Reader) error {
	lines := bufio.NewScanner(r)
	lines.Buffer(make([]byte, 0, 1<<16), maxLine)
	var here []*found
	n := 0
	for lines.Scan() {
		n++
		f, err := in.line(file, n, lines.Bytes())
		if err != nil {
			return fmt.Errorf("%s:%d: %w", file, n, err)
		}
		if f != nil {
			f.Place = float64(n - 1)
			here = append(here, f)
		}
	}
	if err := lines.Err(); err != nil {
		if errors.Is(err, bufio.ErrTooLong) {
			err = fmt.Errorf("the line is longer than %d bytes", maxLine)
		}
		return fmt.Errorf("%s:%d: %w", file, n+1, err)
	}
	if n == 0 {
		return fmt.Errorf("%s: the file is empty", file)
	}
	in.Listings += n
	for _, f := range here {
		f.Place /= float64(n)
	}
	return nil
}

// suspect is what calibration reads of a line.
type suspect struct {
	Listing  string   `json:"listing"`
	URL      string   `json:"url"`
	Coverage *float64 `json:"coverage"`
	Findings []struct {
		Rule     string   `json:"rule"`
		WeightDB *float64 `json:"weight_db"`
	} `json:"findings"`
	NotAssessed []struct {
		Rule string `json:"rule"`
	} `json:"not_assessed"`
}

var errNoSuspect = errors.New("this is not a line of suspects.ndjson")

func (in *Intake) line(file string, n int, data []byte) (*found, error) {
	var s suspect
	if err := json.Unmarshal(bytes.ToValidUTF8(data, []byte("\uFFFD")), &s); err != nil {
		return nil, fmt.Errorf("%w: %v", errNoSuspect, err)
	}
	key := strings.TrimSpace(s.Listing)
	if key == "" || s.Coverage == nil || s.Findings == nil || s.NotAssessed == nil {
		return nil, errNoSuspect
	}
	c, err := in.read(&s)
	if err != nil {
		return nil, err
	}
	o, has := in.outcomes[key]
	if !has {
		return nil, nil
	}
	c.Key, c.Copy = key, o.Outcome == ConfirmedCopy
	f := &found{Case: c, url: s.URL, file: file, line: n, unknown: o.Outcome == OutcomeUnknown}
	if before := in.cases[key]; before != nil {
		switch {
		case before.file == file:
			return nil, fmt.Errorf("the key %q stands in line %d already", key, before.line)
		case before.url != f.url && before.url != "" && f.url != "":
			return nil, fmt.Errorf("the key %q stands for another address in %s:%d; calibrate with one of the two files", key, before.file, before.line)
		}
		in.Again++
	}
	in.cases[key] = f
	return f, nil
}

// read takes over findings and gaps, and refuses what does not fit the rules.
func (in *Intake) read(s *suspect) (Case, error) {
	var c Case
	known := make([]bool, len(in.rules))
	number := func(id string) (int, error) {
		i, ok := in.numbers[id]
		if !ok {
			return 0, fmt.Errorf("no rule is called %q", id)
		}
		if known[i] {
			return 0, fmt.Errorf("rule %q stands here twice", id)
		}
		known[i] = true
		return i, nil
	}
	for _, f := range s.Findings {
		i, err := number(f.Rule)
		if err != nil {
			return c, err
		}
		if f.WeightDB == nil {
			return c, errNoSuspect
		}
		strength, ok := strengthOf(*f.WeightDB, in.rules[i].Used)
		if !ok {
			return c, fmt.Errorf("a finding of %s weighs %v dB, which is not a share of its weight of %v dB: the run had other weights", f.Rule, *f.WeightDB, in.rules[i].Used)
		}
		c.Findings = append(c.Findings, Finding{i, strength})
	}
	for _, gap := range s.NotAssessed {
		i, err := number(gap.Rule)
		if err != nil {
			return c, err
		}
		c.Lacks = append(c.Lacks, i)
	}
	slices.Sort(c.Lacks)
	// A rule that did not run would otherwise pass for one that found nothing.
	if share := 1 - float64(len(c.Lacks))/float64(len(in.rules)); math.Abs(share-*s.Coverage) > 0.00006 {
		return c, fmt.Errorf("a coverage of %v with %d rules not assessed is not that of %d rules: the run had another set of rules", *s.Coverage, len(c.Lacks), len(in.rules))
	}
	return c, nil
}

// strengthOf gives the strength of a finding from its weight, which is rounded
// to two decimals, and that of its rule. A rule of nearly no weight hides it; its
// findings count as of full strength.
func strengthOf(found, used float64) (float64, bool) {
	const rounding, hidden = 0.0051, 0.05
	if math.Abs(used) < hidden {
		return 1, math.Abs(found) <= hidden+rounding
	}
	strength := found / used
	if strength > 1 && math.Abs(found-used) <= rounding {
		strength = 1
	}
	return strength, strength > 0 && strength <= 1
}

// Cases are the listings with a confirmed outcome, by key.
func (in *Intake) Cases() []Case {
	var list []Case
	for _, f := range in.cases {
		if !f.unknown {
			list = append(list, f.Case)
		}
	}
	slices.SortFunc(list, func(a, b Case) int { return strings.Compare(a.Key, b.Key) })
	return list
}

// Unknown counts the listings whose outcome is unknown.
func (in *Intake) Unknown() int {
	n := 0
	for _, f := range in.cases {
		if f.unknown {
			n++
		}
	}
	return n
}

// NotFound lists the outcomes of listings that no suspects file holds, in the
// order of their lines.
func (in *Intake) NotFound() []Outcome {
	var list []Outcome
	for key, o := range in.outcomes {
		if in.cases[key] == nil {
			list = append(list, o)
		}
	}
	slices.SortFunc(list, func(a, b Outcome) int { return a.Line - b.Line })
	return list
}
