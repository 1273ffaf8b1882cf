package calibrate

import (
	"bufio"
	"fmt"
	"io"
	"strings"
)

// The first lines of what calibration writes, by which it is known again.
const (
	WeightsMark = "# Weights learned from outcomes by counterfoil calibrate."
	ReportMark  = "Calibration report of counterfoil"
)

// Source is a file that was read.
type Source struct{ Role, Name, SHA256 string }

// About is what the outputs say of the run.
type About struct {
	Version string // of the tool
	Sources []Source
	Notes   []string // what the reader must know of the input
}

// WriteWeights writes a weights file: a line for each rule that was learned or
// had a weight other than its default, with the reasons as comments above it;
// the rest as comments.
func WriteWeights(w io.Writer, about About, res *Result) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "%s\n#\n# Nothing uses this file until you name it: counterfoil audit --weights FILE.\n", WeightsMark)
	fmt.Fprintf(b, "# Decibans: 10 log10 of the likelihood ratio; counts are findings of the listings\n# for which the rule could be assessed; intervals hold 95 %%.\n#\n")
	fmt.Fprintf(b, "# counterfoil %s; %d confirmed copies, %d confirmed genuine\n", about.Version, res.Copies, res.Genuine)
	for _, s := range about.Sources {
		fmt.Fprintf(b, "# %s %q\n#   sha256 %s\n", s.Role, s.Name, s.SHA256)
	}
	none := true
	for i := range res.Rules {
		none = none && !res.Rules[i].isWritten()
	}
	if none {
		fmt.Fprintf(b, "\nweights: {}\n")
	} else {
		fmt.Fprintf(b, "\nweights:\n")
	}
	for i := range res.Rules {
		res.Rules[i].write(b)
	}
	return b.Flush()
}

// isWritten says whether the weights file must name the rule.
func (l *Learned) isWritten() bool { return l.Kept == "" || l.DB != l.Default }

func (l *Learned) write(w io.Writer) {
	if l.Findings() > 0 || l.isWritten() {
		fmt.Fprintf(w, "  # %s: found on %d of %d copies, %d of %d genuine\n", l.ID, l.CopiesFound, l.Copies, l.GenuineFound, l.Genuine)
	}
	scaled := ""
	if l.Worth != 1 {
		scaled = fmt.Sprintf(", times %.2f for the family %s", l.Worth, l.Family)
	}
	switch {
	case l.Kept == "":
		low, high := Interval(l.MeasuredDB, l.MeasuredSD)
		fmt.Fprintf(w, "  # measured %+.1f dB (%+.1f to %+.1f)", l.MeasuredDB, low, high)
		if l.Strength < 0.9995 {
			fmt.Fprintf(w, " at a mean strength of %.2f", l.Strength)
		}
		low, high = Interval(l.DB, l.SD)
		fmt.Fprintf(w, ", default %+.1f; together%s %+.1f (%+.1f to %+.1f)\n", l.Default, scaled, l.DB, low, high)
		fmt.Fprintf(w, "  # %s\n  %s: %.1f\n", strings.Join(l.changes(), "; "), l.ID, l.DB)
	case l.isWritten():
		fmt.Fprintf(w, "  # weight of the run %+.1f (default %+.1f) kept%s: %s\n  %s: %v\n", l.Used, l.Default, scaled, l.Kept, l.ID, l.DB)
	default:
		fmt.Fprintf(w, "  # %s: %v  # default kept: %s\n", l.ID, l.Default, l.Kept)
	}
}

// changes says in words what became of a learned weight.
func (l *Learned) changes() []string {
	first := fmt.Sprintf("before %+.1f, changed by %+.1f", l.Used, l.DB-l.Used)
	if fmt.Sprintf("%.1f", l.Used) == fmt.Sprintf("%.1f", l.DB) {
		first = "as before"
	}
	return append([]string{first}, l.remarks()...)
}

// remarks says what to look at in a weight.
func (l *Learned) remarks() []string {
	if l.Kept != "" {
		return []string{"kept: " + l.Kept}
	}
	var list []string
	if l.DB*l.Used < 0 {
		list = append(list, "the sign changed")
	}
	if low, high := Interval(l.DB, l.SD); low <= 0 && high >= 0 {
		list = append(list, "it may weigh nothing")
	}
	return list
}
