package sellers

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// Part numbers, dimensions and prices are no contacts: the 6,500 product texts of
// Köpcke, Thor and Rahm 2010 hold one mail address and nothing else.
func TestProductTextsHoldNoContacts(t *testing.T) {
	dir := filepath.Join("..", "..", "..", "shared", "reference", "entity")
	if _, err := os.Stat(dir); err != nil {
		const missing = "the reference data of shops' product offers is absent (../shared/reference/entity)"
		if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
			t.Fatal(missing)
		}
		t.Skip(missing)
	}
	texts, count := 0, map[Kind]int{}
	for _, file := range []string{"abt-buy/abt.csv", "abt-buy/buy.csv", "products/left.csv", "products/right.csv"} {
		data, err := os.ReadFile(filepath.Join(dir, file))
		require.NoError(t, err)
		for line := range strings.Lines(string(data)) {
			texts++
			for _, c := range Find(line, listing.Description, "US", Options{}) {
				count[c.Kind]++
			}
		}
	}
	assert.Greater(t, texts, 6000)
	assert.Equal(t, map[Kind]int{Mail: 1}, count)
}
