package claims

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// What is kept of a result gives the result again, quotes, bounds and all.
func TestBatchGivesResultsAgain(t *testing.T) {
	e, err := New([]Maker{{Name: "Kestwick"}, {Name: "Halvorn"}})
	require.NoError(t, err)
	texts := []map[listing.Name]string{
		{listing.Title: "Genuine Kestwick turbocharger", listing.Brand: "Kestwick", listing.Description: "Not a copy. New, no returns. Passend für Halvorn."},
		{listing.Title: "Turbo for Kestwick, replaces Halvorn, OEM quality", listing.Description: "Neutral box. Replica grade A."},
		{listing.Title: "Genuine Kestwick turbocharger", listing.Brand: "Kestwick"},
		{},
		{listing.Description: strings.Repeat("genuine ", MaxText/8+10)}, // cut
	}
	b := NewBatch(len(texts))
	all := make([]*listing.Listing, len(texts))
	want := make([]Result, len(texts))
	for i, of := range texts {
		all[i] = &listing.Listing{}
		for n, text := range of {
			all[i].Set(listing.Field{Name: n, Value: text, Raw: text})
		}
		if i == 2 { // a field that was derived has no raw text
			all[i].Set(listing.Field{Name: listing.Title, Value: of[listing.Title]})
		}
		want[i] = e.Read(Texts(all[i]), Options{})
		b.Put(i, &want[i])
	}
	assert.NotEmpty(t, want[0].Phrases)
	assert.True(t, want[4].Cut)
	for i := range want {
		assert.Equal(t, &want[i], b.Result(i, all[i]), i)
		assert.Equal(t, &want[i].Summary, b.Summary(i), i)
	}
}
