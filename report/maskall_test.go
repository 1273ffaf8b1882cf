package report

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// contactBatch is two accounts of other names with one telephone.
func contactBatch() []*listing.Listing {
	offer := func(key, seller, contact, text string) *listing.Listing {
		l := &listing.Listing{Key: key, File: "a.csv", Row: 2}
		for name, v := range map[listing.Name]string{listing.Seller: seller, listing.Contact: contact, listing.ShipsFrom: "DE", listing.Description: text, listing.PartNumber: "712345-0012"} {
			l.Set(listing.Field{Name: name, Value: v, Raw: v})
		}
		return l
	}
	return []*listing.Listing{offer("k1", "Alfa", "030 23125000", "New. Write to desk@alfa.example, Musterstraße 12, 01067 Dresden"),
		offer("k2", "Beta", "+49 30 23125000", "New unit, ring 030/23125000")}
}

// No output shows a contact: by hash in NDJSON, masked everywhere with one
// setting. What was reckoned from contacts stays.
func TestContactsAreHidden(t *testing.T) {
	batch := contactBatch()
	res, err := rules.Audit(context.Background(), batch, rules.Options{AsOf: time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)})
	require.NoError(t, err)
	lines := func(r *rules.Result) (text string, first map[string]any) {
		var b bytes.Buffer
		require.NoError(t, WriteSuspects(&b, &Run{}, r))
		text = b.String()
		require.NoError(t, json.NewDecoder(&b).Decode(&first))
		return text, first
	}
	text, first := lines(res)
	for _, contact := range []string{"23125000", "desk@alfa", "Musterstraße 12"} {
		assert.NotContains(t, text, contact)
	}
	key := KeyOf(res.Facts)
	assert.Contains(t, text, "["+"phone "+ContactHash(key, "phone", "+493023125000")[:16]+"]")
	assert.Contains(t, text, ContactHash(key, "phone", "+493023125000"))
	assert.Equal(t, "a.csv/~alfa", first["group"])
	assert.NotContains(t, text, "b9a40e29fa28a60d", "printf 'phone\\0+493023125000' | sha256sum: whoever tries all numbers finds this one")

	masked := MaskAll(res)
	for i, j := range masked.Ranked {
		for _, f := range j.Listing.Fields() {
			for _, contact := range []string{"23125000", "desk@alfa", "Musterstraße 12"} {
				assert.NotContains(t, f.Raw+f.Value, contact, f.Name)
			}
		}
		assert.Equal(t, res.Ranked[i].EvidenceDB, j.EvidenceDB)
		assert.Len(t, j.Findings, len(res.Ranked[i].Findings))
		for _, f := range j.Findings {
			for _, e := range f.Evidence {
				assert.NotContains(t, e.Quote, "23125000")
			}
		}
	}
	raw, _ := batch[0].Get(listing.Contact)
	assert.Equal(t, "030 23125000", raw.Raw, "the batch itself is not changed")

	MaskListing(batch[1])
	own, _ := batch[1].Get(listing.Contact)
	assert.Equal(t, "+49••••••••00", own.Raw)
}
