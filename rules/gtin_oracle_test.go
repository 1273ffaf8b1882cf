package rules

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// Check digits of GTINs of every length against stdnum.ean of Debian's
// python3-stdnum, on random numbers and numbers with each last digit.
func TestGTINAgainstStdnum(t *testing.T) {
	const python, why = "/usr/bin/python3", "stdnum is not there: install the Debian package python3-stdnum"
	if exec.Command(python, "-c", "import stdnum.ean").Run() != nil {
		if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
			t.Fatal(why)
		}
		t.Skip(why)
	}
	r := rand.New(rand.NewPCG(13, 14))
	var list []string
	for _, length := range []int{7, 8, 10, 11, 12, 13, 14, 15} {
		for range 100 {
			body := ""
			for range length - 1 {
				body += fmt.Sprint(r.IntN(10))
			}
			for last := range 10 {
				list = append(list, fmt.Sprint(body, last))
			}
		}
	}
	cmd := exec.Command(python, "-c", "import sys\nfrom stdnum import ean\nfor l in sys.stdin: print(int(ean.is_valid(l.strip())))")
	cmd.Stdin = bytes.NewBufferString(strings.Join(list, "\n") + "\n")
	out, err := cmd.Output()
	require.NoError(t, err)
	answers := strings.Fields(string(out))
	require.Len(t, answers, len(list))
	valid := 0
	for i, number := range list {
		assert.Equal(t, answers[i] == "1", listing.IsGTIN(number), number)
		if answers[i] == "1" {
			valid++
		}
	}
	assert.Equal(t, 400, valid, "one last digit in ten, of four lengths")
}

// What the law says is for counsel: a text that cites a regulation says so, and
// the rules that rest on one name its section.
func TestLegalTexts(t *testing.T) {
	cited := map[string]string{"new-yet-worked-on": "16 CFR 20.1", "reman-no-rebuilder": "16 CFR 20.2",
		"domestic-made-contradicted": "16 CFR 323"}
	for _, r := range All {
		text := fmt.Sprint(r.Doc)
		if strings.Contains(text, "CFR") || strings.Contains(text, "(EU)") {
			assert.Contains(t, text, "counsel", r.ID)
		}
		assert.Contains(t, text, cited[r.ID], r.ID)
		delete(cited, r.ID)
	}
	assert.Empty(t, cited, "rules that are not there")
	found := false
	for _, n := range NotBuilt {
		text := n.Title + n.Reason
		if strings.Contains(text, "2023/988, Article 19") {
			found = true
			assert.Contains(t, text, "counsel")
		}
	}
	assert.True(t, found, "Article 19 of Regulation (EU) 2023/988 stands among what is not built")
}
