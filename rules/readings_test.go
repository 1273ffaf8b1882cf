package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// A finding that rests on machine reading says so and weighs half, and what may
// be one misread character is a question.
func TestFindingsOnMachineReading(t *testing.T) {
	offer := func(stated, plate, source string) *Pass {
		l := &listing.Listing{Key: "a", File: "a.csv", Row: 2}
		l.Set(listing.Field{Name: listing.SerialNumber, Value: stated, Raw: stated, From: listing.Cell(2, "serial_number")})
		l.Set(listing.Field{Name: listing.PlateSerial, Value: plate, Raw: plate, From: listing.Place{Source: source, Path: "p.jpg at 1,2-3,4"}})
		facts, err := Build([]*listing.Listing{l}, Options{AsOf: fixtureTime})
		require.NoError(t, err)
		return &Pass{Facts: facts, Listing: l}
	}
	a := assess(SerialsDiffer, offer("K230412345", "K221177001", "page"))
	require.NotNil(t, a.finding)
	assert.Equal(t, 1.0, a.finding.Strength)

	a = assess(SerialsDiffer, offer("K230412345", "K221177001", listing.SourceOCR))
	require.NotNil(t, a.finding)
	assert.Equal(t, 0.5, a.finding.Strength)
	assert.Contains(t, a.finding.Statement, "read from a photo by machine")
	a.finding.Rule = SerialsDiffer
	assert.False(t, a.finding.Decisive())

	a = assess(SerialsDiffer, offer("K230412345", "K230412845", listing.SourceOCR))
	assert.Nil(t, a.finding)
	assert.Equal(t, NeedClearReading, a.lacks)
}
