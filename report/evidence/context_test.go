package evidence

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

func TestContext(t *testing.T) {
	long := strings.Repeat("ä", 400)
	for _, c := range []struct {
		name, raw, quote string
		want             quoteView
		ok               bool
	}{
		{"whole field", "abc", "abc", quoteView{Quote: "abc"}, true},
		{"inside", "one two three", "two", quoteView{Before: "one ", Quote: "two", After: " three"}, true},
		{"first of several", "a b a", "a", quoteView{Quote: "a", After: " b a"}, true},
		{"both sides cut", long + "X" + long, "X", quoteView{Before: long[:600], Quote: "X", After: long[:600], CutBefore: 100, CutAfter: 100}, true},
		{"shortened by the rule", long + "Y", listing.Shorten(long+"Y", rules.QuoteLimit), quoteView{Quote: long[:2*(rules.QuoteLimit-1)], After: long[:2*(401-rules.QuoteLimit)] + "Y"}, true},
		{"ends in an ellipsis of its own", "wait…", "wait…", quoteView{Quote: "wait…"}, true},
		{"not there", "abc", "d", quoteView{}, false},
		{"nothing quoted", "abc", "", quoteView{}, false},
		{"bytes that are no text", "a\xffb", "\xff", quoteView{Before: "a", Quote: "\ufffd", After: "b"}, true},
	} {
		got, ok := inContext(c.raw, c.quote)
		assert.Equal(t, c.ok, ok, c.name)
		assert.Equal(t, c.want, got, c.name)
	}
}

// The code points are those of the Unicode Character Database.
func TestForeignLetters(t *testing.T) {
	for quote, want := range map[string]string{
		"Ostermund":                "",
		"\u041estermund":           "\u041e is U+041E, Cyrillic",
		"H\u0430lv\u043ern \u0430": "\u0430 is U+0430, Cyrillic; \u043e is U+043E, Cyrillic",
		"turbo для двигателя":      "",
		"K\u03bfSTR":               "\u03bf is U+03BF, Greek",
		"Größe 正品":                 "",
	} {
		assert.Equal(t, want, foreign(quote), quote)
	}
}

func FuzzContext(f *testing.F) {
	f.Add("one two three", "two")
	f.Add(strings.Repeat("ä", 700)+"X", listing.Shorten(strings.Repeat("ä", 700), rules.QuoteLimit))
	f.Add("a\xff\u202eb", "\xff")
	f.Fuzz(func(t *testing.T, raw, quote string) {
		v, ok := inContext(raw, quote)
		if !ok {
			return
		}
		for _, s := range []string{v.Before, v.Quote, v.After, v.Foreign} {
			assert.True(t, utf8.ValidString(s))
			assert.Equal(t, s, report.Visible(s), "nothing is left that deceives the eye")
		}
		assert.NotEmpty(t, v.Quote)
		if report.Visible(raw) == raw {
			assert.Contains(t, raw, v.Before+v.Quote+v.After)
			shown := utf8.RuneCountInString(v.Before + v.Quote + v.After)
			assert.Equal(t, utf8.RuneCountInString(raw), v.CutBefore+shown+v.CutAfter)
		}
	})
}
