package main

import (
	"bytes"
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"counterfoil/report"
	"counterfoil/report/evidence"
	"counterfoil/report/pack"
	"counterfoil/report/pack/bagit"
	"counterfoil/rules"
)

type packCmd struct {
	examineFlags
	Listing          []string `sep:"none" placeholder:"KEY" help:"Key of a listing to pack, as in suspects.ndjson; may be given several times."`
	Decided          string   `type:"existingfile" placeholder:"FILE.xlsx" help:"Workbook of an earlier run: pack every listing with a decision in it."`
	Decision         []string `placeholder:"WORD,..." help:"Of those, only the ones with one of these decisions, such as report."`
	Casebook         string   `placeholder:"FILE" help:"What earlier runs saw (SQLite): compared with this run, and left as it is."`
	Out              string   `placeholder:"DIR" default:"counterfoil-packs" help:"Folder for the packages (default: ./counterfoil-packs)."`
	TimestampRequest bool     `help:"Write a request for a time-stamp (RFC 3161) beside each package, for you to submit."`
	Mask             bool     `help:"Add a copy without captures in which contacts are masked."`
	Verify           bool     `help:"Recompute the bags named as INPUT instead, and name the first difference."`
}

// Validate tells the two uses of the command apart.
func (c *packCmd) Validate() error {
	makes := len(c.Listing) > 0 || c.Decided != ""
	for _, word := range c.Decision {
		if !slices.Contains(report.DecisionWords, word) {
			return fmt.Errorf("--decision: %q is no word for a decision; the words are %s", word, strings.Join(report.DecisionWords, ", "))
		}
	}
	switch {
	case c.Verify && makes:
		return errors.New("--verify checks packages, --listing and --decided make them; do one at a time")
	case !c.Verify && !makes:
		return errors.New("give --listing KEY for each listing to pack, --decided FILE.xlsx for those with a decision, or --verify to check packages")
	case len(c.Decision) > 0 && c.Decided == "":
		return errors.New("--decision chooses among the listings of --decided FILE.xlsx")
	}
	return nil
}

// Run examines the input anew, so that all hashes are taken now, and makes one
// package for each listing.
func (c *packCmd) Run(s *streams) error {
	if c.Verify {
		return verifyBags(s, c.Inputs)
	}
	if err := checkOut(c.Out, c.Inputs); err != nil {
		return err
	}
	var l loader
	x := c.examineFlags.settings(s, &l)
	decided, problems := readDecisions(&l, "decided", c.Decided)
	if err := l.err(); err != nil {
		return err
	}
	cases := caseFlags{Casebook: c.Casebook}
	if err := cases.look(s.ctx, &x.rules); err != nil {
		return err
	}
	defer cases.close()
	batch, result, run, err := x.run(s, &l, c.Out)
	if err != nil {
		return err
	}
	defer batch.Close()
	defer x.specimens.Close()
	if run.MaskAll = x.Mask; run.MaskAll { // the exhibits stay byte for byte
		result = report.MaskAll(result)
	}
	run.Warnings = append(run.Warnings, cases.note(result.Facts)...)
	printProblems(s.err, problems, manyProblems)
	chosen, err := c.choose(result, decided, x.bar)
	if err != nil {
		return err
	}
	if err := c.checkFree(chosen); err != nil {
		return err
	}
	packer := pack.New(result, pack.Options{Run: run, Open: openCapture, Photo: batch.Bytes,
		Page: func(j *rules.Judged, way func(string) string) ([]byte, error) {
			var b bytes.Buffer
			err := evidence.WriteAlone(&b, result, run, j, evidence.Options{Thumb: x.thumb(batch, 240), Crop: cropOf(batch)}, way)
			return b.Bytes(), err
		}})
	for _, j := range chosen {
		x.bar.line("packing %s", report.Visible(j.Listing.Key))
		if err := c.pack(s, x.bar, packer, j); err != nil {
			return err
		}
	}
	if counts := report.CountsOf(run, result); counts.Unread() > 0 || len(problems) > 0 {
		x.bar.line("some input could not be read; run.json in each package names it")
		return exitError(exitPartial)
	}
	return nil
}

// manyProblems is how many problems of a workbook are printed.
const manyProblems = 20

// choose finds the listings to pack, in rank order.
func (c *packCmd) choose(result *rules.Result, decided report.Decided, bar *progress) ([]*rules.Judged, error) {
	chosen, err := byKey(result, c.Listing)
	if err != nil {
		return nil, err
	}
	for _, j := range result.Ranked {
		d, stale, _ := decided.Of(j)
		if d.Word == "" || len(c.Decision) > 0 && !slices.Contains(c.Decision, d.Word) || slices.Contains(chosen, j) {
			continue
		}
		chosen = append(chosen, j)
		if stale {
			bar.line("note: %s: %s (%s)", report.Visible(j.Listing.Key), d.SinceText(stale), d.Word)
		}
	}
	for _, g := range decided.Gone(result) {
		bar.line("note: %s has a decision, but is not in the input", report.Visible(g.Key))
	}
	if len(chosen) == 0 {
		return nil, hinted{errors.New("no listing of the input has such a decision"), "nothing was written; the input must be that of the workbook"}
	}
	slices.SortFunc(chosen, func(a, b *rules.Judged) int { return a.Rank - b.Rank })
	return chosen, nil
}

// byKey finds listings by their keys, in rank order.
func byKey(result *rules.Result, keys []string) ([]*rules.Judged, error) {
	var chosen []*rules.Judged
	found := map[string]bool{}
	for _, j := range result.Ranked {
		if slices.Contains(keys, j.Listing.Key) {
			chosen = append(chosen, j)
			found[j.Listing.Key] = true
		}
	}
	for _, key := range keys {
		if !found[key] {
			return nil, hinted{fmt.Errorf("no listing has the key %q", key), "the keys stand in suspects.ndjson, under \"listing\"; nothing was written"}
		}
	}
	return chosen, nil
}

// checkFree refuses to touch packages that exist: they may be evidence already.
func (c *packCmd) checkFree(chosen []*rules.Judged) error {
	for _, j := range chosen {
		for _, name := range c.names(j) {
			if _, err := os.Lstat(filepath.Join(c.Out, name)); !errors.Is(err, fs.ErrNotExist) {
				return hinted{fmt.Errorf("%s exists already", filepath.Join(c.Out, name)), "packages are never written over; choose another folder with --out"}
			}
		}
	}
	return nil
}

// maskedSuffix ends the name of a masked copy.
const maskedSuffix = ".masked"

// names lists all that is written for a listing.
func (c *packCmd) names(j *rules.Judged) []string {
	name := pack.FolderName(j.Listing.Key)
	bags := []string{name}
	if c.Mask {
		bags = append(bags, name+maskedSuffix)
	}
	var all []string
	for _, bag := range bags {
		all = append(all, bag, bag+sealSuffix, bag+requestSuffix)
	}
	return all
}

func (c *packCmd) pack(s *streams, bar *progress, packer *pack.Packer, j *rules.Judged) error {
	name := pack.FolderName(j.Listing.Key)
	contents, err := packer.Contents(j)
	if err != nil {
		return err
	}
	for _, n := range contents.Notes {
		bar.line("note: %s", report.Visible(n))
	}
	seal, err := c.bag(s, name, contents)
	if err != nil || !c.Mask {
		return err
	}
	if contents, err = packer.Masked(j, seal); err != nil {
		return err
	}
	_, err = c.bag(s, name+maskedSuffix, contents)
	return err
}

// What stands beside a package: its seal, in the form of sha256sum, and the
// request for a time-stamp.
const (
	sealSuffix    = ".sha256"
	requestSuffix = ".tsq"
)

func (c *packCmd) bag(s *streams, name string, contents *pack.Contents) (seal string, err error) {
	files := make([]bagit.File, len(contents.Files))
	for i, f := range contents.Files {
		files[i] = bagit.File(f)
	}
	info := make([]bagit.Field, len(contents.Info))
	for i, f := range contents.Info {
		info[i] = bagit.Field(f)
	}
	if seal, err = bagit.Write(s.ctx, filepath.Join(c.Out, name), files, info); err != nil {
		return "", err
	}
	beside := []report.File{{Name: name + sealSuffix, Write: func(w io.Writer) error {
		_, err := fmt.Fprintf(w, "%s  %s/%s\n", seal, name, bagit.SealFile)
		return err
	}}}
	if c.TimestampRequest {
		request, err := requestFor(seal)
		if err != nil {
			return "", err
		}
		beside = append(beside, report.File{Name: name + requestSuffix, Write: func(w io.Writer) error {
			_, err := w.Write(request)
			return err
		}})
	}
	if err := report.Write(c.Out, beside...); err != nil {
		return "", err
	}
	sweep(s.err, c.Out)
	_, err = fmt.Fprintf(s.out, "%s\n  seal %s\n", filepath.Join(c.Out, name), seal)
	return seal, err
}

func requestFor(seal string) ([]byte, error) {
	var sum [32]byte
	if _, err := hex.Decode(sum[:], []byte(seal)); err != nil {
		return nil, err
	}
	return pack.TimestampRequest(sum)
}

// openCapture opens a file of the input. That it is still the file that was
// read is for the checksum to say.
func openCapture(file string) (io.ReadCloser, error) { return os.Open(filepath.FromSlash(file)) }

// verifyBags recomputes bags. The exit status is 1 when one is not valid.
func verifyBags(s *streams, dirs []string) error {
	failed := false
	for _, dir := range dirs {
		bag, err := verifyBag(s.ctx, dir)
		if s.ctx.Err() != nil {
			return s.ctx.Err()
		}
		if bag != nil {
			for _, w := range bag.Warnings {
				fmt.Fprintf(s.err, "counterfoil: warning: %s: %s\n", dir, report.Visible(w))
			}
		}
		if err != nil {
			failed = true
			fmt.Fprintf(s.out, "%s: not valid: %s\n", dir, report.Visible(err.Error()))
			continue
		}
		fmt.Fprintf(s.out, "%s: valid, BagIt %s, %s, %d bytes, %s\n", dir, bag.Version,
			report.Plural(bag.Files, "file"), bag.Bytes, strings.Join(bag.Algorithms, " and "))
	}
	if failed {
		return exitError(exitFailed)
	}
	return nil
}

// verifyBag recomputes one bag, and holds it against the seal beside it if
// there is one.
func verifyBag(ctx context.Context, dir string) (*bagit.Report, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	bag, err := bagit.Verify(ctx, root.FS())
	if err != nil {
		return bag, err
	}
	beside := filepath.Clean(dir) + sealSuffix
	said, err := readStart(beside, 64)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		bag.Warnings = append(bag.Warnings, "no seal lies beside the bag, so a change that its manifests follow would not show")
		return bag, nil
	case err != nil:
		return bag, err
	}
	seal, err := bagit.Seal(root.FS())
	if err != nil {
		return bag, err
	}
	if want, _, _ := strings.Cut(said, " "); want != seal {
		return bag, fmt.Errorf("its seal is %s; %s says %s", seal, filepath.Base(beside), want)
	}
	return bag, nil
}

// readStart reads at most n bytes of a file.
func readStart(name string, n int64) (string, error) {
	f, err := os.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, n))
	return string(data), err
}
