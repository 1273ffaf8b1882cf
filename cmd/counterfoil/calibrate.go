package main

import (
	"bufio"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/calibrate"
	"counterfoil/rules/settings"
	"counterfoil/rules/userrules"
)

type calibrateCmd struct {
	Suspects []string `arg:"" name:"suspects" help:"Files suspects.ndjson of audits."`
	Outcomes string   `required:"" type:"existingfile" placeholder:"FILE" help:"What was confirmed about listings (CSV)."`
	Out      string   `required:"" placeholder:"FILE" help:"Weights file to write (YAML). Nothing uses it until you name it with --weights."`
	Report   string   `placeholder:"FILE" help:"Write the report to a file (default: print it)."`
	Scale    bool     `name:"scale-families" default:"true" negatable:"" help:"Multiply the weights by what each family is worth beside the others, as the report shows it (default). Without it each rule has its ratio taken alone, and what rules say together is counted several times."`
	Weights  string   `type:"existingfile" placeholder:"FILE" help:"Weights that the audits were run with (YAML)."`
	Rules    string   `type:"existingfile" placeholder:"FILE" help:"Rules file that the audits were run with (YAML)."`
}

// Run learns weights from outcomes and writes them with their reasons.
func (c *calibrateCmd) Run(s *streams) error {
	var l loader
	outcomes := load(&l, "outcomes", c.Outcomes, calibrate.ReadOutcomes)
	book := load(&l, "rules", c.Rules, rules.ReadRules)
	weights := load(&l, "weights", c.Weights, func(name string, data []byte) (settings.Weights, error) {
		return settings.ReadWeights(name, data, weighable(book))
	})
	if err := l.err(); err != nil {
		return err
	}
	if err := c.checkTargets(); err != nil {
		return err
	}
	about := calibrate.About{Version: version}
	list := calibrationRules(book, weights)
	in := calibrate.NewIntake(list, outcomes)
	hash := report.RuleSetHash(rules.RulesFor(book), weights)
	for _, name := range c.Suspects {
		source, note, err := readSuspects(in, name, hash)
		if err != nil {
			return hinted{err, "nothing was written; give suspects.ndjson of this version's audit, and the --rules and --weights that it was run with"}
		}
		about.Sources = append(about.Sources, source)
		about.Notes = append(about.Notes, note...)
		if err := s.ctx.Err(); err != nil {
			return err
		}
	}
	for _, f := range l.files {
		about.Sources = append(about.Sources, calibrate.Source{Role: f.Role, Name: filepath.Base(f.File), SHA256: f.SHA256})
	}
	about.Notes = append(about.Notes, outcomeNotes(in)...)
	about.Notes = append(about.Notes, droppedNotes(list, weights)...)
	result, err := calibrate.Calibrate(list, in.Cases())
	if err != nil {
		for _, note := range about.Notes {
			fmt.Fprintf(s.err, "counterfoil: note: %s\n", note)
		}
		return hinted{err, "nothing was written; gather more outcomes, those of honest listings too"}
	}
	if c.Scale {
		result.ScaleFamilies()
	}
	return c.write(s, about, result)
}

// calibrationRules lists the rules of the audits with the weights they had.
func calibrationRules(book *userrules.Book, weights settings.Weights) []calibrate.Rule {
	var list []calibrate.Rule
	for _, r := range rules.RulesFor(book) {
		used, ok := weights[r.ID]
		if !ok {
			used = r.Weight
		}
		list = append(list, calibrate.Rule{ID: r.ID, Family: string(r.Family), Default: r.Weight, Used: used})
	}
	return list
}

// readSuspects reads one suspects file and, where its run.json lies beside it,
// makes sure that the run had the rules and weights of hash.
func readSuspects(in *calibrate.Intake, name, hash string) (source calibrate.Source, notes []string, err error) {
	had, err := ruleSetOf(filepath.Join(filepath.Dir(name), "run.json"))
	switch {
	case err != nil:
		return source, nil, err
	case had == "":
		notes = append(notes, fmt.Sprintf("no run.json lies beside %s; whether its run had the weights given could not be checked", report.Visible(name)))
	case had != hash:
		return source, nil, fmt.Errorf("%s: its run had other rules or weights, as run.json beside it says", name)
	}
	f, err := os.Open(name)
	if err != nil {
		return source, nil, err
	}
	defer f.Close()
	sum := sha256.New()
	if err := in.Read(name, io.TeeReader(f, sum)); err != nil {
		return source, nil, err
	}
	return calibrate.Source{Role: "suspects", Name: filepath.Base(name), SHA256: hex.EncodeToString(sum.Sum(nil))}, notes, nil
}

// maxRunJSON bounds a run.json, in bytes.
const maxRunJSON = 256 << 20

// ruleSetOf gives the hash of the rule set in a run.json, "" without the file.
func ruleSetOf(name string) (string, error) {
	f, err := os.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	defer f.Close()
	var run struct {
		RuleSet string `json:"rule_set_sha256"`
	}
	if err := json.NewDecoder(io.LimitReader(f, maxRunJSON)).Decode(&run); err != nil {
		return "", fmt.Errorf("%s: %w", name, err)
	}
	return cmp.Or(run.RuleSet, "none stated"), nil
}

// outcomeNotes says what became of the outcomes that were not counted.
func outcomeNotes(in *calibrate.Intake) []string {
	const named = 5
	notes := []string{report.Plural(in.Listings, "listing") + " in the suspects files"}
	if n := in.Unknown(); n > 0 {
		notes = append(notes, report.Plural(n, "listing")+" with an unknown outcome, which teaches nothing")
	}
	if in.Superseded > 0 {
		notes = append(notes, report.Plural(in.Superseded, "outcome")+" replaced by a later one of the same listing")
	}
	if in.Again > 0 {
		notes = append(notes, report.Plural(in.Again, "listing")+" in several suspects files, counted once as the last of them shows it")
	}
	if missing := in.NotFound(); len(missing) > 0 {
		var keys []string
		for _, o := range missing[:min(len(missing), named)] {
			keys = append(keys, fmt.Sprintf("%s (line %d)", report.Visible(o.Listing), o.Line))
		}
		if len(missing) > named {
			keys = append(keys, "...")
		}
		notes = append(notes, fmt.Sprintf("%s of listings that no suspects file holds: %s", report.Plural(len(missing), "outcome"), strings.Join(keys, ", ")))
	}
	return notes
}

// droppedNotes names weights of rules that did not run.
func droppedNotes(list []calibrate.Rule, weights settings.Weights) []string {
	var ids []string
	for id := range weights {
		if !slices.ContainsFunc(list, func(r calibrate.Rule) bool { return r.ID == id }) {
			ids = append(ids, id)
		}
	}
	if len(ids) == 0 {
		return nil
	}
	slices.Sort(ids)
	return []string{"weights of rules that are switched off are not in the new file: " + strings.Join(ids, ", ")}
}

// checkTargets refuses to write over an input, or over a file that calibrate
// did not write.
func (c *calibrateCmd) checkTargets() error {
	marks := map[string]string{c.Out: calibrate.WeightsMark}
	if c.Report != "" {
		a, errA := realPath(c.Out)
		b, errB := realPath(c.Report)
		if err := errors.Join(errA, errB); err != nil {
			return err
		}
		if a == b {
			return hinted{fmt.Errorf("--out and --report are both %s", c.Out), "name two files"}
		}
		marks[c.Report] = calibrate.ReportMark
	}
	inputs := append(slices.Clone(c.Suspects), c.Outcomes, c.Weights, c.Rules)
	for _, target := range []string{c.Out, c.Report} {
		if target == "" {
			continue
		}
		if err := checkTarget(target, marks[target], inputs); err != nil {
			return err
		}
	}
	return nil
}

func checkTarget(target, mark string, inputs []string) error {
	info, err := os.Stat(target)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	for _, input := range inputs {
		if in, err := os.Stat(input); err == nil && os.SameFile(info, in) {
			return hinted{fmt.Errorf("%s is an input and would be written over", target), "name another file"}
		}
	}
	if !info.Mode().IsRegular() {
		return hinted{fmt.Errorf("%s is not a file", target), "name a file"}
	}
	f, err := os.Open(target)
	if err != nil {
		return err
	}
	defer f.Close()
	start := make([]byte, len(mark))
	if _, err := io.ReadFull(bufio.NewReader(f), start); err != nil || string(start) != mark {
		return hinted{fmt.Errorf("%s exists and was not written by calibrate", target), "name another file, or move that one away"}
	}
	return nil
}

// write writes the weights file and the report, both or none where they share a
// folder.
func (c *calibrateCmd) write(s *streams, about calibrate.About, result *calibrate.Result) error {
	weights := report.File{Name: filepath.Base(c.Out), Write: func(w io.Writer) error { return calibrate.WriteWeights(w, about, result) }}
	text := report.File{Name: filepath.Base(c.Report), Write: func(w io.Writer) error { return calibrate.WriteReport(w, about, result) }}
	dir := filepath.Dir(c.Out)
	var err error
	switch {
	case c.Report == "":
		err = report.Write(dir, weights)
	case filepath.Dir(c.Report) == dir:
		err = report.Write(dir, text, weights)
	default:
		if err = report.Write(filepath.Dir(c.Report), text); err == nil {
			err = report.Write(dir, weights)
		}
	}
	if err != nil {
		return err
	}
	sweep(s.err, dir)
	if c.Report == "" {
		if err := calibrate.WriteReport(s.out, about, result); err != nil {
			return err
		}
	}
	fmt.Fprintf(s.err, "counterfoil: wrote %s; nothing uses it until you name it with --weights\n", c.Out)
	return nil
}
