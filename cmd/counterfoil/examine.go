package main

import (
	"time"

	"counterfoil/parse"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/labels"
)

// examineFlags say what is read and how it is weighed.
type examineFlags struct {
	intakeFlags
	ruleFlags
	photoFlags
	positionFlags
	Labels []string `type:"existingfile" placeholder:"FILE" help:"What photos show, as you filled it in (XLSX); may be given several times, the later file counts."`
}

// examination is a run whose settings are read.
type examination struct {
	*examineFlags
	intake parse.Options
	rules  rules.Options
	labels *labels.Set
	bar    *progress
	// specimens are the pictures of the maker profiles; nil without any.
	specimens *parse.Specimens
	notes     []string
}

// settings reads the files of settings; what is wrong with them is for the
// loader to say.
func (f *examineFlags) settings(s *streams, l *loader) *examination {
	x := &examination{examineFlags: f, intake: f.intakeFlags.options(l), rules: f.ruleFlags.options(l, time.Now()), bar: newProgress(s.err, f.Quiet)}
	x.rules.Jobs = f.Jobs
	x.labels = (&labelFlags{Labels: f.Labels}).read(l, x.rules.Makers)
	x.specimens, x.notes = openSpecimens(l, f.Makers, x.rules.Makers)
	return x
}

// run reads the input and weighs it. The batch is the caller's to close. out is
// the folder the results go to.
func (x *examination) run(s *streams, l *loader, out string) (*parse.Batch, *rules.Result, *report.Run, error) {
	if err := x.photoFlags.open(&x.intake); err != nil {
		return nil, nil, nil, err
	}
	x.notes = append(x.notes, x.ask(&x.intake, x.Mask)...)
	x.intake.Progress = x.bar.step
	batch, err := parse.Read(s.ctx, x.Inputs, x.intake)
	x.bar.intakeDone()
	if err != nil {
		return nil, nil, nil, x.bar.halted(err, x.Cache)
	}
	noted := append(x.notes, x.photoFlags.finish(s.ctx, batch, x.rules.Makers, x.Jobs, x.bar)...)
	noted = append(noted, applyLabels(x.labels, batch)...)
	x.bar.line("weighing %d listings", len(batch.Listings))
	x.rules.Luma = x.photoFlags.luma(batch)
	x.rules.Progress = x.bar.weighed
	result, err := leaveOff(s.ctx, func() (*rules.Result, error) { return rules.Audit(s.ctx, batch.Listings, x.rules) })
	x.bar.done()
	if err != nil {
		batch.Close()
		return nil, nil, nil, err
	}
	run := &report.Run{Version: version, RuleSetHash: report.RuleSetHash(result.Rules, x.rules.Weights),
		AsOf: x.rules.AsOf, AsOfGiven: x.AsOf != "", Inputs: x.Inputs, Out: out, Settings: l.files,
		Captures: batch.Captures, Problems: batch.Problems, ColumnMaps: columnMaps(batch.Columns)}
	if x.rules.Book != nil {
		run.Warnings = append(run.Warnings, x.rules.Book.Changes()...)
	}
	if changed := rules.WeightChanges(result.Rules, x.rules.Weights); changed != "" {
		run.Warnings = append(run.Warnings, changed)
	}
	run.Warnings = append(append(run.Warnings, noted...), compared(result.Facts)...)
	return batch, result, run, nil
}
