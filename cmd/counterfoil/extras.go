package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/parse/table"
	"counterfoil/report"
	"counterfoil/report/decisions"
	"counterfoil/report/workbook"
	"counterfoil/rules"
	"counterfoil/rules/settings"
)

// extraFlags add to the report what one of its readers needs.
type extraFlags struct {
	Decisions string   `type:"existingfile" placeholder:"FILE.xlsx" help:"Workbook of an earlier run whose decisions and notes are taken over."`
	Wanted    string   `placeholder:"PART" help:"Part number to buy: adds offers to consider, messages to sellers and an inspection sheet."`
	OwnPrices string   `type:"existingfile" placeholder:"FILE" help:"Your own costs and list prices: adds rival offers beside them (CSV)."`
	Own       string   `placeholder:"SELLER" help:"Your own seller name or id: its listings are not ranked, but read as a careful buyer would."`
	Format    []string `placeholder:"LIST" enum:"csv" help:"Further outputs, separated by commas: csv."`
}

// extras is what the flags gave.
type extras struct {
	*extraFlags
	ownPrices []settings.OwnPrice
	decided   report.Decided
	problems  []listing.Problem // of the decisions
}

// load reads the files that the flags name.
func (f *extraFlags) load(l *loader) *extras {
	x := &extras{extraFlags: f, ownPrices: load(l, "own-prices", f.OwnPrices, settings.ReadOwnPrices)}
	x.decided, x.problems = readDecisions(l, "decisions", f.Decisions)
	return x
}

// readDecisions reads a workbook of an earlier run; nothing without a name.
func readDecisions(l *loader, role, name string) (report.Decided, []listing.Problem) {
	if name == "" {
		return nil, nil
	}
	var r decisions.Reader
	if err := readWorkbook(l, role, name, r.Row); err != nil {
		l.errs = append(l.errs, err)
		return nil, nil
	}
	return r.Result(name)
}

// readWorkbook streams the rows of a workbook of the user and remembers it as a
// settings file.
func readWorkbook(l *loader, role, name string, row func(string, int, []string) bool) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	hash := sha256.New()
	if err := table.StreamGrid(io.TeeReader(f, hash), row); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	info, err := f.Stat()
	if err != nil {
		return err
	}
	l.files = append(l.files, report.SettingFile{Role: role, File: name, SHA256: hex.EncodeToString(hash.Sum(nil)), Size: info.Size()})
	return nil
}

// apply adds decisions to the run, sets the user's own listings apart and finds
// the offers of the wanted part.
func (x *extras) apply(result *rules.Result, run *report.Run) (*rules.Result, workbook.Options, error) {
	opt := workbook.Options{OwnPrices: x.ownPrices}
	run.Decided = x.decided
	if len(x.problems) > 0 {
		run.Problems = slices.Concat(run.Problems, x.problems)
		listing.SortProblems(run.Problems)
	}
	var err error
	if x.Own != "" {
		if result, opt.Own, err = report.SetApart(result, x.Own); err != nil {
			return nil, opt, hinted{fmt.Errorf("--own: %w", err), "write the name as the listings display it, or the seller's id"}
		}
		run.Warnings = append(run.Warnings, fmt.Sprintf("%s of %s were set apart as the user's own; no suspicion was reckoned for them",
			report.Plural(len(opt.Own.Listings), "listing"), report.Visible(x.Own)))
	}
	if x.Wanted != "" {
		if opt.Wanted, err = report.FindWanted(result, x.Wanted); err != nil {
			return nil, opt, hinted{fmt.Errorf("--wanted: %w", err), "give the number as stamped on the plate, or an OE number of the table of equivalents"}
		}
		if len(opt.Wanted.Offers)+len(opt.Wanted.Apart) == 0 {
			run.Warnings = append(run.Warnings, "no listing offers the wanted part "+opt.Wanted.Part.ID)
		}
	}
	return result, opt, nil
}

// files are the further outputs.
func (x *extras) files(result *rules.Result, run *report.Run) []report.File {
	var list []report.File
	if slices.Contains(x.Format, "csv") {
		list = append(list, report.File{Name: "suspects.csv", Write: func(w io.Writer) error { return report.WriteCSV(w, run, result) }})
	}
	return list
}
