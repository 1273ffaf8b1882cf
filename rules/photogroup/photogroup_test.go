package photogroup

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBuildGroupsCopiesAndMirrors(t *testing.T) {
	photos := []Photo{
		{Fingerprint: 0xFFFF, Mirror: 0xFFFF0000, Printed: true, SHA256: "a", Seller: "s1", Part: "p"},
		{Fingerprint: 0xFFFF << 32, Mirror: 0xFFFF << 48, Printed: true, SHA256: "b", Seller: "s2", Part: "p"},
		{Fingerprint: 0xFFFF0000, Mirror: 0xFFFF, Printed: true, SHA256: "c", Seller: "s2", Part: "q"},
		{Fingerprint: 0xFFFE, Mirror: 0xFFFF0000, Printed: true, SHA256: "d", Seller: "s1", Part: "p"},
		{Fingerprint: 0xFFFF, Mirror: 0xFFFF0000, Printed: true, SHA256: "a", Seller: "s3", Part: "p"},
		{SHA256: "flat"}, {SHA256: "flat"}, {SHA256: "other"},
	}
	x := Build(photos, Options{})
	require.Len(t, x.Groups(), 2)
	assert.Equal(t, Group{
		Members: []Member{{Photo: 0, SameBytes: true}, {Photo: 2, Mirrored: true}, {Photo: 4, SameBytes: true},
			{Photo: 3, Distance: 1}},
		Sellers: []string{"s1", "s2", "s3"}, Parts: []string{"p", "q"}, Printed: true,
	}, x.Groups()[0])
	assert.Equal(t, []Member{{Photo: 5, SameBytes: true}, {Photo: 6, SameBytes: true}}, x.Groups()[1].Members)
	assert.Nil(t, x.Of(1))
	assert.Same(t, &x.Groups()[0], x.Of(2))
}
