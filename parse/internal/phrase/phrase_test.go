package phrase

import (
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Foldings after the Unicode Character Database: compatibility decompositions,
// decimal digits, dashes; the letters without a decomposition are our own.
func TestFold(t *testing.T) {
	for raw, want := range map[string]string{
		"Générale  ÜBERHOLT": "generale uberholt", "Łódź straße": "lodz strasse", "ＡＢＣ　１２": "abc 12", "٣٤٥": "345",
		"a–b−c‑d": "a-b-c-d", "l’unité": "l'unite", "№ 5": "no 5", "Б/У Ёж": "б/у еж", "zero\u200bwidth": "zerowidth", "全新": "全新", "": "",
	} {
		assert.Equal(t, want, Folded(raw), raw)
	}
}

func TestQuoteGivesTheTextAsRead(t *testing.T) {
	set := NewSet(Of(1, "fr", "rénové, à neuf"), Of(2, "pl", "regenerowan*"), Of(3, "zh", "全新"))
	for raw, want := range map[string]string{
		"Turbo RE\u0301NOVE\u0301 ok": "RE\u0301NOVE\u0301", "remis à  neuf": "à  neuf", "turbina Regenerowaną": "Regenerowaną", "增压器全新件": "全新", "ｒénové": "ｒénové",
	} {
		text := Fold(raw)
		m, ok := set.Find(text, 0)
		require.True(t, ok, raw)
		assert.Equal(t, want, text.Quote(m.Start, m.End))
	}
	for _, raw := range []string{"rénovés", "xrénové", "a neuf2x is fine"} {
		m, ok := set.Find(Fold(raw), 0)
		assert.Equal(t, raw == "a neuf2x is fine", ok, "%s %v", raw, m)
	}
}

func TestLongestPhraseWins(t *testing.T) {
	set := NewSet(Of("short", "", "core"), Of("long", "", "core charge"))
	all := set.All(Fold("core charge, core"))
	require.Len(t, all, 2)
	assert.Equal(t, "long", all[0].Value)
	assert.Equal(t, "short", all[1].Value)
	v, ok := set.Whole(Fold(" Core "))
	assert.True(t, ok)
	assert.Equal(t, "short", v)
	_, ok = set.Whole(Fold("core x"))
	assert.False(t, ok)
}

// What is told from the first letters is what a comparison with all phrases gives.
func TestFirstLetters(t *testing.T) {
	set := NewSet(Of("sign", "", "-, --, ?"), Of("none", "", "n/a, null, né"), Of("far", "zh", "无"), Of("stem", "", "va*"))
	for raw, want := range map[string]string{
		"-": "sign", "--": "sign", "-- ": "sign", "---": "", "N/A": "none", " n/a": "none", "NULL": "none", "nulls": "", "Né": "none", "ńe": "none", "ne": "none",
		"n": "", "无": "far", "V": "", "vague": "stem", "VAé": "stem", "v a": "", "": "", "\u200bn/a": "none", "ｎ/a": "none", "n	x": "", "? ": "sign",
	} {
		got, ok := set.WholeOf(raw)
		assert.Equal(t, want, got, "%q", raw)
		whole, same := set.Whole(Fold(raw))
		assert.Equal(t, got, whole, "%q", raw)
		assert.Equal(t, ok, same, "%q", raw)
	}
	text := Fold("an n/a 2n/a -x")
	for i := range len(text.Folded) + 1 {
		m, ok := set.At(text, i)
		found, any := set.Find(text, i)
		if any && found.Start == i {
			assert.True(t, ok, i)
			assert.Equal(t, found, m)
		} else {
			assert.False(t, ok, i)
		}
	}
}

func FuzzFold(f *testing.F) {
	for _, s := range []string{"Générale", "a\u0301\u0301 b", "\xff\xfe", "全新 ｱ", "  x  "} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, raw string) {
		text := Fold(raw)
		for i := range text.Folded {
			_, n := utf8.DecodeRuneInString(text.Folded[i:])
			a, b := text.Span(i, i+n)
			require.True(t, 0 <= a && a < b && b <= len(raw), "%d-%d of %d", a, b, len(raw))
		}
	})
}
