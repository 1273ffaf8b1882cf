package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Worked examples of the score interval: Newcombe, Two-sided confidence
// intervals for the single proportion, Statistics in Medicine 17 (1998), table
// I, 81 of 263 and 15 of 148 (values from memory).
func TestScoreUpper(t *testing.T) {
	assert.InDelta(t, 0.3662, scoreUpper(81.0/263, 263), 5e-5)
	assert.InDelta(t, 0.1605, scoreUpper(15.0/148, 148), 5e-5)
	assert.InDelta(t, 1, scoreUpper(1, 10), 1e-9)
}
