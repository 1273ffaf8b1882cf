package main

import (
	"bytes"
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/fixtures/harder"
	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/settings"
)

// TestMeasureHarder prints how the rules do on an invented export whose parts
// have few offers and whose copies show little, first without settings, then
// with makers, authorised prices and rates. The floors stand under what was
// reached.
func TestMeasureHarder(t *testing.T) {
	market, err := harder.Generate("spanish", 3500, 4242)
	require.NoError(t, err)
	audit := func(t *testing.T, opt rules.Options) *measure {
		batch := readExport(t, bytes.NewReader(market.Export), func(*listing.Listing) {})
		opt.AsOf = market.AsOf
		result, err := rules.Audit(context.Background(), batch, opt)
		require.NoError(t, err)
		m := newMeasure(result, market.Kinds)
		t.Log("\n" + m.table())
		return m
	}
	t.Run("without settings", func(t *testing.T) {
		m := audit(t, rules.Options{})
		assert.GreaterOrEqual(t, m.precision, 0.78, "average precision")
		assert.GreaterOrEqual(t, m.at50, 0.94, "precision at 50")
		m.assertHonestLow(t)
	})
	t.Run("with settings", func(t *testing.T) {
		var opt rules.Options
		var err error
		opt.Makers, err = settings.ReadMakers("makers.yaml", market.Makers)
		require.NoError(t, err)
		opt.Reference, err = settings.ReadReference("reference.csv", market.Reference)
		require.NoError(t, err)
		opt.Rates, err = settings.ReadRates("rates.csv", market.Rates)
		require.NoError(t, err)
		m := audit(t, opt)
		assert.GreaterOrEqual(t, m.precision, 0.89, "average precision")
		assert.GreaterOrEqual(t, m.at50, 0.96, "precision at 50")
		m.assertHonestLow(t)
	})
}
