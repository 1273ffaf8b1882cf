package main

import (
	"bufio"
	"encoding/json"

	"counterfoil/parse"
	"counterfoil/parse/listing"
)

type extractCmd struct {
	intakeFlags
}

// Run prints the listings as NDJSON on stdout and the problems on stderr.
func (c *extractCmd) Run(s *streams) error {
	var l loader
	intake := c.intakeFlags.options(&l)
	if err := l.err(); err != nil {
		return err
	}
	bar := newProgress(s.err, c.Quiet)
	intake.Progress = bar.step
	batch, err := parse.Read(s.ctx, c.Inputs, intake)
	bar.done()
	if err != nil {
		return err
	}
	w := bufio.NewWriterSize(s.out, 1<<16)
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	for _, one := range batch.Listings {
		if err := enc.Encode(listing.ToLine(one)); err != nil {
			return err
		}
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
