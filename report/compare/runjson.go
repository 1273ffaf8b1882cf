package compare

import (
	"encoding/json"
	"io"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// Input is what was read of one side.
type Input struct {
	Arguments  []string // as named on the command line
	Captures   []listing.Capture
	Problems   []listing.Problem
	ColumnMaps []report.ColumnMap
}

// Run is what the command knows about one comparison.
type Run struct {
	Version       string
	AsOf          time.Time
	AsOfGiven     bool
	Out           string // output folder, as named
	Casebook      string // that both sides are runs of, as named, or ""
	Settings      []report.SettingFile
	Before, After Input
	Warnings      []string
}

// Counts are the totals of one side.
type Counts struct {
	Listings      int            `json:"listings"`
	Photos        int            `json:"photos"`
	Fingerprinted int            `json:"photos_fingerprinted"`
	Read          []report.Count `json:"read"`
	Refused       []report.Count `json:"refused"`
	Partial       int            `json:"read_in_part"`
	Notices       int            `json:"notices"`
}

// CountsOf adds up one side.
func CountsOf(in *Input, side *Side) Counts {
	all := report.CountsOf(&report.Run{Captures: in.Captures, Problems: in.Problems}, &rules.Result{})
	c := Counts{Listings: len(side.Listings), Read: all.Read, Refused: all.Refused, Partial: all.Partial, Notices: all.Notices}
	for _, l := range side.Listings {
		c.Photos += len(l.Photos)
		for i := range l.Photos {
			if l.Photos[i].Printed {
				c.Fingerprinted++
			}
		}
	}
	return c
}

// Unread is the number of problems that cost something.
func (c *Counts) Unread() int {
	n := c.Partial
	for _, r := range c.Refused {
		n += r.N
	}
	return n
}

type runFile struct {
	Tool      string               `json:"tool"`
	Command   string               `json:"command"`
	Version   string               `json:"version"`
	AsOf      string               `json:"as_of"`
	AsOfGiven bool                 `json:"as_of_given"`
	Casebook  string               `json:"casebook,omitempty"`
	Before    sideFile             `json:"before"`
	After     sideFile             `json:"after"`
	Joined    []report.Count       `json:"joined"`
	Changes   []report.Count       `json:"changes"`
	Settings  []report.SettingFile `json:"settings"`
	Warnings  []string             `json:"warnings"`
	Cautions  []report.Caution     `json:"cautions"`
}

type sideFile struct {
	Arguments     []string              `json:"arguments"`
	Counts        Counts                `json:"counts"`
	CapturedFirst string                `json:"capture_time_stated_first,omitempty"`
	CapturedLast  string                `json:"capture_time_stated_last,omitempty"`
	Inputs        []inputLine           `json:"inputs"`
	Problems      []listing.ProblemLine `json:"problems"`
	ColumnMaps    []report.ColumnMap    `json:"column_maps"`
}

type inputLine struct {
	File     string `json:"file"`
	Entry    string `json:"entry,omitempty"`
	Kind     string `json:"kind"`
	SHA256   string `json:"sha256"`
	Size     int64  `json:"size"`
	Modified string `json:"file_modified,omitempty"`
	Listings int    `json:"listings"`
}

// WriteRun writes the account of a comparison as indented JSON. Inputs and
// problems have the keys of an audit's account.
func WriteRun(w io.Writer, run *Run, res *Result) error {
	f := runFile{Tool: "counterfoil", Command: "compare", Version: run.Version, AsOf: stamp(run.AsOf), AsOfGiven: run.AsOfGiven, Casebook: run.Casebook,
		Before: sideFileOf(&run.Before, &res.Before), After: sideFileOf(&run.After, &res.After),
		Joined: joinedBy(res), Settings: orEmpty(run.Settings), Warnings: warnings(run, res), Cautions: Cautions()}
	for _, k := range Kinds {
		f.Changes = append(f.Changes, report.Count{Of: string(k.Kind), N: res.Kinds[k.Kind]})
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(&f)
}

func sideFileOf(in *Input, side *Side) sideFile {
	f := sideFile{Arguments: orEmpty(in.Arguments), Counts: CountsOf(in, side), CapturedFirst: stamp(side.First), CapturedLast: stamp(side.Last),
		Inputs: make([]inputLine, len(in.Captures)), Problems: report.ProblemLines(in.Problems), ColumnMaps: orEmpty(in.ColumnMaps)}
	for i := range in.Captures {
		c := &in.Captures[i]
		f.Inputs[i] = inputLine{c.File, c.Entry, c.Kind, c.SHA256, c.Size, stamp(c.Modified), c.Listings}
	}
	return f
}

// joinedBy counts the joined listings by how, in a fixed order.
func joinedBy(res *Result) []report.Count {
	var list []report.Count
	for _, word := range []string{byID, byAddress, bySerial, byPhotos, byText, byTitle, byPart, putUpAgain} {
		list = append(list, report.Count{Of: word, N: res.Joined[word]})
	}
	return list
}

func warnings(run *Run, res *Result) []string {
	return append(append([]string{}, res.Warnings...), run.Warnings...)
}

func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

func stamp(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(time.RFC3339)
}

// Cautions are printed with every comparison: one of its own, then those of all
// reports.
func Cautions() []report.Caution {
	return append([]report.Caution{{Title: "Two looks, no more", Text: "'Gone' means not among the later inputs, and 'new' not among the earlier ones. Both depend on what was searched for and saved each time; " +
		"compare looks taken the same way. What one side does not show is 'not observed', and counts as no change."}}, report.Cautions...)
}
