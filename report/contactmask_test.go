package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Masking neither panics nor lets a known contact pass, whatever stands around
// it, and leaves other numbers alone.
func FuzzMask(f *testing.F) {
	m := &ContactMask{hide: Hidden}
	m.learn("phone", "+447700900627", "07700 900627")
	m.learn("mail", "anna.b@alfa.example", "Anna.B@alfa.example")
	f.Add("call ", " now")
	f.Add("\xff", "\r\n")
	f.Add(strings.Repeat("x ", 3000), "(")
	f.Fuzz(func(t *testing.T, before, after string) {
		got := m.Text(before + " 07700 900627 / ANNA.B@alfa.example " + after)
		if !strings.Contains(before+after, "900627") && strings.Contains(got, "900627") || !strings.Contains(before+after, "ANNA.B") && strings.Contains(got, "ANNA.B") {
			t.Fatalf("%q", got)
		}
	})
}

func TestMaskLeavesOtherNumbers(t *testing.T) {
	m := &ContactMask{hide: Hidden}
	m.learn("phone", "+447700900627", "07700 900627")
	const text = "part 712345-0012, 2026-10-01T00:00:00Z, 1234567.89 EUR, 447700900628, sha256 07700900ab"
	assert.Equal(t, text, m.Text(text))
}
