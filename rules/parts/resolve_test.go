package parts

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/rules/settings"
)

// Invented makers; what must hold is the trade's rule that suffixes are equated
// by the user's table only, and that several parts in one field are kept apart.
func TestResolve(t *testing.T) {
	makers, err := settings.ReadMakers("makers.yaml", []byte(`makers:
  - name: Aldra
    part_numbers: [{name: six and four, pattern: '(?P<base>\d{6})-?(?P<suffix>\d{1,4})', pad: 4}]
  - name: Cestra
    part_numbers: [{name: eleven, pattern: '\d{11}'}]
`))
	require.NoError(t, err)
	r := New(makers, []settings.Equivalence{
		{Part: "318846-2106", Same: "318846-2103", Kind: settings.Supersedes, Source: "note"},
		{Part: "318846-2106", Same: "LQ 145 702 K", Kind: settings.OENumber, Source: "list"},
		{Part: "326715-2112", Same: "LQ 145 873 B", Kind: settings.OENumber, Source: "list"},
	})
	const a, b = "Aldra 318846-2106", "Aldra 326715-2112"
	for _, c := range []struct {
		brand, number, oe string
		id                string
		other             []string
		styled            bool
	}{
		{"Aldra", "318846-2106", "", a, nil, true},
		{"Aldra", "318846 2106", "", a, nil, true},
		{"Aldra", "318846-106", "", "Aldra 318846-0106", nil, true}, // short stamped form
		{"Aldra", "318846-2107", "", "Aldra 318846-2107", nil, true},
		{"Aldra", "318846-2103", "", a, nil, true},
		{"Aldra", "lq145702k", "", a, nil, true},
		{"Aldra", "", "LQ 145 702 K", a, nil, true},
		{"Aldra", "318846-2106", "LQ 145 873 B", a, []string{b}, true},
		{"Aldra", "318846-2106", "XX 111 222 Z", a, nil, true}, // an OE number nobody knows says nothing
		{"Aldra", "318846-2106, 318846-2103", "", a, nil, true},
		{"Aldra", "318846-2106/326715-2112", "", a, []string{b}, true},
		{"Aldra", "318846-2106/12", "", "318846210612", nil, false}, // no second number
		{"Aldra", "318846-21060", "", "31884621060", nil, false},    // of Cestra's style, but the brand is Aldra
		{"", "318846-21060", "", "Cestra 31884621060", nil, true},
		{"Aldra", "N/A", "", "", nil, false},
	} {
		l := &listing.Listing{}
		for n, v := range map[listing.Name]string{listing.Brand: c.brand, listing.PartNumber: c.number, listing.OENumbers: c.oe} {
			if v != "" {
				l.Set(listing.Field{Name: n, Value: v, Raw: v})
			}
		}
		p := r.Resolve(l)
		assert.Equal(t, c.id, p.ID, "%+v", c)
		assert.Equal(t, c.other, p.Other, "%+v", c)
		assert.Equal(t, c.styled, p.Styled, "%+v", c)
	}
}
