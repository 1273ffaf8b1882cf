package main

import (
	"errors"
	"slices"
	"time"

	"github.com/alecthomas/kong"

	"counterfoil/parse"
	"counterfoil/report"
	"counterfoil/report/compare"
	"counterfoil/rules"
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
	Before paths `required:"" placeholder:"INPUT..." help:"The earlier look: files and folders as for audit, or what extract printed."`
	After  paths `required:"" placeholder:"INPUT..." help:"The later look."`
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
}

// Validate refuses sides without input.
func (c *compareCmd) Validate() error {
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
	if err := checkOut(c.Out, slices.Concat(c.Before, c.After)); err != nil {
		return err
	}
	run := &compare.Run{Version: version, AsOf: opt.Rules.AsOf, AsOfGiven: c.AsOf != "", Out: c.Out, Settings: l.files}
	bar := newProgress(s.err, c.Quiet)
	var batches [2]*parse.Batch
	for i, inputs := range [][]string{c.Before, c.After} {
		batch, noted, err := c.read(s, inputs, intake, opt.Rules, bar)
		if err != nil {
			return err
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
	result, err := compare.Compare(batches[0].Listings, batches[1].Listings, opt)
	if err != nil {
		return err
	}
	if s.ctx.Err() != nil {
		return s.ctx.Err()
	}
	bar.line("writing the report to %s", c.Out)
	if err := report.Write(c.Out, compare.Files(run, result)...); err != nil {
		return err
	}
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
	bar.done()
	if err != nil {
		return nil, nil, err
	}
	defer batch.Close()
	return batch, photos.finish(s.ctx, batch, opt.Makers, c.Jobs, bar), nil
}
