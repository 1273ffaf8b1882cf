package compare

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/report"
)

// fact is a line of the short account of a comparison.
type fact struct {
	label string
	n     int
	text  string
}

// inShort are the figures that a reader wants first. Figures of zero are left
// out but for the first three.
func inShort(res *Result) []fact {
	k := res.Kinds
	stay := 0
	for how, n := range res.Joined {
		if how != putUpAgain {
			stay += n
		}
	}
	var fell, rose, collapsed int
	for i := range res.Changes {
		switch c := &res.Changes[i]; {
		case c.Kind != PriceMoved || c.Moved == 0:
		case c.Moved > 0:
			rose++
		default:
			fell++
			if c.Moved <= -collapse {
				collapsed++
			}
		}
	}
	list := []fact{
		{"Still there", stay, fmt.Sprintf("of %s before and %d after", report.Plural(len(res.Before.Listings), "listing"), len(res.After.Listings))},
		{"New", k[New], "not among the earlier inputs, though their marketplace was"},
		{"Gone", k[Gone], "not among the later inputs, though their marketplace is"},
	}
	again := k[Relisted] + k[SerialMoved] + k[RelistedElsewhere]
	for _, f := range []fact{
		{"Put up again", again, fmt.Sprintf("%d by the same seller, %d by another with the same serial, %d by another with the same photos", k[Relisted], k[SerialMoved], k[RelistedElsewhere])},
		{"Prices moved", k[PriceMoved], fmt.Sprintf("%d fell, of them %d by %.0f %% or more; %d rose", fell, collapsed, 100*collapse, rose)},
		{"Serials", k[SerialChanged] + k[SerialAgain], fmt.Sprintf("%d changed in a listing, %d also at another seller", k[SerialChanged], k[SerialAgain])},
		{"New accounts", k[AccountWithOld], "with photos, texts or serials of earlier listings"},
		{"Under your price", k[Undercut], "newly or further under your own list price"},
		{"Rewritten", k[ClaimEdited] + k[ConditionEdited] + k[PartEdited] + k[TitleEdited] + k[DescriptionEdited],
			fmt.Sprintf("%d claims, %d conditions, %d part numbers, %d titles, %d descriptions", k[ClaimEdited], k[ConditionEdited], k[PartEdited], k[TitleEdited], k[DescriptionEdited])},
		{"Photos changed", k[PhotosChanged], "added, removed or replaced"},
		{"Other changes", k[FieldEdited] + k[SellerChanged] + k[QuantityMoved] + k[Ended],
			fmt.Sprintf("%d other fields, %d sellers, %d quantities, %d marked as ended", k[FieldEdited], k[SellerChanged], k[QuantityMoved], k[Ended])},
		{"Never run out", k[StillLastOne], "speak of the last unit in both looks"},
		{"Unclear", k[Unclear], "sets of listings that could be joined in several ways, and were not"},
		{"Not comparable", k[FirstLookedAt] + k[NotLookedAt],
			fmt.Sprintf("listings on marketplaces that one side did not look at: %d first seen, %d not looked at again", k[FirstLookedAt], k[NotLookedAt])},
	} {
		if f.n > 0 {
			list = append(list, f)
		}
	}
	return list
}

const (
	topN    = 8  // changes shown on a terminal and on the first sheet
	unreadN = 10 // problems shown on a terminal
	widest  = 100
)

// standingOut lists the first n changes that stand out, some of each kind before
// more of one: no kind may hide the others.
func standingOut(res *Result, n int) []*Change {
	var first, rest []int
	perKind := map[Kind]int{}
	for i := range res.Changes {
		c := &res.Changes[i]
		if c.Attention != StandsOut {
			break
		}
		if perKind[c.Kind]++; perKind[c.Kind] <= max(2, n/3) {
			first = append(first, i)
		} else if len(rest) < n {
			rest = append(rest, i)
		}
	}
	chosen := append(first, rest...)
	chosen = chosen[:min(len(chosen), n)]
	slices.Sort(chosen)
	list := make([]*Change, len(chosen))
	for i, at := range chosen {
		list[i] = &res.Changes[at]
	}
	return list
}

// Summary writes the few lines that end a comparison on a terminal. All text of
// the input is made visible.
func Summary(w io.Writer, run *Run, res *Result) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, "Before: %s. After: %s. As of %s.\n\n", sideText(&run.Before, &res.Before), sideText(&run.After, &res.After), stamp(run.AsOf))
	for _, f := range inShort(res) {
		fmt.Fprintf(&b, "%-17s %7d  %s\n", f.label, f.n, f.text)
	}
	if top := standingOut(res, topN); len(top) > 0 {
		b.WriteString("\nStands out:\n")
		for _, c := range top {
			fmt.Fprintf(&b, "  %s\n", c.Kind.About().Title)
			fmt.Fprintf(&b, "    %s\n", plainLine(heading(c), widest-4))
			fmt.Fprintf(&b, "    %s\n", plainLine(c.Statement, widest-4))
		}
	} else {
		b.WriteString("\nNothing stands out in what was supplied.\n")
	}
	writeUnread(&b, run, res)
	for _, s := range warnings(run, res) {
		fmt.Fprintf(&b, "warning: %s\n", plainLine(s, 400))
	}
	if run.Out != "" {
		fmt.Fprintf(&b, "\nReport in %s. Leads, not findings: a person decides.\n", plainLine(run.Out, 400))
	}
	_, err := w.Write(b.Bytes())
	return err
}

func sideText(in *Input, side *Side) string {
	return fmt.Sprintf("%s from %s%s", report.Plural(len(side.Listings), "listing"), report.Plural(len(in.Captures), "file"), captureSpan(side))
}

// captureSpan says when the listings of a side were captured, as they state it.
func captureSpan(side *Side) string {
	first, last := side.First.Format(time.DateOnly), side.Last.Format(time.DateOnly)
	switch {
	case side.First.IsZero():
		return ", no capture time stated"
	case first == last:
		return ", captured " + first
	}
	return ", captured " + first + " to " + last
}

// heading is the title or key of a change's listing, with its seller.
func heading(c *Change) string {
	l := c.Listing()
	s := l.Value(listing.Title)
	if s == "" {
		s = l.Key
	}
	if by := seller(l); by != "" {
		s = listing.Shorten(s, 70) + "  |  " + by
	}
	return s
}

// plainLine makes text harmless to read on one line.
func plainLine(s string, width int) string {
	return listing.Shorten(strings.Join(strings.Fields(report.Visible(s)), " "), width)
}

func writeUnread(b *bytes.Buffer, run *Run, res *Result) {
	before, after := CountsOf(&run.Before, &res.Before), CountsOf(&run.After, &res.After)
	total := before.Unread() + after.Unread()
	if total == 0 {
		return
	}
	fmt.Fprintf(b, "\nNot read, or not in full: %d. What was not read may stand as new or gone.\n", total)
	shown := 0
	for _, in := range []*Input{&run.Before, &run.After} {
		for i := range in.Problems {
			p := &in.Problems[i]
			if p.Severity == listing.Notice {
				continue
			}
			if shown++; shown > unreadN {
				fmt.Fprintf(b, "  and %d more, all in run.json\n", total-unreadN)
				return
			}
			fmt.Fprintf(b, "  %s\n", plainLine(p.Error(), widest-2))
		}
	}
}
