package report

import (
	"encoding/json"
	"io"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

type runFile struct {
	Tool        string                `json:"tool"`
	Version     string                `json:"version"`
	RuleSetHash string                `json:"rule_set_sha256"`
	Times       runTimes              `json:"times"`
	Currency    string                `json:"currency"`
	Counts      Counts                `json:"counts"`
	Arguments   []string              `json:"arguments"`
	Inputs      []inputLine           `json:"inputs"`
	Settings    []SettingFile         `json:"settings"`
	Problems    []listing.ProblemLine `json:"problems"`
	ColumnMaps  []ColumnMap           `json:"column_maps"`
	Warnings    []string              `json:"warnings"`
	Cautions    []Caution             `json:"cautions"`
	Decisions   *decidedLine          `json:"decisions,omitempty"`
}

// decidedLine counts the decisions taken over, and names those whose listings
// are gone.
type decidedLine struct {
	Carried int        `json:"carried"`
	Stale   int        `json:"stale"`
	Gone    []goneLine `json:"gone"`
}

type goneLine struct {
	Listing string `json:"listing"`
	Word    string `json:"word"`
	Note    string `json:"note"`
}

func decidedOf(run *Run, res *rules.Result) *decidedLine {
	if len(run.Decided) == 0 {
		return nil
	}
	d := &decidedLine{Gone: []goneLine{}}
	d.Carried, d.Stale = run.Decided.Counts(res)
	for _, g := range run.Decided.Gone(res) {
		d.Gone = append(d.Gone, goneLine{g.Key, g.Word, g.Note})
	}
	return d
}

// runTimes keeps three times apart that are often confused.
type runTimes struct {
	Run           string `json:"as_of"`
	RunGiven      bool   `json:"as_of_given"`
	RunMeans      string `json:"as_of_means"`
	Captured      span   `json:"capture_time_stated"`
	CapturedMeans string `json:"capture_time_stated_means"`
	Modified      span   `json:"file_modified"`
	ModifiedMeans string `json:"file_modified_means"`
}

// span is the earliest and the latest of several times, and how many were
// stated.
type span struct {
	First  string `json:"first,omitempty"`
	Last   string `json:"last,omitempty"`
	Stated int    `json:"stated"`
	Of     int    `json:"of"`

	first, last time.Time
}

// add takes a time as written; what is no time is not counted as stated.
func (s *span) add(text string, t time.Time, ok bool) {
	s.Of++
	if !ok {
		return
	}
	if s.Stated == 0 || t.Before(s.first) {
		s.first, s.First = t, text
	}
	if s.Stated == 0 || t.After(s.last) {
		s.last, s.Last = t, text
	}
	s.Stated++
}

type inputLine struct {
	File     string `json:"file"`
	Entry    string `json:"entry,omitempty"`
	Kind     string `json:"kind"`
	SHA256   string `json:"sha256"`
	Size     int64  `json:"size"`
	Modified string `json:"file_modified,omitempty"`
	Captured *span  `json:"capture_time_stated,omitempty"`
	Listings int    `json:"listings"`
}

// WriteRun writes the account of a run as indented JSON. Times are RFC 3339;
// the run time and the file times are in UTC, capture times as stated.
func WriteRun(w io.Writer, run *Run, res *rules.Result) error {
	f := runFile{Tool: "counterfoil", Version: run.Version, RuleSetHash: run.RuleSetHash,
		Currency: res.Facts.Currency, Counts: CountsOf(run, res),
		Arguments: orEmpty(run.Inputs), Settings: orEmpty(run.Settings), ColumnMaps: orEmpty(run.ColumnMaps),
		Warnings: orEmpty(Warnings(run, res)), Cautions: Cautions, Decisions: decidedOf(run, res),
		Inputs: make([]inputLine, len(run.Captures)), Problems: ProblemLines(run.Problems)}
	f.Times = runTimes{Run: stamp(run.AsOf), RunGiven: run.AsOfGiven,
		RunMeans:      "when the batch was examined; ages are counted to it",
		CapturedMeans: "when the listing was captured, as the input states it",
		ModifiedMeans: "the file system's time, which proves nothing"}
	captured := capturedByFile(res, &f.Times.Captured)
	for i := range run.Captures {
		c := &run.Captures[i]
		f.Inputs[i] = inputLine{File: c.File, Entry: c.Entry, Kind: c.Kind, SHA256: c.SHA256, Size: c.Size,
			Modified: stamp(c.Modified), Captured: captured[place{c.File, c.Entry}], Listings: c.Listings}
		f.Times.Modified.add(stamp(c.Modified), c.Modified, !c.Modified.IsZero())
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(&f)
}

type place struct{ file, entry string }

// capturedByFile gathers the stated capture times of each capture that states
// any, and of all listings.
func capturedByFile(res *rules.Result, all *span) map[place]*span {
	byFile := map[place]*span{}
	for _, l := range res.Facts.Listings {
		text := l.Value(listing.CapturedAt)
		t, ok := readTime(text)
		all.add(text, t, ok)
		s := byFile[place{l.File, l.Entry}]
		if s == nil {
			s = &span{}
			byFile[place{l.File, l.Entry}] = s
		}
		s.add(text, t, ok)
	}
	for k, s := range byFile {
		if s.Stated == 0 {
			delete(byFile, k)
		}
	}
	return byFile
}

func readTime(s string) (time.Time, bool) {
	for _, layout := range []string{time.RFC3339, time.DateOnly, "2006-01-02T15:04:05"} {
		if t, err := time.Parse(layout, s); err == nil {
			return t, true
		}
	}
	return time.Time{}, false
}

// ProblemLines gives the JSON form of problems, in their order.
func ProblemLines(problems []listing.Problem) []listing.ProblemLine {
	lines := make([]listing.ProblemLine, len(problems))
	for i := range problems {
		lines[i] = listing.ToProblemLine(&problems[i])
	}
	return lines
}

func stamp(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(time.RFC3339)
}

// orEmpty makes an absent list [] rather than null.
func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
