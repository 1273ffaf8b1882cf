package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/alecthomas/kong"

	"counterfoil/parse/photo"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/history"
)

// started is when this process began. Others read it while it writes to a
// casebook; no report depends on it.
var started = time.Now()

// caseFlags name the casebook of an audit.
type caseFlags struct {
	Casebook string `placeholder:"FILE" help:"What earlier runs saw (SQLite): compared with this run, which is then added to it."`

	book *history.Book
}

// open opens the casebook for the run, if there is one, and keeps other writers
// out until close.
func (f *caseFlags) open(ctx context.Context, inputs []string, opt *rules.Options) error {
	if f.Casebook == "" {
		return nil
	}
	if err := checkBook(f.Casebook, inputs); err != nil {
		return err
	}
	var err error
	if f.book, err = history.Write(ctx, f.Casebook, bookOptions()); err != nil {
		return bookError(err)
	}
	opt.History = f.book
	return nil
}

// look opens a casebook that exists, if one is named, to compare with it only.
func (f *caseFlags) look(ctx context.Context, opt *rules.Options) error {
	if f.Casebook == "" {
		return nil
	}
	var err error
	if f.book, err = history.Read(ctx, f.Casebook, bookOptions()); err != nil {
		return bookError(err)
	}
	opt.History = f.book
	return nil
}

func (f *caseFlags) close() {
	if f.book != nil {
		f.book.Close() // what was to be kept is, and all else is undone
	}
}

// note says for the report what the casebook knew.
func (f *caseFlags) note(facts *rules.Facts) []string {
	if f.book == nil {
		return nil
	}
	runs := facts.Past.Runs
	if len(runs) == 0 {
		return []string{"the casebook holds no earlier run yet"}
	}
	return []string{fmt.Sprintf("compared with %s in the casebook, from %s to %s", report.Plural(len(runs), "earlier run"),
		runs[0].At.Format(time.DateOnly), runs[len(runs)-1].At.Format(time.DateOnly))}
}

// record adds the run to the casebook. The report is written by then.
func (f *caseFlags) record(result *rules.Result, run *report.Run, how ...any) error {
	if f.book == nil {
		return nil
	}
	h := sha256.New()
	fmt.Fprintf(h, "%q", how)
	for _, s := range run.Settings {
		fmt.Fprintf(h, " %s %s", s.Role, s.SHA256)
	}
	kept := &history.Run{Tool: run.Version, Rules: run.RuleSetHash, Settings: hex.EncodeToString(h.Sum(nil)), Captures: run.Captures}
	for _, j := range result.Ranked {
		if d, _, ok := run.Decided.Of(j); ok {
			kept.Decisions = append(kept.Decisions, history.Decision{Listing: j.N, Word: d.Word, Note: d.Note, Evidence: d.Then})
		}
	}
	if err := f.book.Record(kept, result); err != nil {
		// Not wrapped: that the run was stopped does not mean that nothing was
		// written.
		return hinted{fmt.Errorf("the report is written, but the run was not added to the casebook: %v", err), "the casebook is as it was before; run the audit again"}
	}
	return nil
}

// checkBook refuses a casebook within the input, which is never written to.
func checkBook(file string, inputs []string) error {
	target, err := realPath(file)
	if err != nil {
		return err
	}
	for _, input := range inputs {
		in, err := realPath(input)
		if err != nil {
			return err
		}
		if rel, err := filepath.Rel(in, target); err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator)) {
			return hinted{fmt.Errorf("the casebook would be written into the input %s", input), "name another file with --casebook"}
		}
	}
	return nil
}

func bookOptions() history.Options {
	return history.Options{PhotoVersion: photo.Version, Started: started}
}

// bookError hands on the advice of an error.
func bookError(err error) error {
	var e *history.Error
	if errors.As(err, &e) && e.Hint != "" {
		return hinted{err, e.Hint}
	}
	return err
}

// casebookCmd is a file with what can be done to it.
type casebookCmd struct {
	File bookBranch `arg:"" help:"Work on a casebook."`
}

type bookBranch struct {
	File string `arg:"" help:"The casebook (SQLite)."`

	Runs    bookRuns    `cmd:"" help:"List the runs that it holds."`
	Serial  bookSerial  `cmd:"" help:"Look a serial up: where it was seen, and those that read alike."`
	Cases   bookCases   `cmd:"" help:"List how cases ended."`
	Outcome bookOutcome `cmd:"" help:"Record how the case of a listing or a serial ended."`
	Take    bookTake    `cmd:"" help:"Take in a list of serials that are known to be bad or good (CSV)."`
	Give    bookGive    `cmd:"" help:"Print the serials that are known to be bad or good (CSV)."`
	Pages   bookPages   `cmd:"" help:"Write pages: the prices of each part over time, and all that is known of each seller."`
	Forget  bookForget  `cmd:"" help:"Delete a run, a seller or all before a day, so that nothing of it stays in the file."`
	Export  bookExport  `cmd:"" help:"Print everything, one JSON object a line."`
}

// bookFile is the name of the casebook, for the commands below it.
type bookFile string

// AfterApply hands the name on.
func (b *bookBranch) AfterApply(ctx *kong.Context) error {
	ctx.Bind(bookFile(b.File))
	return nil
}

// look does something with a casebook that is only read.
func (f bookFile) look(s *streams, do func(*history.Book) error) error {
	b, err := history.Read(s.ctx, string(f), bookOptions())
	return use(b, err, do)
}

// change does something that changes a casebook that exists.
func (f bookFile) change(s *streams, do func(*history.Book) error) error {
	if _, err := os.Stat(string(f)); err != nil {
		return f.look(s, do) // says it better
	}
	b, err := history.Write(s.ctx, string(f), bookOptions())
	return use(b, err, do)
}

func use(b *history.Book, err error, do func(*history.Book) error) error {
	if err != nil {
		return bookError(err)
	}
	return bookError(errors.Join(do(b), b.Close()))
}

type bookRuns struct{}

// Run lists the runs, oldest first.
func (bookRuns) Run(s *streams, f bookFile) error {
	return f.look(s, func(b *history.Book) error {
		runs, err := b.Runs()
		if err != nil {
			return err
		}
		w := tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0)
		fmt.Fprintln(w, "RUN\tTIME\tVERSION\tCAPTURES\tNEW\tLISTINGS IN NEW ONES")
		for _, r := range runs {
			fmt.Fprintf(w, "%s\t%s\t%s\t%d\t%d\t%d\n", r.Mark[:min(12, len(r.Mark))], r.At.Format(time.RFC3339), visible(r.Tool), r.Captures, r.New, r.Listings)
		}
		return w.Flush()
	})
}

type bookSerial struct {
	Number string `arg:"" help:"The serial, in whatever spelling."`
}

// Run prints every sighting of a serial.
func (c bookSerial) Run(s *streams, f bookFile) error {
	return f.look(s, func(b *history.Book) error {
		list, err := b.Serial(c.Number)
		if err != nil {
			return err
		}
		cases, err := b.Cases()
		if err != nil {
			return err
		}
		if len(list) == 0 {
			fmt.Fprintln(s.out, "not seen, nor one that reads alike")
		}
		w := tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0)
		if len(list) > 0 {
			fmt.Fprintln(w, "SERIAL\tFIRST SEEN\tLAST SEEN\tTIMES\tSELLER\tLISTING\tFIELD\tCONDITION\tPRICE\tFILE")
		}
		shown := map[string]bool{}
		for _, x := range list {
			serial, price := x.Serial, ""
			if x.Near {
				serial += " (reads alike)"
			}
			if x.Price.Minor > 0 {
				price = rules.Money(x.Price)
			}
			shown[x.Listing] = true
			fmt.Fprintf(w, "%s\t%s\t%s\t%d\t%s\t%s\t%s\t%s\t%s\t%s\n", visible(serial), x.First.Format(time.DateOnly), x.Last.Format(time.DateOnly),
				x.Sightings, visible(x.Seller), visible(x.Listing), visible(x.Field), visible(x.Condition), price, visible(x.File))
		}
		if err := w.Flush(); err != nil {
			return err
		}
		canonical := history.CanonicalSerial(c.Number)
		for _, k := range cases {
			if k.Serial == canonical || shown[k.Listing] && k.Listing != "" {
				printCase(s.out, &k)
			}
		}
		return nil
	})
}

func printCase(w io.Writer, c *rules.Case) {
	of := "serial " + c.Serial
	if c.Listing != "" {
		of = "listing " + c.Listing
	}
	fmt.Fprintf(w, "%s: %s on %s", visible(of), visible(c.Word), c.Date.Format(time.DateOnly))
	if c.Basis != "" {
		fmt.Fprintf(w, " (%s)", visible(c.Basis))
	}
	fmt.Fprintln(w)
}

// visible is report.Visible on one line of a table.
func visible(s string) string {
	return strings.NewReplacer("\n", " ", "\t", " ").Replace(report.Visible(s))
}

type bookCases struct{}

// Run lists the outcomes.
func (bookCases) Run(s *streams, f bookFile) error {
	return f.look(s, func(b *history.Book) error {
		cases, err := b.Cases()
		for i := range cases {
			printCase(s.out, &cases[i])
		}
		return err
	})
}

type bookOutcome struct {
	Listing string `xor:"of" required:"" placeholder:"KEY" help:"Key, id or address of the listing."`
	Serial  string `xor:"of" required:"" placeholder:"NUMBER" help:"The serial."`
	Word    string `required:"" name:"was" placeholder:"OUTCOME" help:"'confirmed copy', 'confirmed genuine' or 'unknown'."`
	Date    string `required:"" placeholder:"DAY" help:"Day of the confirmation, such as 2026-09-30."`
	Basis   string `required:"" placeholder:"TEXT" help:"What it rests on: a test purchase, a report of the maker. An opinion, or what this tool found, is no basis."`
}

// Run records an outcome.
func (c bookOutcome) Run(s *streams, f bookFile) error {
	k := rules.Case{Word: strings.ReplaceAll(c.Word, "-", " "), Basis: strings.TrimSpace(c.Basis)}
	if !history.IsOutcome(k.Word) {
		return fmt.Errorf("--was: %q is not one of %s", c.Word, strings.Join(rules.OutcomeWords, ", "))
	}
	var err error
	if k.Date, err = dayOf("--date", c.Date); err != nil {
		return err
	}
	if k.Basis == "" || len(k.Basis) > history.BasisLimit {
		return fmt.Errorf("--basis: empty, or longer than %d bytes", history.BasisLimit)
	}
	return f.change(s, func(b *history.Book) error {
		if c.Serial != "" {
			if k.Serial, err = history.UsableSerial(c.Serial); err != nil {
				return fmt.Errorf("--serial: %w", err)
			}
		} else {
			keys, err := b.FindListing(c.Listing)
			switch {
			case err != nil:
				return err
			case len(keys) == 0:
				return hinted{fmt.Errorf("the casebook has no listing %q", c.Listing), "the key stands in suspects.ndjson; the listing must have been part of an audit with this casebook"}
			case len(keys) > 1:
				return hinted{fmt.Errorf("%q means several listings: %s", c.Listing, visible(strings.Join(keys, ", "))), "give one of them in full"}
			}
			k.Listing = keys[0]
		}
		if err := b.Settle([]rules.Case{k}); err != nil {
			return err
		}
		printCase(s.out, &k)
		return nil
	})
}

func dayOf(flag, text string) (time.Time, error) {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil || t.Year() < 1970 {
		return t, fmt.Errorf("%s: %q is not a day such as 2026-09-30", flag, text)
	}
	return t, nil
}

// listWords are the words for lists of serials, with their outcomes.
var listWords = map[string]string{"known-bad": rules.ConfirmedCopy, "known-good": rules.ConfirmedGenuine}

type bookTake struct {
	List string `arg:"" type:"existingfile" help:"Table with the column serial_number and, if wanted, date and basis."`
	As   string `required:"" enum:"known-bad,known-good" placeholder:"WORD" help:"What the serials are: known-bad or known-good."`
	Date string `required:"" placeholder:"DAY" help:"Day of the list, for rows without a date."`
}

// Run takes a list of serials in: all of it or nothing.
func (c bookTake) Run(s *streams, f bookFile) error {
	date, err := dayOf("--date", c.Date)
	if err != nil {
		return err
	}
	var l loader
	cases := load(&l, "serials", c.List, func(name string, data []byte) ([]rules.Case, error) {
		return history.ReadSerials(name, data, listWords[c.As], date)
	})
	if len(l.errs) > 0 {
		return hinted{errors.Join(l.errs...), "nothing was taken in; mend the list and try again"}
	}
	return f.change(s, func(b *history.Book) error {
		if err := b.Settle(cases); err != nil {
			return err
		}
		_, err := fmt.Fprintf(s.out, "%s taken in as %s\n", report.Plural(len(cases), "serial"), c.As)
		return err
	})
}

type bookGive struct {
	As string `required:"" enum:"known-bad,known-good" placeholder:"WORD" help:"Which serials: known-bad or known-good."`
}

// Run prints a list of serials.
func (c bookGive) Run(s *streams, f bookFile) error {
	return f.look(s, func(b *history.Book) error { return b.WriteSerials(s.out, listWords[c.As]) })
}

type bookForget struct {
	Of     string `xor:"what" required:"" name:"run" placeholder:"RUN" help:"The run, by the beginning of its name in 'runs'."`
	Seller string `xor:"what" required:"" placeholder:"SELLER" help:"The seller, by displayed name, id or key: all that was kept of his listings goes."`
	Before string `xor:"what" required:"" placeholder:"DAY" help:"All runs, decisions and outcomes before a day."`
}

// Run deletes, and says what no deletion here can reach.
func (c bookForget) Run(s *streams, f bookFile) error {
	var before time.Time
	if c.Before != "" {
		var err error
		if before, err = dayOf("--before", c.Before); err != nil {
			return err
		}
	}
	return f.change(s, func(b *history.Book) error {
		var what string
		switch {
		case c.Of != "":
			n, err := b.ForgetRun(c.Of)
			if err != nil {
				return err
			}
			if n != 1 {
				return hinted{fmt.Errorf("%q means %s", c.Of, report.Plural(n, "run")), "the command 'runs' lists them; nothing was deleted"}
			}
			what = "the run"
		case c.Seller != "":
			keys, err := b.ForgetSeller(c.Seller)
			if err != nil {
				return err
			}
			if len(keys) == 0 {
				return hinted{fmt.Errorf("the casebook has no seller %q", c.Seller), "nothing was deleted"}
			}
			what = report.Plural(len(keys), "seller")
		default:
			n, err := b.ForgetBefore(before)
			if err != nil {
				return err
			}
			what = report.Plural(n, "run") + " and what was decided before " + c.Before
		}
		fmt.Fprintf(s.out, "forgotten: %s\n", what)
		fmt.Fprintln(s.err, "counterfoil: note: the reports, the captures and copies of the casebook are yours to delete; an audit of the same captures can bring it back")
		return nil
	})
}

type bookExport struct{}

// Run prints everything.
func (bookExport) Run(s *streams, f bookFile) error {
	return f.look(s, func(b *history.Book) error { return b.Export(s.out) })
}
