package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"counterfoil/parse"
	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/report/evidence"
	"counterfoil/report/groups"
	"counterfoil/report/workbook"
	"counterfoil/rules"
)

type auditCmd struct {
	examineFlags
	extraFlags
	caseFlags
	LabelSheet bool   `help:"Write photo-labels.xlsx, in which you say what the photos show."`
	Rows       int    `placeholder:"N" default:"10000" help:"Listings on the sheets of the workbook, the first N by rank and those with a decision (default: 10000); suspects.ndjson holds all."`
	Out        string `placeholder:"DIR" default:"counterfoil-audit" help:"Folder for the report (default: ./counterfoil-audit)."`
	ContactKey string `type:"existingfile" placeholder:"FILE" help:"A secret of your own, 32 random bytes or more, under which suspects.ndjson hashes contacts: they can then be compared between runs (default: a key of this run's input)."`
	Pages      int    `name:"evidence-pages" placeholder:"N" default:"200" help:"Evidence pages for the first N listings by rank of at least weak support (default: 200, 0: none)."`
}

// Validate refuses numbers that mean nothing.
func (c *auditCmd) Validate() error {
	if c.Rows < 1 {
		return errors.New("--rows needs a number of listings from 1 up")
	}
	return nil
}

// Run reads the input, runs the rules and writes the report.
func (c *auditCmd) Run(s *streams) error {
	var l loader
	x := c.examineFlags.settings(s, &l)
	more := c.extraFlags.load(&l)
	key := load(&l, "contact-key", c.ContactKey, report.ReadContactKey)
	if err := l.err(); err != nil {
		return err
	}
	if err := checkOut(c.Out, c.Inputs); err != nil {
		return err
	}
	if err := c.caseFlags.open(s.ctx, c.Inputs, &x.rules); err != nil {
		return err
	}
	defer c.caseFlags.close()
	batch, result, run, err := x.run(s, &l, c.Out)
	if err != nil {
		return err
	}
	defer batch.Close()
	defer x.specimens.Close()
	run.Warnings = append(run.Warnings, c.caseFlags.note(result.Facts)...)
	if run.ContactKey = key; key == nil {
		run.ContactKey = report.KeyOf(result.Facts) // before contacts are masked
	}
	facts := result.Facts // the casebook keeps hashes of contacts, which masking would change
	if run.MaskAll = c.intakeFlags.Mask; run.MaskAll {
		result = report.MaskAll(result)
	}
	result, sheets, err := more.apply(result, run)
	if err != nil {
		return err
	}
	sheets.Rows = c.Rows
	x.bar.line("writing the report to %s", c.Out)
	further := append(more.files(result, run), (&labelFlags{LabelSheet: c.LabelSheet}).sheet(result, run, x, batch)...)
	if err := write(s.ctx, c.Out, result, run, x, batch, c.Pages, sheets, further); err != nil {
		return err
	}
	sweep(s.err, c.Out)
	kept := *result
	if run.MaskAll {
		kept.Facts = facts
	}
	recorded := c.caseFlags.record(&kept, run, c.OCR, c.Pieces, c.Own)
	if err := errors.Join(report.Summary(s.out, result, run, terminalWidth), recorded); err != nil {
		return err
	}
	counts := report.CountsOf(run, result)
	if counts.Unread() > 0 {
		return exitError(exitPartial)
	}
	return nil
}

func write(ctx context.Context, dir string, result *rules.Result, run *report.Run, x *examination, batch *parse.Batch, pages int, sheets workbook.Options, further []report.File) error {
	pageSet := evidence.New(result, run, evidence.Options{Dir: dir, Limit: pages, Thumb: x.thumb(batch, 240), Crop: cropOf(batch)})
	all := report.SellerGroups(result)
	groupSet := groups.New(result, run, all, groups.Options{Dir: dir, Limit: pages, Page: pageSet.Page})
	sheets.Stop, sheets.Groups = ctx.Err, all
	sheets.Dir, sheets.Thumb, sheets.Page, sheets.GroupPage = dir, x.thumb(batch, 160), pageSet.Page, groupSet.Page
	files := []report.File{
		{Name: "suspects.xlsx", Write: func(w io.Writer) error {
			return workbook.Write(w, result, run, sheets)
		}},
		{Name: "suspects.ndjson", Write: func(w io.Writer) error { return report.WriteSuspects(w, run, result) }},
	}
	files = append(append(append(files, further...), pageSet.Files()...), groupSet.Files()...)
	return report.WriteContext(ctx, dir, append(files,
		report.File{Name: "run.json", Write: func(w io.Writer) error { return report.WriteRun(w, run, result) }})...)
}

// checkOut refuses to write into an input folder or over a file: input files
// are never written to, and a report must not become input of the next run.
func checkOut(out string, inputs []string) error {
	if info, err := os.Stat(out); err == nil && !info.IsDir() {
		return hinted{fmt.Errorf("%s is a file", out), "name a folder with --out"}
	}
	target, err := realPath(out)
	if err != nil {
		return err
	}
	for _, input := range inputs {
		info, err := os.Stat(input)
		if err != nil {
			continue // the intake says so better
		}
		in, err := realPath(input)
		if err != nil {
			return err
		}
		if !info.IsDir() {
			in = filepath.Dir(in)
			if target != in {
				continue
			}
		}
		if rel, err := filepath.Rel(in, target); err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator)) {
			return hinted{fmt.Errorf("the report would be written into the input %s", input), "name another folder with --out"}
		}
	}
	return nil
}

// realPath resolves links in the part of a path that exists.
func realPath(name string) (string, error) {
	abs, err := filepath.Abs(name)
	if err != nil {
		return "", err
	}
	for rest := ""; ; {
		real, err := filepath.EvalSymlinks(abs)
		if err == nil {
			return filepath.Join(real, rest), nil
		}
		if !errors.Is(err, fs.ErrNotExist) || filepath.Dir(abs) == abs {
			return "", err
		}
		abs, rest = filepath.Dir(abs), filepath.Join(filepath.Base(abs), rest)
	}
}

func columnMaps(tables []parse.TableColumns) []report.ColumnMap {
	var list []report.ColumnMap
	for _, t := range tables {
		for _, c := range t.Columns {
			list = append(list, report.ColumnMap{File: t.File, Heading: c.Header, Field: c.Field.String(), How: c.How})
		}
	}
	return list
}

func isCurrency(code string) bool {
	_, ok := listing.MinorUnits(code)
	return ok
}

// printProblems writes problems to stderr, at most limit of them.
func printProblems(w io.Writer, problems []listing.Problem, limit int) {
	for i, p := range problems {
		if i == limit {
			fmt.Fprintf(w, "counterfoil: and %d more\n", len(problems)-limit)
			return
		}
		fmt.Fprintf(w, "counterfoil: %s: %s\n", cmp.Or(string(p.Severity), "problem"), report.Visible(p.Error()))
		if p.Hint != "" {
			fmt.Fprintf(w, "counterfoil: hint: %s\n", p.Hint)
		}
	}
}
