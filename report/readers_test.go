package report_test

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/report"
	"counterfoil/report/internal/sample"
	"counterfoil/rules"
	"counterfoil/rules/settings"
)

func audited(t *testing.T, opt rules.Options, texts ...string) *rules.Result {
	t.Helper()
	res, err := sample.Audited(opt, texts...)
	require.NoError(t, err)
	return res
}

func byKey(res *rules.Result, key string) *rules.Judged {
	i := slices.IndexFunc(res.Ranked, func(j *rules.Judged) bool { return j.Listing.Key == key })
	return res.Ranked[i]
}

// Every question that a listing can leave open has its sentence in all
// languages, and so has every family.
func TestMessagesKnowEveryQuestion(t *testing.T) {
	for n := rules.Need(1); n < 255; n++ {
		if ask := n.Ask(); ask != "" {
			assert.True(t, report.CanAsk(ask), "no sentences for %q", ask)
		}
	}
	for _, f := range rules.Families {
		assert.True(t, report.CanAskFamily(f), f)
	}
}

func TestMessageSpeaksTheSellersLanguage(t *testing.T) {
	const rest = "\nseller: Nordhof\npart_number: 712290-0003\nprice: 700\ncurrency: EUR\ncondition: new"
	res := audited(t, rules.Options{},
		"title: Turbo 712290-0003\nlanguage: de-AT"+rest,
		"title: Turbo 712290-0003\nlanguage: pl"+rest,
		"title: Turbo 712290-0003\nlanguage: it"+rest,
		"title: Turbolader 712290-0003 generalüberholt\ndescription: Passend für viele Motoren, OE-Qualität, Altteilpfand, keine Rücknahme."+rest,
		"title: Turbo 712290-0003"+rest)
	for key, want := range map[string][2]string{
		"A1": {"de", "Bitte senden Sie mir ein scharfes Foto des Typenschilds"},
		"A2": {"pl", "Proszę o wyraźne zdjęcie tabliczki znamionowej"},
		"A3": {"en", "Please send a photo of the serial plate"},
		"A4": {"de", "ich interessiere mich für Ihr Angebot „Turbolader 712290-0003 generalüberholt“."},
		"A5": {"en", "I am interested in your offer “Turbo 712290-0003”."},
	} {
		m := report.MessageTo(res, byKey(res, key))
		assert.Equal(t, want[0], m.Language, key)
		assert.Contains(t, m.Text, want[1], key)
	}
}

// A message is short, asks nothing twice and accuses nobody.
func TestMessageIsPolite(t *testing.T) {
	res := audited(t, rules.Options{},
		"title: Halden turbo 712290-0003 genuine new\nbrand: Halden\nseller: A\npart_number: 712290-0003\nprice: 100\ncurrency: EUR\nserial_number: K20418733\ncondition: new\ndescription: genuine, made in same factory, no logo. OEM quality. Bank transfer only.",
		"title: Halden turbo 712290-0003\nbrand: Halden\nseller: B\npart_number: 712290-0003\nprice: 700\ncurrency: EUR\nserial_number: K20418733",
		"title: gasket kit for Halden 712290-0003\nunit_type: kit\nseller: C\npart_number: 712290-0003\nprice: 20\ncurrency: EUR")
	for _, j := range res.Ranked {
		m := report.MessageTo(res, j)
		questions := strings.Count(m.Text, "\n- ")
		assert.LessOrEqual(t, questions, 6)
		assert.Positive(t, questions)
		seen := map[string]bool{}
		for line := range strings.Lines(m.Text) {
			assert.False(t, strings.HasPrefix(line, "- ") && seen[line], line)
			seen[line] = true
		}
		for _, word := range []string{"counterfeit", "fake", "suspect", "copy", "fraud", "illegal", "authentic"} {
			assert.NotContains(t, strings.ToLower(m.Text), word)
		}
	}
	assert.NotContains(t, report.MessageTo(res, byKey(res, "A3")).Text, "plate", "a kit has none")
	assert.Contains(t, report.MessageTo(res, byKey(res, "A1")).Text, "\n- Please send a photo of the serial plate")
}

func TestWantedPart(t *testing.T) {
	const unit = "\nseller: %\npart_number: 712290-0003\ncurrency: EUR\nunit_type: complete\ncondition: new\nreturns: 30 days\nwarranty: 12 months\nshipping: 0\ndescription: A turbocharger in its box.\nview: serial-plate"
	offer := func(seller, price string, more ...string) string {
		return "title: Turbo 712290-0003" + strings.ReplaceAll(unit, "%", seller) + "\nprice: " + price + "\n" + strings.Join(more, "\n")
	}
	res := audited(t, rules.Options{Equivalents: []settings.Equivalence{{Part: "712290-0003", Same: "LQ 145 702 K", Kind: settings.OENumber, Source: "list"}}},
		offer("A", "800"), offer("B", "700"), offer("C", "20", "unit_type: kit"), offer("D", "90", "condition: core"),
		offer("H", "650", "title: Turbocharger compatible with 712290-0003, aftermarket part"), offer("I", "810", "title: 100 % genuine original turbocharger 712290-0003"),
		offer("E", "100", "title: Turbo replica 1:1 for 712290-0003"), offer("F", "600", "part_number: 999999-0001"),
		"title: turbo\npart_number: 712290-0003\nseller: G")
	w, err := report.FindWanted(res, "lq145702k")
	require.NoError(t, err)
	assert.Equal(t, "7122900003", w.Part.ID)
	var order, apart []string
	for _, j := range w.Offers {
		order = append(order, j.Listing.SellerKey())
	}
	for _, j := range w.Apart {
		apart = append(apart, j.Listing.SellerKey()+" "+w.WhyApart(res, j))
	}
	assert.Equal(t, []string{"I", "B", "A", "H", "C", "D"}, order, "complete units, the maker's own before those made to fit, by price, then the kit, then the core")
	assert.ElementsMatch(t, []string{"E copy openly sold", "G too incomplete to judge"}, apart)
	assert.Contains(t, report.SpeaksFor(res, w.Offers[0]), "Photos show: serial plate.")
	assert.Contains(t, report.SpeaksFor(res, w.Offers[0]), "Returns: 30 days.")
	_, err = report.FindWanted(res, "turbo")
	assert.EqualError(t, err, `"turbo" is not a part number`)
}

func TestOwnListingsAreSetApart(t *testing.T) {
	res := audited(t, rules.Options{},
		"title: Halden turbo\nseller: Norwick Turbo Ltd\npart_number: 712290-0003\nprice: 700\ncurrency: EUR\nserial_number: K20418733",
		"title: Halden turbo\nseller: Other\npart_number: 712290-0003\nprice: 300\ncurrency: EUR\nserial_number: K20418733",
		"title: Halden turbo\nseller: Third\nseller_id: nt-1\npart_number: 712290-0003\nprice: 710\ncurrency: EUR")
	rest, own, err := report.SetApart(res, "NORWICK turbo")
	require.NoError(t, err)
	assert.Len(t, own.Listings, 1)
	require.Len(t, rest.Ranked, 2)
	assert.Equal(t, []int{1, 2}, []int{rest.Ranked[0].Rank, rest.Ranked[1].Rank})
	assert.Equal(t, "A2", rest.Ranked[0].Listing.Key, "whoever shows the own serial is still raised")
	assert.Len(t, res.Ranked, 3, "the result it was given is as before")
	_, own, err = report.SetApart(res, "nt-1")
	require.NoError(t, err)
	assert.Equal(t, "A3", own.Listings[0].Listing.Key)
	_, _, err = report.SetApart(res, "Nobody")
	assert.EqualError(t, err, `no listing names "Nobody" as its seller`)
}

func TestRemarksOnOwnListings(t *testing.T) {
	bare := "title: Halden turbo 712290-0003\nbrand: Halden\nseller: Own\nprice: 700\ncurrency: EUR"
	full := "title: Genuine Halden turbocharger 712290-0003\nbrand: Halden\nseller: Own\npart_number: 712290-0003\nserial_number: K20418733\nprice: 700\nshipping: 0\ncurrency: EUR\ncondition: new\ncountry_of_origin: PT\nreturns: 30 days\nwarranty: 24 months from us" +
		"\nview: serial-plate+box-label\nview: compressor-casting-mark\nview: turbine-casting-mark\nview: wheel-nut\nview: actuator-bracket"
	res := audited(t, rules.Options{}, bare, full+"\ndescription: A genuine Halden turbocharger.",
		full+"\ndescription: A genuine Halden turbocharger. We opened the box to add fittings and a fresh gasket.",
		bare+"\nview: serial-plate\nview: box-label\ndescription: OEM quality, same as original. Imported.")
	text := func(key string) []string {
		var list []string
		for _, r := range report.OwnRemarks(res, byKey(res, key)) {
			line := r.Kind + ": " + r.What
			for _, q := range r.Quotes {
				line += " «" + q.Quote + "»"
			}
			assert.NotEmpty(t, r.Settle, line)
			list = append(list, line)
		}
		return list
	}
	assert.Subset(t, text("A1"), []string{
		"view not shown: What was supplied does not show which photos the listing has.",
		"not stated: The part number stands in no field of its own.",
		"not stated: Return terms are not stated.",
		"not stated: The origin is unclear. The country itself weighs nothing; that it agrees with box and plate does.",
		"wording: The text does not say whether it is the maker's own part or made to fit."})
	assert.Empty(t, text("A2"))
	assert.Equal(t, []string{"weighs nothing: The text says that the box was opened. Said openly, that weighs nothing. «We opened the box to add fittings and a fresh gasket»"}, text("A3"))
	assert.Equal(t, byKey(res, "A2").EvidenceDB, byKey(res, "A3").EvidenceDB, "an opened box changes no evidence")
	hedged := strings.Join(text("A4"), "\n")
	assert.Contains(t, hedged, "wording: The wording leans on the original without saying who made the part. «OEM quality»")
	assert.Contains(t, hedged, "view not shown: Plate and box label are not in one picture.")
}

// Formula starts after OWASP (CSV injection) and CWE-1236.
func TestCSV(t *testing.T) {
	offers := sample.Offers()
	for i, title := range []string{"=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\x00=1"} {
		offers[i].Title = title
	}
	run := sample.Run()
	run.Decided = report.Decided{"L1": {Word: "ask", Note: "=cmd", Then: "e00000000"}}
	var b bytes.Buffer
	require.NoError(t, report.WriteCSV(&b, run, sample.Result(offers)))
	require.True(t, utf8.Valid(b.Bytes()))
	records, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, records, 8)
	at := func(row int, column string) string { return records[row][slices.Index(records[0], column)] }
	for i, want := range []string{"'=1+1", "'+1", "'-1", "'@SUM(A1)", "'\t=1", "'\n=1", "'⟨U+0000⟩=1"} {
		assert.Equal(t, want, at(i+1, "title"))
	}
	assert.Equal(t, "22", at(1, "evidence_db"))
	assert.Equal(t, "-2", at(4, "evidence_db"), "a number of ours is no formula")
	assert.Equal(t, "312.40", at(1, "landed"))
	assert.Equal(t, []string{"ask", "'=cmd", "evidence changed since"}, []string{at(1, "decision"), at(1, "note"), at(1, "since_the_decision")})
	assert.Empty(t, at(7, "landed"))
}
