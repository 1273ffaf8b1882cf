package wording

import (
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

func TestFind(t *testing.T) {
	l := New("box only", "empty box", "leerkarton", "коробк*", "空盒")
	for text, want := range map[string]string{
		"Original EMPTY BOX for turbo":   "EMPTY BOX",
		"box onlyness":                   "",
		"mailbox only":                   "",
		"Leerkarton":                     "Leerkarton",
		"Коробка, пустая":                "Коробк",
		"增压器空盒子":                         "空盒",
		"":                               "",
		"İİ box only \xff\xfe empty box": "box only",
	} {
		start, end, ok := l.Find(text)
		assert.Equal(t, want != "", ok, text)
		if ok {
			assert.Equal(t, want, text[start:end])
		}
	}
}

func TestFoldKeepsOffsets(t *testing.T) {
	for _, text := range []string{"ABC Äö", "İstanbul ẞ Ⱥ", "\xffA\xf0\x9f", "КОРОБКА 空"} {
		assert.Len(t, Fold(text), len(text), "%q", text)
	}
}

func FuzzFind(f *testing.F) {
	f.Add("box only İ \xff", "box")
	f.Fuzz(func(t *testing.T, text, phrase string) {
		if len(Fold(text)) != min(len(text), Limit) {
			t.Fatal("offsets moved")
		}
		start, end, ok := New(phrase, "empty box").Find(text)
		if ok && (start > end || end > len(text)) {
			t.Fatal(start, end)
		}
		if utf8.ValidString(text) && len(text) < Limit && !utf8.ValidString(Fold(text)) {
			t.Fatal("folding broke a letter")
		}
	})
}

func TestNames(t *testing.T) {
	n := NewNames()
	n.Add("Halden", "Halden", "Halden Turbo")
	n.Add("Boreal", "BOREAL")
	n.Add("X", "x", "")
	for text, want := range map[string][]string{
		"HALDEN turbo 712345 / Boreal": {"HALDEN turbo", "Boreal"},
		"Haldens turbo, boreal-like":   {"boreal"},
		"halden":                       {"halden"},
		"":                             nil,
		"x \xff halden\xff":            {"halden"},
	} {
		var got []string
		for _, h := range n.Find(text) {
			got = append(got, text[h.Start:h.End])
		}
		assert.Equal(t, want, got, text)
	}
}
