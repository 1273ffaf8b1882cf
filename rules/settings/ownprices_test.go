package settings_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/rules/settings"
)

func TestReadOwnPrices(t *testing.T) {
	list, err := settings.ReadOwnPrices("own.csv", []byte("part_number,condition,cost,list,currency\n712290-0003,used,100.50,150,EUR\n712290-0003,,55000,61000,JPY\n"))
	require.NoError(t, err)
	assert.Equal(t, []settings.OwnPrice{
		{Part: "712290-0003", Unit: listing.Complete, Condition: listing.Used, Cost: listing.Amount{Minor: 10050, Currency: "EUR"}, List: listing.Amount{Minor: 15000, Currency: "EUR"}, Line: 2},
		{Part: "712290-0003", Unit: listing.Complete, Condition: listing.New, Cost: listing.Amount{Minor: 55000, Currency: "JPY"}, List: listing.Amount{Minor: 61000, Currency: "JPY"}, Line: 3},
	}, list)
}

func TestOwnPricesNameLineAndColumn(t *testing.T) {
	_, err := settings.ReadOwnPrices("own.csv", []byte(strings.Join([]string{
		"part_number,unit_type,cost,list,currency",
		"712290-0003,complete,1e3,150,EUR",
		",complete,100,0,EUR",
		"712290 0003,complete,100,150,EURO",
		"712290-0004,turbo,100,150,EUR"}, "\n")))
	require.Error(t, err)
	for _, want := range []string{"own.csv:2:22:", "own.csv:3:1: part_number is empty", `own.csv:3:15: "0" is not above zero`,
		"own.csv:4:22:", `own.csv:4:1: "712290 0003" stands in line 2 already`, `own.csv:5:13: "turbo" is not one of`} {
		assert.ErrorContains(t, err, want)
	}
}

func TestOwnPricesExample(t *testing.T) {
	data, err := os.ReadFile("../../fixtures/settings/own-prices.csv")
	require.NoError(t, err)
	list, err := settings.ReadOwnPrices("own-prices.csv", data)
	require.NoError(t, err)
	assert.Len(t, list, 5)
}
