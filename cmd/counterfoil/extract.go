package main

import (
	"bufio"
	"encoding/json"
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
	Explain bool   `help:"Print instead how each field of the pages and tables was found."`
}

// Run prints the listings as NDJSON on stdout, or how they were found, and the
// problems on stderr.
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
	batch, err := parse.Read(s.ctx, c.Inputs, intake)
	bar.intakeDone()
	if err != nil {
		return bar.halted(err, c.Cache)
	}
	defer batch.Close()
	for _, note := range c.readingFlags.finish(s.ctx, batch, makers, c.Jobs, bar) {
		bar.line("%s", note)
	}
	if c.Mask {
		for _, l := range batch.Listings {
			report.MaskListing(l)
		}
	}
	print := printLines
	if c.Explain {
		print = explain
	}
	w := bufio.NewWriterSize(s.out, 1<<16)
	if err := print(w, batch); err != nil {
		return err
	}
	if err := w.Flush(); err != nil {
		return err
	}
	unread := 0
	for _, p := range batch.Problems {
		if p.Severity != listing.Notice {
			unread++
		}
	}
	if !c.Quiet || unread > 0 {
		printProblems(s.err, batch.Problems, 200)
	}
	if unread > 0 {
		return exitError(exitPartial)
	}
	return nil
}

func printLines(w io.Writer, batch *parse.Batch) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	for _, one := range batch.Listings {
		if err := enc.Encode(listing.ToLine(one)); err != nil {
			return err
		}
	}
	return nil
}
