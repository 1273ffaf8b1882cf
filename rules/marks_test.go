package rules

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The marks can be written as tags beside a file name: letters and hyphens
// only.
func TestMarksAreTags(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range Marks {
		assert.Regexp(t, regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`), m.Word)
		assert.NotEmpty(t, m.Meaning, m.Word)
		assert.False(t, seen[m.Word], m.Word)
		seen[m.Word] = true
	}
}

// What is not built says why, and is no rule by another name.
func TestNotBuiltGivesReasons(t *testing.T) {
	for _, n := range NotBuilt {
		assert.NotEmpty(t, n.Title)
		assert.NotEmpty(t, n.Reason, n.Title)
	}
}
