package claims

import (
	"crypto/sha256"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// testMakers are invented.
var testMakers = []Maker{{Name: "Kestwyn", Also: []string{"凯斯文"}}, {Name: "Orvane"}, {Name: "Tavrik"}, {Name: "Lumeron"}}

func testEngine(t testing.TB) *Engine {
	t.Helper()
	e, err := New(testMakers)
	require.NoError(t, err)
	return e
}

// labelled is one line of testdata/listings.tsv.
type labelled struct {
	line        int
	lang, claim string
	title, text string
}

func (l labelled) heldOut() bool {
	return sha256.Sum256([]byte(l.title + "\n" + l.text))[0]%2 == 1
}

func (l labelled) texts() []Text {
	texts := []Text{{listing.Title, l.title}}
	if l.text != "" {
		texts = append(texts, Text{listing.Description, l.text})
	}
	return texts
}

func readLabelled(t testing.TB) []labelled {
	t.Helper()
	data, err := os.ReadFile("testdata/listings.tsv")
	require.NoError(t, err)
	var out []labelled
	n := 0
	for line := range strings.Lines(string(data)) {
		n++
		if strings.HasPrefix(line, "#") {
			continue
		}
		cells := strings.Split(strings.TrimRight(line, "\n"), "\t")
		require.GreaterOrEqual(t, len(cells), 3, "line %d", n)
		cells = append(cells, "")
		require.Contains(t, Claims, cells[1], "line %d", n)
		out = append(out, labelled{n, cells[0], cells[1], cells[2], cells[3]})
	}
	return out
}

// confusion counts how the expected claims were read.
type confusion map[string]map[string]int

func (c confusion) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-15s", "expected \\ read")
	for _, got := range Claims {
		fmt.Fprintf(&b, "%15s", got)
	}
	for _, want := range Claims {
		fmt.Fprintf(&b, "\n%-15s", want)
		for _, got := range Claims {
			fmt.Fprintf(&b, "%15d", c[want][got])
		}
	}
	return b.String()
}

// measure reads one half of the labelled texts. Misreadings are shown only for
// the development half, so that work on the lexicon cannot lean on the other.
func measure(t *testing.T, heldOut bool) float64 {
	e := testEngine(t)
	c := confusion{}
	right, all := 0, 0
	byLang := map[string][2]int{}
	for _, l := range readLabelled(t) {
		if l.heldOut() != heldOut {
			continue
		}
		r := e.Read(l.texts(), Options{})
		if c[l.claim] == nil {
			c[l.claim] = map[string]int{}
		}
		c[l.claim][r.Claim]++
		n := byLang[l.lang]
		n[1]++
		all++
		if r.Claim == l.claim {
			right++
			n[0]++
		} else if !heldOut {
			t.Logf("line %d, %s: read %s, expected %s: %s | %s", l.line, l.lang, r.Claim, l.claim, l.title, l.text)
		}
		byLang[l.lang] = n
	}
	t.Logf("%d of %d right\n%s", right, all, c)
	for _, lang := range languages {
		t.Logf("%s: %d of %d", lang, byLang[lang][0], byLang[lang][1])
	}
	return float64(right) / float64(all)
}

func TestDevelopmentHalf(t *testing.T) {
	require.GreaterOrEqual(t, measure(t, false), .95)
}

func TestHeldOutHalf(t *testing.T) {
	require.GreaterOrEqual(t, measure(t, true), .95)
}
