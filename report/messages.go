package report

import (
	"cmp"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// Message is a ready text to a seller.
type Message struct {
	Language string // BCP 47 primary subtag: one of MessageLanguages
	Text     string
}

// MessageLanguages are the languages in which messages can be written, English
// first. Sellers who write in another one are asked in English.
var MessageLanguages = []string{"en", "de", "fr", "es", "pl"}

// said is one sentence in all languages of messages, in their order.
type said [5]string

// mostQuestions is how many questions a message asks: a seller answers few.
const mostQuestions = 6

// MessageTo writes to the seller of a listing, in the listing's language, and
// asks the most telling of what AskList lists: first for a view of the plate
// where none is known, then what the findings raise, by family, then what the
// listing does not show. Nothing is asked of the plate of a kit or a component.
// It names no suspicion.
func MessageTo(res *rules.Result, j *rules.Judged) Message {
	n := messageLanguage(res, j)
	var questions []string
	ask := func(s said) {
		if s[n] != "" && len(questions) < mostQuestions && !slices.Contains(questions, s[n]) {
			questions = append(questions, s[n])
		}
	}
	unit := j.Listing.Value(listing.UnitType)
	plated := unit != listing.Kit && unit != listing.Component
	plateSeen := slices.Contains(j.Listing.ShownViews(), listing.ViewSerialPlate)
	if plated && !plateSeen {
		ask(askPlate)
	}
	for _, f := range Against(j) {
		ask(familyAsks[f.Rule.Family])
	}
	open := OpenAsks(j)
	for _, need := range needOrder {
		switch {
		case !slices.Contains(open, need.ask), need.ofPlate && !plated, plateSeen && needAsks[need.ask] == askPlate:
		default:
			ask(needAsks[need.ask])
		}
	}
	return Message{MessageLanguages[n], letter(n, j.Listing, questions)}
}

func letter(n int, l *listing.Listing, questions []string) string {
	offer := cmp.Or(l.Value(listing.Title), l.Value(listing.PartNumber), l.Key)
	if id := l.Value(listing.ListingID); id != "" && id != offer {
		offer += " (" + id + ")"
	}
	var b strings.Builder
	b.WriteString(letterHello[n] + "\n\n" + strings.ReplaceAll(letterOffer[n], "{offer}", offer))
	if len(questions) > 0 {
		b.WriteString(" " + letterAsk[n] + "\n\n")
		for _, q := range questions {
			b.WriteString("- " + q + "\n")
		}
		b.WriteString("\n" + letterThanks[n])
	} else {
		b.WriteString(" " + letterAvailable[n] + "\n\n" + letterThanks[n])
	}
	return b.String()
}

// saidIn is how many phrases of a language tell that a listing without a
// language tag is written in it.
const saidIn = 2

// messageLanguage is the language that the page states, else the one in which
// most of the phrases that were recognised stand.
func messageLanguage(res *rules.Result, j *rules.Judged) int {
	tag, _, _ := strings.Cut(strings.ToLower(strings.ReplaceAll(j.Listing.Value(listing.Language), "_", "-")), "-")
	if tag != "" {
		return max(0, slices.Index(MessageLanguages, strings.TrimSpace(tag)))
	}
	var counts [len(said{})]int
	for _, p := range res.Facts.Claims.Result(j.N, j.Listing).Phrases {
		if i := slices.Index(MessageLanguages, p.Lang); i >= 0 {
			counts[i]++
		}
	}
	best := 0
	for i, n := range counts {
		if n >= saidIn && n > counts[best] {
			best = i
		}
	}
	return best
}
