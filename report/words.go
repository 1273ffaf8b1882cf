package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/market"
)

// OutcomeText is an outcome word as people read it.
func OutcomeText(outcome string) string {
	if outcome == rules.TooIncomplete {
		return "too incomplete to judge"
	}
	return strings.ReplaceAll(outcome, "-", " ")
}

// Decibans prints a weight of evidence: "31.5 dB". Halves are rounded away
// from zero, as spreadsheet programs do.
func Decibans(db float64) string { return fmt.Sprintf("%.1f dB", round(db, 1)) }

// SupportText is the word of the verbal scale, marked when it is held back:
// "moderately strong (held: one family only)".
func SupportText(j *rules.Judged) string {
	if j.Held {
		return j.Support + " (held: one family only)"
	}
	return j.Support
}

// Against lists the findings that point to suspicion, by what each adds to the
// total, largest first.
func Against(j *rules.Judged) []*rules.Finding {
	shares := rules.Shares(j.Findings)
	var order []int
	for i, share := range shares {
		if share > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(shares[b], shares[a]) })
	list := make([]*rules.Finding, len(order))
	for i, n := range order {
		list[i] = &j.Findings[n]
	}
	return list
}

// Reasons gives the three strongest reasons to look at a listing, each a plain
// sentence with what it weighs. Findings that speak for the listing are not
// among them.
func Reasons(j *rules.Judged) []string {
	list := Against(j)
	var out []string
	for _, f := range list[:min(3, len(list))] {
		out = append(out, Sentence(f.Statement))
	}
	return out
}

// Sentence gives s a capital letter and a full stop if it lacks them.
func Sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return ""
	}
	if c := s[0]; c >= 'a' && c <= 'z' {
		s = string(c-'a'+'A') + s[1:]
	}
	if !strings.ContainsAny(s[len(s)-1:], ".!?") && !strings.HasSuffix(s, "…") {
		s += "."
	}
	return s
}

// AskList is what to ask the seller, without accusation: the questions of the
// findings, strongest first, then in one sentence what the listing does not
// show.
func AskList(j *rules.Judged) []string {
	out := Questions(j, len(j.Findings))
	if also := AlsoAsk(j); also != "" {
		out = append(out, also)
	}
	return out
}

// Questions are the first n different questions of the findings, strongest first.
func Questions(j *rules.Judged, n int) []string {
	var out []string
	for _, f := range Against(j) {
		if len(out) == n {
			break
		}
		if q := Sentence(f.Rule.Doc.Ask); q != "" && !slices.Contains(out, q) {
			out = append(out, q)
		}
	}
	return out
}

// AlsoAsk asks for what the listing does not show, "" when it lacks nothing.
func AlsoAsk(j *rules.Judged) string {
	open := OpenAsks(j)
	if len(open) == 0 {
		return ""
	}
	return "Also ask: " + strings.Join(open, "; ") + "."
}

// OpenAsks names what the seller could add so that more rules can be assessed,
// each once, in rule order.
func OpenAsks(j *rules.Judged) []string {
	var out []string
	for _, g := range j.Gaps {
		if q := g.Need.Ask(); q != "" && !slices.Contains(out, q) {
			out = append(out, q)
		}
	}
	return out
}

// Lacking names what could not be observed in the listing, each once, in rule
// order. What the user's settings lack is not among it.
func Lacking(j *rules.Judged) []string {
	var out []string
	for _, g := range j.Gaps {
		if s := g.Need.String(); !g.Need.IsSetting() && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// PriceText says how the landed price stands: "312.40 EUR, 41 % of the median
// of 12 sellers (weak)" or "not comparable: auction bid".
func PriceText(a market.Assessment) string {
	if a.Excluded != "" {
		return "not comparable: " + a.Excluded
	}
	parts := []string{PriceShort(a)}
	if a.Reference != nil {
		parts = append(parts, fmt.Sprintf("%s of the reference price %s", rules.Percent(a.RatioToReference), rules.Money(a.Reference.InCurrency)))
	}
	if a.Band != market.BandNone && a.Ratio > 0 {
		s := fmt.Sprintf("%s of the median of %d sellers", rules.Percent(a.Ratio), a.N)
		if note := bandNote(a); note != "" {
			s += " (" + note + ")"
		}
		parts = append(parts, s)
	} else if a.Reference == nil {
		parts = append(parts, "too few other sellers to compare with")
	}
	return strings.Join(parts, ", ")
}

// PriceShort is the landed price alone, "at least" when shipping was not
// observed.
func PriceShort(a market.Assessment) string {
	if a.Price.Minor <= 0 {
		return "no comparable price"
	}
	if a.LowerBound {
		return "at least " + rules.Money(a.Price)
	}
	return rules.Money(a.Price)
}

func bandNote(a market.Assessment) string {
	var notes []string
	switch a.Band {
	case market.BandRatio:
		notes = append(notes, "ratio only")
	case market.BandWeak:
		notes = append(notes, "weak")
	}
	if a.Groups != nil {
		notes = append(notes, "two price groups")
	}
	if a.Widened != "" {
		notes = append(notes, "wider group: "+a.Widened)
	}
	return strings.Join(notes, ", ")
}

// PartText is the resolved part, or the number as read when none was resolved.
func PartText(res *rules.Result, j *rules.Judged) string {
	return cmp.Or(res.Facts.Parts[j.N].ID, j.Listing.Value(listing.PartNumber))
}

// ClaimText is what the listing's texts say the item is: one of claims.Claims.
func ClaimText(res *rules.Result, j *rules.Judged) string {
	return res.Facts.Claims.Summary(j.N).Claim
}

// FileText names a file and, in brackets, the entry of an archive.
func FileText(file, entry string) string {
	if entry != "" {
		return file + " (" + entry + ")"
	}
	return file
}

// Plural prints a number with its noun, adding an s for any number but one.
func Plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
