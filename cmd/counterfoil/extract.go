package main

import (
	"bufio"
	"context"
	"io"

	"counterfoil/parse"
	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules/settings"
)

type extractCmd struct {
	intakeFlags
	readingFlags
	positionFlags
	Makers  string `type:"existingfile" placeholder:"FILE" help:"Maker profiles: how their part numbers and serials look, for --ocr (YAML)."`
	Explain bool   `xor:"lines" help:"Print instead how each field of the pages and tables was found."`
	Told    bool   `name:"problems" xor:"lines" help:"Print below the listings what could not be read, so that an audit of the output counts it."`
}

// Run prints the listings as NDJSON on stdout, and below them the problems if
// asked, or how the listings were found; the problems stand on stderr in any case.
func (c *extractCmd) Run(s *streams) error {
	var l loader
	intake := c.intakeFlags.options(&l)
	makers := load(&l, "makers", c.Makers, settings.ReadMakers)
	if err := l.err(); err != nil {
		return err
	}
	if err := c.readingFlags.open(&intake); err != nil {
		return err
	}
	bar := newProgress(s.err, c.Quiet)
	for _, note := range c.ask(&intake, c.Mask) {
		bar.line("%s", note)
	}
	intake.Progress, intake.Explain = bar.step, c.Explain
	w := bufio.NewWriterSize(s.out, 1<<16)
	read := c.lines
	if c.Explain || c.OCR {
		read = c.batch
	}
	problems, err := read(s.ctx, w, intake, makers, bar)
	if err != nil {
		return err
	}
	if c.Mask {
		for i := range problems {
			report.MaskProblem(&problems[i])
		}
	}
	if c.Told {
		for i := range problems {
			if err := listing.WriteProblem(w, &problems[i]); err != nil {
				return err
			}
		}
	}
	if err := w.Flush(); err != nil {
		return err
	}
	unread := 0
	for _, p := range problems {
		if p.Severity != listing.Notice {
			unread++
		}
	}
	if !c.Quiet || unread > 0 {
		printProblems(s.err, problems, 200)
	}
	if unread > 0 {
		return exitError(exitPartial)
	}
	return nil
}

// lines prints the listings, which are not held in memory.
func (c *extractCmd) lines(ctx context.Context, w io.Writer, intake parse.Options, makers *settings.Makers, bar *progress) ([]listing.Problem, error) {
	lines, err := parse.Extract(ctx, c.Inputs, intake)
	bar.intakeDone()
	if err != nil {
		return nil, bar.halted(err, c.Cache)
	}
	defer lines.Close()
	for _, note := range c.readingFlags.finish(ctx, nil, makers, c.Jobs, bar) {
		bar.line("%s", note)
	}
	var change func(*listing.Listing)
	if c.Mask {
		change = report.MaskListing
	}
	return lines.Problems, lines.Write(w, change)
}

// batch prints the listings of a batch with what was read from their photos, or
// how its fields were found.
func (c *extractCmd) batch(ctx context.Context, w io.Writer, intake parse.Options, makers *settings.Makers, bar *progress) ([]listing.Problem, error) {
	batch, err := parse.Read(ctx, c.Inputs, intake)
	bar.intakeDone()
	if err != nil {
		return nil, bar.halted(err, c.Cache)
	}
	defer batch.Close()
	for _, note := range c.readingFlags.finish(ctx, batch, makers, c.Jobs, bar) {
		bar.line("%s", note)
	}
	if c.Mask {
		for _, l := range batch.Listings {
			report.MaskListing(l)
		}
	}
	if c.Explain {
		return batch.Problems, explain(w, batch)
	}
	for _, one := range batch.Listings {
		if err := listing.WriteLine(w, one); err != nil {
			return nil, err
		}
	}
	return batch.Problems, nil
}
