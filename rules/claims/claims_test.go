package claims

import (
	"crypto/sha256"
	"fmt"
	"os"
	"slices"
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

func readLabelled(t testing.TB, file string) []labelled {
	t.Helper()
	data, err := os.ReadFile("testdata/" + file)
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

// measure reads labelled texts and returns the share read as expected. What
// was misread is shown only where show is set, so that work on the lexicon
// cannot lean on the half that is held out.
func measure(t *testing.T, all []labelled, show bool) float64 {
	e := testEngine(t)
	c := confusion{}
	right := 0
	byLang := map[string][2]int{}
	for _, l := range all {
		r := e.Read(l.texts(), Options{})
		if c[l.claim] == nil {
			c[l.claim] = map[string]int{}
		}
		c[l.claim][r.Claim]++
		n := byLang[l.lang]
		n[1]++
		if r.Claim == l.claim {
			right++
			n[0]++
		} else if show {
			t.Logf("line %d, %s: read %s, expected %s: %s | %s", l.line, l.lang, r.Claim, l.claim, l.title, l.text)
		}
		byLang[l.lang] = n
	}
	t.Logf("%d of %d right\n%s", right, len(all), c)
	for _, lang := range languages {
		t.Logf("%s: %d of %d", lang, byLang[lang][0], byLang[lang][1])
	}
	return float64(right) / float64(len(all))
}

func half(all []labelled, heldOut bool) []labelled {
	return slices.DeleteFunc(all, func(l labelled) bool { return l.heldOut() != heldOut })
}

func TestDevelopmentHalf(t *testing.T) {
	require.GreaterOrEqual(t, measure(t, half(readLabelled(t, "listings.tsv"), false), true), .95)
}

func TestHeldOutHalf(t *testing.T) {
	require.GreaterOrEqual(t, measure(t, half(readLabelled(t, "listings.tsv"), true), false), .95)
}

func TestLaterSample(t *testing.T) {
	require.GreaterOrEqual(t, measure(t, readLabelled(t, "later.tsv"), true), .95)
}
