package weighing

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestShares(t *testing.T) {
	families := []string{"price", "price", "identity", "price", "price", "price"}
	weights := []float64{4, 8, 10, -6, 6, -2}
	// 8, 6/2, 4/4 against and -6, -2/2 for, whatever the order.
	assert.Equal(t, []float64{1, 8, 10, -6, 3, -1}, Shares(families, weights))
	assert.Empty(t, Shares[string](nil, nil))
}

// One family of positive weights is what Shares makes of it: 8 + 6/2 + 4/4.
func TestSum(t *testing.T) {
	assert.Equal(t, 12., Sum([]float64{4, 8, 6}))
	assert.Zero(t, Sum(nil))
}
