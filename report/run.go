package report

import (
	"cmp"
	"slices"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// Run is what the command knows about one run. Captures and Problems are in
// the order in which reports print them.
type Run struct {
	Version     string
	RuleSetHash string // see [RuleSetHash]
	AsOf        time.Time
	AsOfGiven   bool     // the user fixed AsOf; otherwise it is the clock's time at the start
	Inputs      []string // as named on the command line
	Out         string   // output folder, as named
	Settings    []SettingFile
	Captures    []listing.Capture
	Problems    []listing.Problem
	ColumnMaps  []ColumnMap
	Warnings    []string
	Decided     Decided // taken from an earlier workbook; may be nil
	MaskAll     bool    // every contact is masked in every output
	ContactKey  []byte  // of [ContactHash]; nil for [KeyOf]
}

// SettingFile is one file of the user's settings.
type SettingFile struct {
	Role   string `json:"role"` // "makers", "reference", "rates", ...
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
	Size   int64  `json:"size"` // bytes
}

// ColumnMap says which field a table's column was read as. Field is "" for a
// column that was not used.
type ColumnMap struct {
	File    string `json:"file"`
	Heading string `json:"heading"`
	Field   string `json:"field"`
	How     string `json:"how"` // "same name", "known name", "likeness", "settings", ...
}

// Count is a number with what was counted.
type Count struct {
	Of string `json:"of"`
	N  int    `json:"n"`
}

// Counts are the totals of a run.
type Counts struct {
	Listings      int `json:"listings"`
	Photos        int `json:"photos"`
	Fingerprinted int `json:"photos_fingerprinted"`
	// Read counts captures by kind, sorted by kind.
	Read []Count `json:"read"`
	// Refused counts what was not read at all: files, entries of archives and
	// pages, rows of tables.
	Refused  []Count `json:"refused"`
	Partial  int     `json:"read_in_part"` // problems that cost a part of a listing
	Notices  int     `json:"notices"`
	Outcomes []Count `json:"outcomes"` // in the order of rules.Outcomes
}

// CountsOf adds up a run.
func CountsOf(run *Run, res *rules.Result) Counts {
	var c Counts
	kinds := map[string]int{}
	for i := range run.Captures {
		kinds[cmp.Or(run.Captures[i].Kind, "other")]++
	}
	for kind, n := range kinds {
		c.Read = append(c.Read, Count{kind, n})
	}
	slices.SortFunc(c.Read, func(a, b Count) int { return cmp.Compare(a.Of, b.Of) })

	refused := [...]Count{{Of: "file"}, {Of: "entry or photo"}, {Of: "row"}}
	for i := range run.Problems {
		switch p := &run.Problems[i]; {
		case p.Severity == listing.Partial:
			c.Partial++
		case p.Severity == listing.Notice:
			c.Notices++
		case p.Place.Row > 0:
			refused[2].N++
		case p.Entry != "":
			refused[1].N++
		default:
			refused[0].N++
		}
	}
	c.Refused = refused[:]

	c.Listings = len(res.Ranked)
	outcomes := map[string]int{}
	for _, j := range res.Ranked {
		outcomes[j.Outcome]++
		c.Photos += len(j.Listing.Photos)
		for i := range j.Listing.Photos {
			if j.Listing.Photos[i].Printed {
				c.Fingerprinted++
			}
		}
	}
	for _, o := range rules.Outcomes {
		c.Outcomes = append(c.Outcomes, Count{o, outcomes[o]})
	}
	return c
}

// Warnings are those of the command and what the batch itself warns of.
func Warnings(run *Run, res *rules.Result) []string {
	list := slices.Clone(run.Warnings)
	if apart := res.Facts.Markets.Apart(); apart != "" {
		list = append(list, "no exchange rate from "+apart+" to "+res.Facts.Currency+
			": those prices are compared among themselves only; give rates with --rates")
	}
	return list
}

// Unread is the number of problems that cost something: whatever was refused
// or read in part.
func (c *Counts) Unread() int {
	n := c.Partial
	for _, r := range c.Refused {
		n += r.N
	}
	return n
}
