package report

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"iter"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// DecisionWords are the words for what a person decided about a listing.
var DecisionWords = []string{"order", "ask", "refuse", "test purchase", "report", "cleared"}

// Headings by which a decision is found again in an edited workbook.
const (
	HeadKey      = "Listing key"
	HeadDecision = "Decision"
	HeadNote     = "Note"
	HeadSince    = "Since the decision"
	HeadThen     = "Evidence then"
	HeadTitle    = "Title"
)

// Decision is what a person noted about a listing in an earlier workbook.
type Decision struct {
	Word  string // one of DecisionWords, "" when there is only a note
	Note  string
	Then  string // mark of the evidence it was taken on, "" when not known
	Title string // of the listing, as the workbook showed it
}

// Decided holds decisions by the key of their listing, in the form of
// DecisionKey.
type Decided map[string]Decision

// DecisionKey is a listing's key as a workbook gives it back.
func DecisionKey(key string) string { return strings.TrimSpace(Visible(key)) }

// Of finds the decision on a listing. stale says that its evidence is not that
// of the decision any more, or that this is not known; a note alone is never
// stale.
func (d Decided) Of(j *rules.Judged) (decision Decision, stale, ok bool) {
	if len(d) == 0 {
		return Decision{}, false, false
	}
	decision, ok = d[DecisionKey(j.Listing.Key)]
	return decision, ok && decision.Word != "" && decision.Then != EvidenceMark(j), ok
}

// SinceText says how a decision stands to the evidence: "" when it still fits.
func (d Decision) SinceText(stale bool) string {
	switch {
	case !stale:
		return ""
	case d.Then == "":
		return "evidence then not known"
	}
	return "evidence changed since"
}

// EvidenceMark is a short hash of what a decision rests on: the outcome, the
// weight of evidence to a tenth of a decibel, the rules with a finding, and the
// title and seller, since a key made of file and row can come to mean another
// offer. "e" and eight hexadecimal digits, which no spreadsheet program takes
// for a number.
func EvidenceMark(j *rules.Judged) string {
	var room [512]byte
	text := append(append(room[:0], j.Outcome...), ' ')
	text = strconv.AppendFloat(text, round(j.EvidenceDB, 1)+0, 'f', 1, 64)
	ids := make([]string, len(j.Findings))
	for i := range j.Findings {
		ids[i] = j.Findings[i].Rule.ID
	}
	slices.Sort(ids)
	text = append(appendWords(append(text, ' '), slices.Values(ids)), '\n')
	text = append(appendWords(text, strings.FieldsSeq(j.Listing.Value(listing.Title))), '\n')
	sum := sha256.Sum256(append(text, j.Listing.SellerKey()...))
	return "e" + hex.EncodeToString(sum[:4])
}

// appendWords adds words with a blank between them.
func appendWords(to []byte, words iter.Seq[string]) []byte {
	n := len(to)
	for w := range words {
		if len(to) > n {
			to = append(to, ' ')
		}
		to = append(to, w...)
	}
	return to
}

// A cell 'Evidence then' holds the mark of the evidence on which a decision was
// taken. Beside a decision whose evidence has changed it also holds the mark of
// the newer evidence and the word, so that a workbook by itself tells whether
// the person has decided anew:
//
//	e3f9a1c20                    taken on this evidence
//	e3f9a1c20 > e8b1d0042 order  'order' was taken on the first; now the second
//	? > e8b1d0042 order          it is not known on what 'order' was taken
const thenArrow = " > "

var markText = regexp.MustCompile(`^e[0-9a-f]{8}$`)

// ThenText is the text of the cell 'Evidence then' of a listing.
func (d Decided) ThenText(j *rules.Judged) string {
	decision, stale, _ := d.Of(j)
	if !stale {
		return EvidenceMark(j)
	}
	return cmp.Or(decision.Then, "?") + thenArrow + EvidenceMark(j) + " " + decision.Word
}

// ReadThen reads the cell beside a decision's word; "" when it holds no mark. A
// decision was taken anew when its word is another one, or when the remark that
// the evidence has changed was taken away.
func ReadThen(cell, word string, remarked bool) string {
	old, rest, changed := strings.Cut(cell, strings.TrimSpace(thenArrow))
	mark := strings.TrimSpace(old)
	if changed {
		now, before, _ := strings.Cut(strings.TrimSpace(rest), " ")
		if !remarked || strings.TrimSpace(before) != word {
			mark = now
		}
	}
	if !markText.MatchString(mark) {
		return ""
	}
	return mark
}

// Gone is a decision on a listing that this run does not have.
type Gone struct {
	Key string
	Decision
}

// Gone lists the decisions on listings that the batch does not have, by key.
func (d Decided) Gone(res *rules.Result) []Gone {
	if len(d) == 0 {
		return nil
	}
	here := make(map[string]bool, len(res.Facts.Listings))
	for _, l := range res.Facts.Listings {
		here[DecisionKey(l.Key)] = true
	}
	var list []Gone
	for key, decision := range d {
		if !here[key] {
			list = append(list, Gone{key, decision})
		}
	}
	slices.SortFunc(list, func(a, b Gone) int { return cmp.Compare(a.Key, b.Key) })
	return list
}

// Counts are the ranked listings with a decision or note, and those among them
// whose evidence is another one now.
func (d Decided) Counts(res *rules.Result) (carried, stale int) {
	if len(d) == 0 {
		return 0, 0
	}
	for _, j := range res.Ranked {
		if _, old, ok := d.Of(j); ok {
			carried++
			if old {
				stale++
			}
		}
	}
	return carried, stale
}

// decisionLine is the NDJSON form of a decision.
type decisionLine struct {
	Word  string `json:"word"`
	Note  string `json:"note"`
	Stale bool   `json:"stale"`
}

func (d Decided) line(j *rules.Judged) *decisionLine {
	decision, stale, ok := d.Of(j)
	if !ok {
		return nil
	}
	return &decisionLine{decision.Word, decision.Note, stale}
}
