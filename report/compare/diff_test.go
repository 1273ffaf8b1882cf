package compare

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

func TestDifference(t *testing.T) {
	for _, c := range []struct{ old, new, oldPart, newPart string }{
		{"a b c", "a b c", "", ""},
		{"a  b\nc", "a b c", "", ""},
		{"a b c", "a x c", "a b c", "a x c"},
		{"1 2 3 4 old 5 6 7 8", "1 2 3 4 new one 5 6 7 8", "2 3 4 old 5 6 7", "2 3 4 new one 5 6 7"},
		{"1 2 3 4", "1 2 3 4 5", "2 3 4", "2 3 4 5"},
		{"", "a", "", "a"},
		{"a a a", "a a", "a a a", "a a"},
		{"全新原装增压器现货", "全新副厂增压器现货", "全新原装增压器", "全新副厂增压器"},
	} {
		a, b := difference(c.old, c.new)
		assert.Equal(t, [2]string{c.oldPart, c.newPart}, [2]string{a, b}, "%q to %q", c.old, c.new)
	}
}

func FuzzDifference(f *testing.F) {
	f.Add("a b c", "a x c")
	f.Add("\xff\xfe 全新", "\u200b \u202e")
	f.Add("最后一件", strings.Repeat("x ", 200))
	f.Fuzz(func(t *testing.T, old, later string) {
		a, b := difference(old, later)
		if !strings.Contains(old, a) || !strings.Contains(later, b) {
			t.Fatalf("%q or %q is no part of the text", a, b)
		}
		if a == "" && b == "" && len(old) < diffLimit && len(later) < diffLimit && strings.Join(strings.Fields(old), "") != strings.Join(strings.Fields(later), "") {
			t.Fatalf("%q and %q differ", old, later)
		}
		listing.Address(old)
		l := &listing.Listing{}
		l.Set(listing.Field{Name: listing.Description, Value: old, Raw: old})
		if words, _ := rules.LastOneWording(l); !strings.Contains(old, words) {
			t.Fatalf("%q is no part of %q", words, old)
		}
	})
}

func TestLastOne(t *testing.T) {
	for text, want := range map[string]string{
		"Hurry, LAST ONE!": "LAST ONE", "only 1 left": "only 1 left", "letztes Stück": "letztes Stück", "nur noch 1 Stück": "nur noch 1 Stück", "dernier exemplaire": "dernier exemplaire",
		"plus qu'un": "plus qu'un", "solo queda una": "solo queda una", "Última unidad": "Última unidad", "ostatnia sztuka": "ostatnia sztuka", "ultimo pezzo": "ultimo pezzo",
		"последняя штука": "последняя штука", "осталась одна": "осталась одна", "最后一件": "最后一件", "仅剩1件": "仅剩1",
		"the last oneness": "", "left hand drive": "",
	} {
		l := &listing.Listing{}
		l.Set(listing.Field{Name: listing.Description, Value: text, Raw: text})
		e, ok := (&item{l: l}).saysLast()
		assert.Equal(t, want, e.Quote, text)
		assert.Equal(t, want != "", ok, text)
	}
}
