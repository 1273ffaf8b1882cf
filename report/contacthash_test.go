package report

import (
	"bytes"
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// printf 'phone\0+493023125000' | openssl dgst -sha256 -hmac 0123456789abcdef0123456789abcdef
func TestContactHashAgainstOpenSSL(t *testing.T) {
	key, err := ReadContactKey("contacts.key", []byte("0123456789abcdef0123456789abcdef"))
	require.NoError(t, err)
	assert.Equal(t, "8405db553e4a181a2e575870c56fdb9e", ContactHash(key, "phone", "+493023125000"))

	_, err = ReadContactKey("contacts.key", []byte("secret"))
	assert.ErrorContains(t, err, "contacts.key: a key of 6 bytes can be found by trying; write 32 random bytes")
}

// Contacts of two runs can be compared under the user's key, and under no other.
func TestContactsUnderAKey(t *testing.T) {
	lines := func(batch []*listing.Listing, key []byte) string {
		res, err := rules.Audit(context.Background(), batch, rules.Options{})
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, WriteSuspects(&b, &Run{ContactKey: key}, res))
		return b.String()
	}
	batch := contactBatch()
	other := contactBatch()[:1]
	keyed := []byte("0123456789abcdef0123456789abcdef")
	const hash = "8405db553e4a181a2e575870c56fdb9e"
	assert.Contains(t, lines(batch, keyed), hash)
	assert.Contains(t, lines(other, keyed), hash)

	assert.Equal(t, lines(batch, nil), lines(contactBatch(), nil), "the same input gives the same bytes")
	one := ContactHash(KeyOf(&rules.Facts{Listings: batch}), "phone", "+493023125000")
	assert.Contains(t, lines(batch, nil), one)
	assert.NotContains(t, lines(other, nil), one)
}
