package compare

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// A telephone that changed is told, and nothing that is written shows a number or
// a piece of one.
func TestContactsAreMaskedAfterComparing(t *testing.T) {
	offer := func(id, contact, text string) *listing.Listing {
		l := &listing.Listing{Key: id, File: "x.csv", Row: 2}
		for n, v := range map[listing.Name]string{listing.ListingID: id, listing.Seller: "Depot " + id, listing.Title: "Turbocharger 712345-0012", listing.Contact: contact,
			listing.Description: text, listing.ShipsFrom: "DE"} {
			l.Set(listing.Field{Name: n, Value: v, Raw: v})
		}
		return l
	}
	text := "New unit in its box. Tel. 030 2312 %s. Ask before you order, we answer every day."
	before := []*listing.Listing{offer("a", "Tel. 030 23125000", fmt.Sprintf(text, "5000")), offer("b", "Tel. 040 7771234", "none")}
	after := []*listing.Listing{offer("a", "Tel. 030 23995000", fmt.Sprintf(text, "6600")), offer("b", "Tel. 040 7771234", "none")}
	res, err := Compare(before, after, Options{Rules: rules.Options{}})
	require.NoError(t, err)
	statements := func() (list []string) {
		for _, c := range res.Changes {
			list = append(list, c.Statement)
		}
		return list
	}
	require.Len(t, statements(), 2, statements())
	res.MaskContacts()
	assert.ElementsMatch(t, []string{"A contact in the description changed; masked, both look alike.", "The contact changed; masked, both look alike."}, statements())
	assert.Equal(t, "Tel. 030 23125000", before[0].Value(listing.Contact), "the caller's listings stay")
	for _, f := range Files(&Run{}, res) {
		var out bytes.Buffer
		require.NoError(t, f.Write(&out))
		for _, piece := range []string{"23125000", "2312 5000", "23995000", "'5000", "'6600", "7771234", " 6600", " 5000"} {
			assert.NotContains(t, out.String(), piece, f.Name)
		}
	}
}
