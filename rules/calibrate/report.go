package calibrate

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// WriteReport writes what was learned, and how well it does, as plain text.
func WriteReport(w io.Writer, about About, res *Result) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "%s %s\n\n", ReportMark, about.Version)
	for _, s := range about.Sources {
		fmt.Fprintf(b, "%-9s %q, sha256 %s\n", s.Role, s.Name, s.SHA256)
	}
	res.writeOutcomes(b, about.Notes)
	res.writeRules(b)
	res.writeFamilies(b)
	res.writeQuality(b)
	after, which := res.After, "after"
	if res.Scaled {
		after, which = res.Joint, "after, families scaled"
	}
	fmt.Fprintf(b, "\nRELIABILITY, %s: predicted share of copies against the confirmed one\n", which)
	writeBins(b, after)
	fmt.Fprint(b, "\nRELIABILITY, before\n")
	writeBins(b, res.Before)
	return b.Flush()
}

func (res *Result) writeOutcomes(w io.Writer, notes []string) {
	n := res.Copies + res.Genuine
	fmt.Fprintf(w, "\nOUTCOMES\n%d confirmed copies and %d confirmed genuine.\n", res.Copies, res.Genuine)
	fmt.Fprintf(w, "By place in the ranking: first quarter %d, second %d, third %d, last %d.\n",
		res.Quarters[0], res.Quarters[1], res.Quarters[2], res.Quarters[3])
	if 4*(res.Quarters[2]+res.Quarters[3]) < n {
		fmt.Fprint(w, "Caution: few outcomes are of low-ranked listings. What was followed up because a rule\n"+
			"spoke makes that rule look weaker or stronger than it is (verification bias, Begg and\n"+
			"Greenes 1983). Follow up some listings drawn by lot.\n")
	}
	fmt.Fprintf(w, "%.0f %% of the outcomes are copies. Where copies are rarer, so are they among the flagged:\n"+
		"the weights carry over to another market, the probabilities below do not.\n", 100*float64(res.Copies)/float64(n))
	for _, note := range notes {
		fmt.Fprintf(w, "Note: %s.\n", note)
	}
}

func (res *Result) writeRules(w io.Writer) {
	fmt.Fprintf(w, "\nWEIGHTS in decibans; counts are findings of the listings that could be assessed\n")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "rule\tcopies\tgenuine\tmeasured\t95 %\tdefault\tbefore\tnew\t95 %\tremark")
	silent := 0
	for i := range res.Rules {
		l := &res.Rules[i]
		if l.Findings() == 0 {
			silent++
			continue
		}
		after := ""
		if l.Kept == "" {
			after = rangeText(l.DB, l.SD)
		}
		fmt.Fprintf(t, "%s\t%d/%d\t%d/%d\t%+.1f\t%s\t%+.1f\t%+.1f\t%+.1f\t%s\t%s\n", l.ID, l.CopiesFound, l.Copies, l.GenuineFound, l.Genuine,
			l.MeasuredDB, rangeText(l.MeasuredDB, l.MeasuredSD), l.Default, l.Used, l.DB, after, strings.Join(l.remarks(), "; "))
	}
	t.Flush()
	fmt.Fprintf(w, "%d of %d rules found nothing among the outcomes and keep their weights.\n", silent, len(res.Rules))
	fmt.Fprintf(w, "New is the measured weight drawn to the default, which is taken to be off by %.1f dB (standard\n"+
		"deviation; at least %d, more where the %d rules learned show it).\n", res.PriorSD, MinPriorSD, countLearned(res.Rules))
}

func rangeText(value, sd float64) string {
	low, high := Interval(value, sd)
	return fmt.Sprintf("%+.1f to %+.1f", low, high)
}

func (res *Result) writeFamilies(w io.Writer) {
	fmt.Fprintf(w, "\nFAMILIES together (ridge logistic regression): what a deciban is worth beside the others\n")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "family\tlistings\tworth\t95 %\tremark")
	for _, s := range res.Families {
		low, high := Interval(s.Value, s.SD)
		remark := ""
		switch {
		case high < 1:
			remark = "partly repeats the other families"
		case low > 1:
			remark = "says more than its weights"
		}
		fmt.Fprintf(t, "%s\t%d\t%.2f\t%.2f to %.2f\t%s\n", s.Family, s.Cases, s.Value, low, high, remark)
	}
	t.Flush()
	in := "They are not in the weights file, as --no-scale-families asks."
	if res.Scaled {
		in = "The weights above and in the weights file are multiplied by them."
	}
	fmt.Fprintf(w, "1.00 is the face value. %s\n", in)
}

func (res *Result) writeQuality(w io.Writer) {
	fmt.Fprintf(w, "\nHOW WELL IT DOES on listings not learned from (%d parts by the hash of the listing key)\n", folds)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "\tbefore\tafter\tafter, families scaled")
	row := func(name string, of func(Quality) string) {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\n", name, of(res.Before), of(res.After), of(res.Joint))
	}
	number := func(of func(Quality) float64) func(Quality) string {
		return func(q Quality) string { return fmt.Sprintf("%.4f", of(q)) }
	}
	row("average precision", number(func(q Quality) float64 { return q.AveragePrecision }))
	for i, at := range res.Before.At {
		row(fmt.Sprintf("precision at %d", at.K), func(q Quality) string {
			if !q.At[i].OK {
				return "too few"
			}
			return fmt.Sprintf("%.4f", q.At[i].Share)
		})
	}
	row("area under the ROC curve", number(func(q Quality) float64 { return q.ROCArea }))
	row("NDCG", number(func(q Quality) float64 { return q.NDCG }))
	row("Brier score (0 is best)", number(func(q Quality) float64 { return q.Brier }))
	t.Flush()
	writeVerdict(w, "after", res.Change, res.After.AveragePrecision-res.Before.AveragePrecision)
	writeVerdict(w, "after, families scaled", res.JointChange, res.Joint.AveragePrecision-res.Before.AveragePrecision)
	fmt.Fprint(w, "Listings of one seller may stand in several parts; for sellers not met before, expect less.\n")
}

// writeVerdict says what changed against before: how near the probabilities
// come, and how the ranking fares.
func writeVerdict(w io.Writer, name string, brier Difference, precision float64) {
	const slight = 0.005 // of average precision; this project's choice
	low, high := Interval(brier.Mean, brier.SD)
	nearer, ranking := "no clear difference", "about the same"
	switch {
	case high < 0:
		nearer = "nearer to the outcomes"
	case low > 0:
		nearer = "further from the outcomes"
	}
	switch {
	case precision > slight:
		ranking = "better"
	case precision < -slight:
		ranking = "worse"
	}
	fmt.Fprintf(w, "%s, against before: Brier score %+.4f (95 %%: %+.4f to %+.4f), %s; ranking %s (%+.4f).\n",
		name, brier.Mean, low, high, nearer, ranking, precision)
}

func writeBins(w io.Writer, q Quality) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "probability\tlistings\tmean\tcopies\tshare\t95 %")
	for _, b := range q.Bins {
		fmt.Fprintf(t, "%.1f to %.1f\t%d\t%.3f\t%d\t%.3f\t%.3f to %.3f\n", b.From, b.To, b.N, b.Mean, b.Copies,
			float64(b.Copies)/float64(b.N), b.Low, b.High)
	}
	t.Flush()
	fmt.Fprint(w, "isotonic curve:")
	for i, s := range q.Curve {
		if i > 0 {
			fmt.Fprint(w, ";")
		}
		fmt.Fprintf(w, " %.3f to %.3f: %.3f (%d)", s.From, s.To, s.Share, s.N)
	}
	fmt.Fprintln(w)
}
