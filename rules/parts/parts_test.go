package parts

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/rules/settings"
)

// Two makers of one style of numbers: a settings table names no maker, so its
// number may be that of either.
func TestIDs(t *testing.T) {
	makers, err := settings.ReadMakers("makers.yaml", []byte(`makers:
  - name: Aldra
    part_numbers: [{name: six and four, pattern: '\d{6}-?\d{4}'}]
  - name: Borin
    part_numbers: [{name: six and four, pattern: '\d{6}-?\d{4}'}]
  - name: Cestra
    part_numbers: [{name: five and four, pattern: '\d{5}-?\d{4}'}]
`))
	require.NoError(t, err)
	r := New(makers, nil)
	assert.Equal(t, []string{"3188462106", "Aldra 3188462106", "Borin 3188462106"}, r.IDs("318846-2106"))
	assert.Equal(t, []string{"Cestra 412345678"}, r.IDs("41234-5678"))
	assert.Equal(t, []string{"3188462106"}, New(nil, nil).IDs("318846-2106"))
}
