package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"counterfoil/parse"
	"counterfoil/parse/listing/strict"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/claims"
	"counterfoil/rules/settings"
	"counterfoil/rules/userrules"
)

// intakeFlags steer how the input is read.
type intakeFlags struct {
	Inputs   []string `arg:"" name:"input" help:"Files and folders: saved pages, tables, photos."`
	Columns  string   `type:"existingfile" placeholder:"FILE" help:"Which column of a table is which field (YAML)."`
	Pages    string   `type:"existingfile" placeholder:"FILE" help:"Selectors for the fields of a site's pages (YAML)."`
	Encoding string   `placeholder:"NAME" help:"Encoding of all pages and tables, such as windows-1251 (default: detected for each)."`
	Jobs     int      `placeholder:"N" help:"Files read at a time (default: one for each processor)."`
	Quiet    bool     `help:"Print results and errors only."`
	Mask     bool     `name:"mask-contacts" help:"Mask telephone numbers, addresses and other contacts in everything that is written; captures are not changed."`
}

// ruleFlags name the user's own facts.
type ruleFlags struct {
	Makers      string   `type:"existingfile" placeholder:"FILE" help:"Maker profiles: part numbers, serials, authorised sellers (YAML)."`
	Reference   string   `type:"existingfile" placeholder:"FILE" help:"Authorised prices, dated and sourced (CSV)."`
	Rates       string   `type:"existingfile" placeholder:"FILE" help:"Exchange rates, dated and sourced (CSV)."`
	Equivalents string   `type:"existingfile" placeholder:"FILE" help:"Part numbers that name one part (CSV)."`
	Rules       string   `type:"existingfile" placeholder:"FILE" help:"Your own rules, rules switched off, thresholds (YAML)."`
	Phrases     []string `type:"existingfile" placeholder:"FILE" sep:"none" help:"Phrases of your own that sellers use, in any language (may be repeated)."`
	Weights     string   `type:"existingfile" placeholder:"FILE" help:"Weights that replace the defaults (YAML)."`
	Currency    string   `placeholder:"CODE" help:"Currency of the report (default: the most frequent one)."`
	AsOf        string   `placeholder:"TIME" help:"Run time to record, such as 2026-09-30 or 2026-09-30T12:00:00Z (default: now)."`
}

// loader reads settings files, gathers all mistakes and remembers what it
// read.
type loader struct {
	files []report.SettingFile
	errs  []error
}

// load reads one settings file with the given reader; without a name it does
// nothing.
func load[T any](l *loader, role, file string, read func(name string, data []byte) (T, error)) (value T) {
	if file == "" {
		return value
	}
	f, err := os.Open(file)
	if err != nil {
		l.errs = append(l.errs, err)
		return value
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, strict.Limit+1))
	if err == nil {
		value, err = read(file, data)
	}
	if err != nil {
		l.errs = append(l.errs, err)
		return value
	}
	sum := sha256.Sum256(data)
	l.files = append(l.files, report.SettingFile{Role: role, File: file, SHA256: hex.EncodeToString(sum[:]), Size: int64(len(data))})
	return value
}

// intake reads the settings of the intake.
func (f *intakeFlags) options(l *loader) parse.Options {
	if f.Encoding != "" {
		if err := parse.CheckEncoding(f.Encoding); err != nil {
			l.errs = append(l.errs, fmt.Errorf("--encoding: %w", err))
		}
	}
	return parse.Options{
		Columns:  load(l, "columns", f.Columns, parse.ReadColumns),
		Pages:    load(l, "pages", f.Pages, parse.ReadPages),
		Encoding: f.Encoding,
		Jobs:     f.Jobs,
	}
}

// options reads the settings of the rules. now is the time without --as-of.
func (f *ruleFlags) options(l *loader, now time.Time) (opt rules.Options) {
	opt.Makers = load(l, "makers", f.Makers, settings.ReadMakers)
	opt.Reference = load(l, "reference", f.Reference, settings.ReadReference)
	opt.Rates = load(l, "rates", f.Rates, settings.ReadRates)
	opt.Equivalents = load(l, "equivalents", f.Equivalents, settings.ReadEquivalents)
	opt.Book = load(l, "rules", f.Rules, rules.ReadRules)
	for _, file := range f.Phrases {
		opt.Phrases = append(opt.Phrases, load(l, "phrases", file, claims.ParseLexicon))
	}
	opt.Weights = load(l, "weights", f.Weights, func(name string, data []byte) (settings.Weights, error) {
		return settings.ReadWeights(name, data, weighable(opt.Book))
	})
	opt.Currency = f.Currency
	if f.Currency != "" && !isCurrency(f.Currency) {
		l.errs = append(l.errs, fmt.Errorf("--currency: %q is not an ISO 4217 code such as EUR", f.Currency))
	}
	opt.AsOf = now.UTC().Truncate(time.Second)
	if f.AsOf != "" {
		at, err := parseTime(f.AsOf)
		if err != nil {
			l.errs = append(l.errs, err)
		}
		opt.AsOf = at
	}
	return opt
}

// weighable lists the rules that a weights file may name: those switched off
// as well, so that one weights file serves runs with and without them.
func weighable(book *userrules.Book) []string {
	ids := rules.IDs()
	if book != nil {
		for i := range book.Rules {
			ids = append(ids, book.Rules[i].ID)
		}
	}
	return ids
}

func parseTime(s string) (time.Time, error) {
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02T15:04", time.DateOnly} {
		if t, err := time.Parse(layout, s); err == nil {
			return t.UTC(), nil
		}
	}
	return time.Time{}, fmt.Errorf("--as-of: %q is not a time such as 2026-09-30 or 2026-09-30T12:00:00Z", s)
}

// err joins the mistakes of all settings, nil if there are none.
func (l *loader) err() error {
	if len(l.errs) == 0 {
		return nil
	}
	return hinted{errors.Join(l.errs...), "nothing was read or written; mend the settings and run again"}
}
