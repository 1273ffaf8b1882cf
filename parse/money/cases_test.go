package money

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// referenceCase is one line of the price set: the text of a currency field, a
// price text, and what is to be read from them.
type referenceCase struct {
	Group string `json:"group"`
	Args  []any  `json:"args"`
	Kw    struct {
		Decimal string `json:"decimal_separator"`
	} `json:"kw"`
}

func (c referenceCase) text(i int) string {
	if i >= len(c.Args) {
		return ""
	}
	s, _ := c.Args[i].(string)
	return s
}

func (c referenceCase) right() bool {
	h := Hints{CurrencyText: c.text(0)}
	if mark := c.Kw.Decimal + c.text(5); utf8.RuneCountInString(mark) == 1 {
		h.DecimalMark, _ = utf8.DecodeRuneInString(mark)
	}
	p, err := Parse(c.text(1), h)
	if c.text(1) == "" || err != nil && p.CurrencyText == "" {
		_, p.CurrencyText, _ = Currency(c.text(0), h)
	}
	want, hasAmount := c.Args[4].(float64)
	if !hasAmount {
		return err != nil && p.CurrencyText == c.text(2)
	}
	got, errNumber := strconv.ParseFloat(p.Amount, 64)
	return err == nil && errNumber == nil && math.Abs(got-want) < 1e-9 && p.CurrencyText == c.text(2)
}

// Source: the price strings of scrapinghub/price-parser (BSD), collected from
// shop pages; the groups named XFAIL are known failures of that library.
func TestReferencePrices(t *testing.T) {
	f, err := os.Open(filepath.Join("..", "..", "..", "shared", "reference", "prices", "cases.jsonl"))
	if err != nil {
		if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
			t.Fatal("the price reference set is absent")
		}
		t.Skip("the price reference set is absent")
	}
	defer f.Close()
	var right, all, rightKnownHard, knownHard int
	for lines := bufio.NewScanner(f); lines.Scan(); {
		var c referenceCase
		require.NoError(t, json.Unmarshal(lines.Bytes(), &c))
		require.Len(t, c.Args[:5], 5)
		hard := strings.Contains(c.Group, "XFAIL")
		ok := c.right()
		switch {
		case hard:
			knownHard++
			if ok {
				rightKnownHard++
			}
		default:
			all++
			if ok {
				right++
			}
		}
		if !ok {
			p, err := Parse(c.text(1), Hints{CurrencyText: c.text(0)})
			t.Logf("%s %q: got %q %q (%v)", strings.TrimPrefix(c.Group, "PRICE_PARSING_"), c.Args, p.Amount, p.CurrencyText, err)
		}
	}
	require.NotZero(t, all)
	rate := 100 * float64(right) / float64(all)
	t.Logf("%d of %d right (%.1f %%); of the known failures %d of %d", right, all, rate, rightKnownHard, knownHard)
	assert.GreaterOrEqual(t, rate, 97.0)
}
