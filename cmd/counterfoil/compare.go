package main

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/alecthomas/kong"

	"counterfoil/parse"
	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/report/compare"
	"counterfoil/rules"
	"counterfoil/rules/history"
	"counterfoil/rules/settings"
)

// paths takes all values up to the next option, so that a shell may expand
// `--before may/*.html`. The option may be given again.
type paths []string

// Decode reads the values of one option.
func (p *paths) Decode(ctx *kong.DecodeContext) error {
	var first string
	if err := ctx.Scan.PopValueInto("path", &first); err != nil {
		return err
	}
	*p = append(*p, first)
	for ctx.Scan.Peek().IsValue() {
		*p = append(*p, ctx.Scan.Pop().String())
	}
	return nil
}

type compareCmd struct {
	Before   paths  `placeholder:"INPUT..." help:"The earlier look: files and folders as for audit, the report of an audit whose inputs are still there, or what extract printed; with --casebook a run."`
	After    paths  `placeholder:"INPUT..." help:"The later look, in the same way."`
	Casebook string `placeholder:"FILE" help:"Compare two runs of a casebook. --before and --after name them, by the beginning of a name in 'casebook FILE runs' or by a day, which means the last run up to its end. Without them: the last two."`
	ruleFlags
	photoFlags
	Columns   string `type:"existingfile" placeholder:"FILE" help:"Which column of a table is which field (YAML)."`
	Pages     string `type:"existingfile" placeholder:"FILE" help:"Selectors for the fields of a site's pages (YAML)."`
	Encoding  string `placeholder:"NAME" help:"Encoding of all pages and tables, such as windows-1251 (default: detected for each)."`
	OwnPrices string `type:"existingfile" placeholder:"FILE" help:"Your own costs and list prices: tells who came under them (CSV)."`
	Own       string `placeholder:"SELLER" help:"Your own seller name or id, whose listings are not held against your prices."`
	Out       string `placeholder:"DIR" default:"counterfoil-changes" help:"Folder for the report (default: ./counterfoil-changes)."`
	Jobs      int    `placeholder:"N" help:"Files read at a time (default: one for each processor)."`
	Quiet     bool   `help:"Print results and errors only."`
	Mask      bool   `name:"mask-contacts" help:"Mask telephone numbers, addresses and other contacts in everything that is written; they are compared as they are."`
}

// Validate refuses sides without input.
func (c *compareCmd) Validate() error {
	switch {
	case c.Casebook != "":
		if max(len(c.Before), len(c.After)) > 1 {
			return errors.New("with --casebook, --before and --after name one run each")
		}
	case len(c.Before) == 0 || len(c.After) == 0:
		return errors.New("missing: --before and --after, or --casebook")
	}
	if slices.Contains(c.Before, "") || slices.Contains(c.After, "") {
		return errors.New("an input has an empty name")
	}
	return nil
}

// Run reads both sides, joins their listings and writes what changed.
func (c *compareCmd) Run(s *streams) error {
	var l loader
	reading := intakeFlags{Columns: c.Columns, Pages: c.Pages, Encoding: c.Encoding, Jobs: c.Jobs}
	intake := reading.options(&l)
	opt := compare.Options{Rules: c.ruleFlags.options(&l, time.Now()), Own: c.Own,
		OwnPrices: load(&l, "own-prices", c.OwnPrices, settings.ReadOwnPrices)}
	opt.Rules.Jobs = c.Jobs
	if err := l.err(); err != nil {
		return err
	}
	if c.Casebook != "" {
		return c.runs(s, &l, opt)
	}
	var sides [2][]string
	var runs [2][]*audited
	for i, inputs := range [][]string{c.Before, c.After} {
		var err error
		if sides[i], runs[i], err = unfold(inputs); err != nil {
			return err
		}
	}
	if err := checkOut(c.Out, slices.Concat(c.Before, c.After, sides[0], sides[1])); err != nil {
		return err
	}
	run := &compare.Run{Version: version, AsOf: opt.Rules.AsOf, AsOfGiven: c.AsOf != "", Out: c.Out, Settings: l.files}
	bar := newProgress(s.err, c.Quiet)
	var batches [2]*parse.Batch
	for i, inputs := range sides {
		batch, noted, err := c.read(s, inputs, intake, opt.Rules, bar)
		if err != nil {
			return err
		}
		for _, a := range runs[i] {
			if err := a.unchanged(batch.Captures); err != nil {
				return err
			}
		}
		batches[i] = batch
		run.Warnings = append(run.Warnings, noted...)
		in := compare.Input{Arguments: inputs, Captures: batch.Captures, Problems: batch.Problems, ColumnMaps: columnMaps(batch.Columns)}
		if i == 0 {
			run.Before = in
		} else {
			run.After = in
		}
	}
	bar.line("comparing %d listings with %d", len(batches[0].Listings), len(batches[1].Listings))
	result, err := leaveOff(s.ctx, func() (*compare.Result, error) {
		return compare.Compare(batches[0].Listings, batches[1].Listings, opt)
	})
	if err != nil {
		return err
	}
	return c.write(s, run, result, bar)
}

// write writes the report, then the summary.
func (c *compareCmd) write(s *streams, run *compare.Run, result *compare.Result, bar *progress) error {
	if s.ctx.Err() != nil {
		return s.ctx.Err()
	}
	if c.Mask {
		result.MaskContacts()
	}
	bar.line("writing the report to %s", c.Out)
	if err := report.WriteContext(s.ctx, c.Out, compare.Files(run, result)...); err != nil {
		return err
	}
	sweep(s.err, c.Out)
	if err := compare.Summary(s.out, run, result); err != nil {
		return err
	}
	before, after := compare.CountsOf(&run.Before, &result.Before), compare.CountsOf(&run.After, &result.After)
	if before.Unread()+after.Unread() > 0 {
		return exitError(exitPartial)
	}
	return nil
}

// read reads one side. Pictures are not needed again, so that its folders are
// let go of at once.
func (c *compareCmd) read(s *streams, inputs []string, intake parse.Options, opt rules.Options, bar *progress) (*parse.Batch, []string, error) {
	photos := c.photoFlags
	if err := photos.open(&intake); err != nil {
		return nil, nil, err
	}
	intake.Progress = bar.step
	batch, err := parse.Read(s.ctx, inputs, intake)
	bar.intakeDone()
	if err != nil {
		return nil, nil, err
	}
	defer batch.Close()
	noted := photos.finish(s.ctx, batch, opt.Makers, c.Jobs, bar)
	return batch, noted, nil
}

// runs compares two runs of the casebook.
func (c *compareCmd) runs(s *streams, l *loader, opt compare.Options) error {
	if err := checkOut(c.Out, []string{c.Casebook}); err != nil {
		return err
	}
	b, err := history.Read(s.ctx, c.Casebook, bookOptions())
	return use(b, err, func(b *history.Book) error {
		picked, err := c.pick(b)
		if err != nil {
			return err
		}
		run := &compare.Run{Version: version, AsOf: picked[1].At, Out: c.Out, Casebook: c.Casebook, Settings: l.files,
			Warnings: []string{"only what the casebook keeps is compared: of descriptions a mark, no warranty, terms or contacts"}}
		if run.AsOfGiven = c.AsOf != ""; run.AsOfGiven {
			run.AsOf = opt.Rules.AsOf
		}
		opt.Rules.AsOf = run.AsOf
		var seen [2][]rules.Earlier
		for i, side := range []*compare.Input{&run.Before, &run.After} {
			if seen[i], err = b.Seen(picked[i]); err != nil {
				return err
			}
			side.Arguments = []string{"run " + shortMark(picked[i].Mark) + " of " + picked[i].At.Format(time.RFC3339)}
			side.Captures = capturesSeen(seen[i])
		}
		bar := newProgress(s.err, c.Quiet)
		bar.line("comparing %d listings with %d", len(seen[0]), len(seen[1]))
		result, err := compare.CompareSeen(seen[0], seen[1], opt)
		if err != nil {
			return err
		}
		return c.write(s, run, result, bar)
	})
}

// pick finds the two runs.
func (c *compareCmd) pick(b *history.Book) (picked [2]history.RunSummary, err error) {
	all, err := b.Runs()
	if err != nil {
		return picked, err
	}
	if len(all) < 2 {
		return picked, hinted{fmt.Errorf("the casebook holds %s; it takes two to compare", report.Plural(len(all), "run")), "audit with --casebook at another time"}
	}
	picked = [2]history.RunSummary{all[len(all)-2], all[len(all)-1]}
	for i, name := range []paths{c.Before, c.After} {
		if len(name) == 0 {
			continue
		}
		list, err := b.RunsNamed(name[0])
		if err != nil {
			return picked, err
		}
		if len(list) != 1 {
			return picked, hinted{fmt.Errorf("%q means %s of the casebook", name[0], report.Plural(len(list), "run")), "give the beginning of one name in 'counterfoil casebook FILE runs', or a day not before the first run"}
		}
		picked[i] = list[0]
	}
	if picked[0].Mark == picked[1].Mark {
		return picked, hinted{fmt.Errorf("both sides are the run %s", shortMark(picked[0].Mark)), "name two runs with --before and --after"}
	}
	return picked, nil
}

func shortMark(mark string) string { return mark[:min(12, len(mark))] }

// capturesSeen lists the captures of the states, each once.
func capturesSeen(list []rules.Earlier) []listing.Capture {
	at := map[string]int{}
	var captures []listing.Capture
	for i := range list {
		c := &list[i].Capture
		n, ok := at[c.SHA256]
		if !ok {
			n = len(captures)
			at[c.SHA256], captures = n, append(captures, listing.Capture{File: c.File, Entry: c.Entry, SHA256: c.SHA256, Kind: "casebook"})
		}
		captures[n].Listings++
	}
	slices.SortFunc(captures, func(a, b listing.Capture) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Entry, b.Entry), cmp.Compare(a.SHA256, b.SHA256))
	})
	return captures
}
