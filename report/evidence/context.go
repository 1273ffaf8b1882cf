package evidence

import (
	"fmt"
	"html/template"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

const (
	// margin is how many characters of a field are shown on each side of a quote.
	margin = 300
	// textLimit bounds any other text of the input on a page, in characters.
	textLimit = 2000
	cutMark   = "… [cut]"
)

// see makes a text of the input fit to be read: deceiving characters shown, cut
// to n characters with a mark that says so.
func see(s string, n int) string {
	if len(s) > n && utf8.RuneCountInString(s) > n {
		return report.Visible(strings.TrimSuffix(listing.Shorten(s, n), "…")) + cutMark
	}
	return report.Visible(s)
}

// quoteView is a quote in its context.
type quoteView struct {
	Before, Quote, After string
	CutBefore, CutAfter  int // characters of the field that are not shown
	Place                string
	Field                string // the field's name, "" when the quote was not found in one
	Lang                 string
	Foreign              string       // letters of another script amid Latin ones, see foreign
	Crop                 template.URL // where a machine read it; data: URI, "" for none
	CropW, CropH         int
}

// inContext finds a quote in the raw text of its field. ok is false when it is
// not there.
func inContext(raw, quote string) (v quoteView, ok bool) {
	text := quote
	if strings.HasSuffix(quote, "…") && utf8.RuneCountInString(quote) == rules.QuoteLimit && !strings.Contains(raw, quote) {
		text = strings.TrimSuffix(quote, "…") // the rule shortened it
	}
	at := strings.Index(raw, text)
	if at < 0 || text == "" {
		return quoteView{}, false
	}
	end := at + len(text)
	from, to := back(raw, at, margin), forth(raw, end, margin)
	return quoteView{
		Before: report.Visible(raw[from:at]), Quote: report.Visible(raw[at:end]), After: report.Visible(raw[end:to]),
		Foreign:   foreign(raw[at:end]),
		CutBefore: utf8.RuneCountInString(raw[:from]), CutAfter: utf8.RuneCountInString(raw[to:]),
	}, true
}

// lookAlikes are the scripts with letters that look like Latin ones.
var lookAlikes = []struct {
	name  string
	table *unicode.RangeTable
}{{"Cyrillic", unicode.Cyrillic}, {"Greek", unicode.Greek}, {"Armenian", unicode.Armenian}, {"Cherokee", unicode.Cherokee}}

// foreignLetters bounds how many letters foreign names.
const foreignLetters = 8

// foreign names the letters of other scripts that stand in a word with Latin
// letters, which the eye cannot tell apart: "О is U+041E, Cyrillic". "" when
// there are none.
func foreign(quote string) string {
	var list []string
	for word := range strings.FieldsFuncSeq(quote, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsMark(r) }) {
		if !strings.ContainsFunc(word, func(r rune) bool { return unicode.Is(unicode.Latin, r) }) {
			continue
		}
		for _, r := range word {
			for _, script := range lookAlikes {
				if !unicode.Is(script.table, r) {
					continue
				}
				if s := fmt.Sprintf("%c is U+%04X, %s", r, r, script.name); len(list) < foreignLetters && !slices.Contains(list, s) {
					list = append(list, s)
				}
			}
		}
	}
	return strings.Join(list, "; ")
}

// back goes n characters back from at.
func back(s string, at, n int) int {
	for ; n > 0 && at > 0; n-- {
		_, size := utf8.DecodeLastRuneInString(s[:at])
		at -= size
	}
	return at
}

// forth goes n characters on from at.
func forth(s string, at, n int) int {
	for ; n > 0 && at < len(s); n-- {
		_, size := utf8.DecodeRuneInString(s[at:])
		at += size
	}
	return at
}

// languageTag is the plain form of a BCP 47 tag: language, then script, region
// or variants.
var languageTag = regexp.MustCompile(`^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8}){0,4}$`)

// langOf is the language a listing states, "" when it states none that can be
// used.
func langOf(l *listing.Listing) string {
	if tag := strings.ReplaceAll(l.Value(listing.Language), "_", "-"); languageTag.MatchString(tag) {
		return tag
	}
	return ""
}
