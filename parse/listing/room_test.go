package listing

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Listings made in one room, packed or not, share nothing afterwards.
func TestRoom(t *testing.T) {
	var room Room
	var places Places
	var list []*Listing
	for i, row := range []int{1, 2, 99, 4, 5} { // the third cannot be packed
		l := &Listing{Row: i + 1}
		room.Lend(l)
		if i != 3 {
			l.Set(Field{Name: Title, Value: string(rune('a' + i)), Raw: "raw", From: Cell(row, "title")})
		}
		room.Pack(l, &places)
		list = append(list, l)
	}
	list[3].Set(Field{Name: Title, Value: "d", From: Cell(4, "title")})
	list[2].Set(Field{Name: Brand, Value: "Halden", From: Cell(3, "brand")})
	for i, l := range list {
		require.Equal(t, string(rune('a'+i)), l.Value(Title))
		require.Equal(t, i == 2, l.Has(Brand))
	}
	require.Equal(t, 2, list[2].Len())
	require.Equal(t, Cell(99, "title"), list[2].Fields()[0].From)
}
