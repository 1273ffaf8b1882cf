package report

import (
	"cmp"
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/market"
)

var csvColumns = []string{"rank", "listing", "outcome", "evidence_db", "support", "coverage", "title", "seller", "part",
	"unit_type", "condition", "claim", "landed", "currency", "landed_lower_bound", "market_median", "market_ratio", "reference",
	"reference_ratio", "reasons", "ask", "not_observed", "decision", "note", "since_the_decision", "captured_at", "url",
	"file", "entry", "row", "sha256"}

// WriteCSV writes the ranking as a table: a header, then one record a listing
// in rank order (RFC 4180, UTF-8 without a byte order mark). Texts that a
// spreadsheet program would take for a formula get an apostrophe in front; see
// guard. Numbers are ours and stay numbers, a weight below zero with its sign.
func WriteCSV(w io.Writer, run *Run, res *rules.Result) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write(csvColumns); err != nil {
		return err
	}
	for _, j := range res.Ranked {
		if err := out.Write(csvRecord(run, res, j)); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func csvRecord(run *Run, res *rules.Result, j *rules.Judged) []string {
	l, m := j.Listing, j.Market()
	d, stale, _ := run.Decided.Of(j)
	var median, ratio, reference, toReference, row string
	if m.Excluded == "" && m.Band != market.BandNone {
		median, ratio = amountText(m.Median), number(m.Ratio, 4)
	}
	if m.Excluded == "" && m.Reference != nil {
		reference, toReference = amountText(m.Reference.InCurrency), number(m.RatioToReference, 4)
	}
	if l.Row > 0 {
		row = strconv.Itoa(l.Row)
	}
	return []string{strconv.Itoa(j.Rank), guard(l.Key), j.Outcome, number(j.EvidenceDB, 2), j.Support, number(j.Coverage, 4),
		guard(l.Value(listing.Title)), guard(l.Value(listing.Seller)), guard(PartText(res, j)), cmp.Or(l.Value(listing.UnitType), listing.Unknown),
		cmp.Or(l.Value(listing.Condition), listing.Unknown), ClaimText(res, j), amountText(m.Price), guard(m.Price.Currency),
		strconv.FormatBool(m.LowerBound), median, ratio, reference, toReference, guard(strings.Join(Reasons(j), "\n")),
		guard(strings.Join(AskList(j), "\n")), guard(strings.Join(Lacking(j), "; ")), d.Word, guard(d.Note), d.SinceText(stale),
		guard(l.Value(listing.CapturedAt)), guard(l.Value(listing.URL)), guard(l.File), guard(l.Entry), row, l.SHA256}
}

// guard keeps a text from becoming a formula when a spreadsheet program opens
// the table: one that begins with = + - @, their full-width forms, tab, carriage
// return, line feed or NUL gets an apostrophe in front (OWASP, CSV injection;
// CWE-1236). Deceiving characters are made visible.
func guard(s string) string {
	if s == "" {
		return ""
	}
	shown := Visible(s)
	if strings.ContainsRune("=+-@＝＋－＠\t\r\n\x00", []rune(s)[0]) {
		return "'" + shown
	}
	return shown
}

func amountText(a listing.Amount) string {
	if a.Minor <= 0 {
		return ""
	}
	return a.String()
}

func number(x float64, digits int) string {
	return strconv.FormatFloat(round(x, digits)+0, 'f', -1, 64)
}
