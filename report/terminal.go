package report

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

const (
	topN      = 10 // listings shown on a terminal
	unreadN   = 10 // problems shown on a terminal
	leastWide = 60 // columns below which the table is not squeezed further
)

// Summary writes the few lines that end a run on a terminal: what was
// examined, the ten listings to look at first, what could not be read, and
// where the report is. width is the terminal's width in columns. All text of
// the input is made visible, see [Visible].
func Summary(w io.Writer, res *rules.Result, run *Run, width int) error {
	var b bytes.Buffer
	width = max(width, leastWide)
	c := CountsOf(run, res)
	fmt.Fprintf(&b, "Examined %s from %s. As of %s.\n", Plural(c.Listings, "listing"), Plural(len(run.Captures), "file"), stamp(run.AsOf))
	var outcomes []string
	for _, o := range c.Outcomes {
		outcomes = append(outcomes, fmt.Sprintf("%d %s", o.N, OutcomeText(o.Of)))
	}
	fmt.Fprintf(&b, "%s.\n", strings.Join(outcomes, ", "))
	writeTop(&b, res, width)
	writeUnread(&b, run, &c, width)
	for _, s := range Warnings(run, res) {
		fmt.Fprintf(&b, "warning: %s\n", oneLine(s))
	}
	if run.Out != "" {
		fmt.Fprintf(&b, "\nReport in %s. Leads, not findings: a person decides.\n", oneLine(run.Out))
	}
	_, err := w.Write(b.Bytes())
	return err
}

// Top lists the first n listings of at least weak support.
func Top(res *rules.Result, n int) []*rules.Judged {
	list := res.Ranked[:min(n, len(res.Ranked))]
	for i, j := range list {
		if j.Support == rules.SupportNone {
			return list[:i]
		}
	}
	return list
}

func writeTop(b *bytes.Buffer, res *rules.Result, width int) {
	top := Top(res, topN)
	if len(top) == 0 {
		b.WriteString("\nNo listing stands out in what was supplied. That clears none of them.\n")
		return
	}
	const indent = "      "
	columns := [...]int{4, 8, 17, 23}
	row := func(cells ...string) {
		for i, s := range cells {
			if i < len(columns) {
				s = fit(s, columns[i])
			}
			if i > 0 {
				s = "  " + s
			}
			cells[i] = s
		}
		b.WriteString(strings.TrimRight(cut(strings.Join(cells, ""), width), " ") + "\n")
	}
	b.WriteByte('\n')
	row("Rank", "Evidence", "Support", "Outcome", "Price")
	for _, j := range top {
		row(fmt.Sprintf("%4d", j.Rank), padLeft(Decibans(j.EvidenceDB), columns[1]), j.Support, OutcomeText(j.Outcome), oneLine(priceBeside(j)))
		seller := oneLine(j.Listing.Value(listing.Seller))
		if seller == "" {
			seller = "seller not observed"
		}
		seller = cut(seller, width/3)
		title := oneLine(j.Listing.Value(listing.Title))
		if title == "" {
			title = oneLine(j.Listing.Key)
		}
		fmt.Fprintf(b, "%s%s  |  %s\n", indent, cut(title, width-len(indent)-Width(seller)-5), seller)
		if reasons := Reasons(j); len(reasons) > 0 {
			fmt.Fprintf(b, "%s%s\n", indent, cut(oneLine(strings.Join(reasons, " ")), width-len(indent)))
		}
	}
}

// padLeft fills s up from the left.
func padLeft(s string, width int) string {
	return strings.Repeat(" ", max(0, width-Width(s))) + s
}

// priceBeside is the landed price and its share of the reference, else of the
// market's median.
func priceBeside(j *rules.Judged) string {
	a := j.Market()
	switch {
	case a.Excluded != "":
		return "not comparable: " + a.Excluded
	case a.Reference != nil:
		return fmt.Sprintf("%s, %s of reference", PriceShort(a), rules.Percent(a.RatioToReference))
	case a.Ratio > 0:
		return fmt.Sprintf("%s, %s of median (%d)", PriceShort(a), rules.Percent(a.Ratio), a.N)
	}
	return PriceShort(a)
}

func writeUnread(b *bytes.Buffer, run *Run, c *Counts, width int) {
	total := c.Unread()
	if total == 0 {
		return
	}
	fmt.Fprintf(b, "\nNot read, or not in full: %d.\n", total)
	shown := 0
	for i := range run.Problems {
		p := &run.Problems[i]
		if p.Severity == listing.Notice {
			continue
		}
		if shown++; shown > unreadN {
			fmt.Fprintf(b, "  and %d more, all in run.json\n", total-unreadN)
			return
		}
		fmt.Fprintf(b, "  %s\n", cut(oneLine(p.Error()), width-2))
		if p.Hint != "" {
			fmt.Fprintf(b, "    hint: %s\n", cut(oneLine(p.Hint), width-10))
		}
	}
}
