package listing

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A packed listing answers as before, and can be changed.
func TestPack(t *testing.T) {
	fields := []Field{
		{Name: ListingID, Value: "A-1", Raw: "A-1", From: Cell(7, "id")},
		{Name: Title, Value: "", Raw: "  ", From: Cell(7, "name")},
		{Name: Price, Value: "312.40", Raw: "EUR 312,40", From: Cell(7, "price")},
		{Name: Currency, Value: "EUR", Raw: "EUR 312,40", From: Cell(7, "price")},
		{Name: Description, Value: "ж", Raw: "", From: Place{Source: "page", Path: "p", Start: 3, End: 9}},
	}
	fresh := func() *Listing {
		l := &Listing{Row: 7}
		for i := len(fields) - 1; i >= 0; i-- {
			l.Set(fields[i])
		}
		return l
	}
	shared := &Places{}
	for i := range fields {
		fields[i].From.Row = 7
	}
	for _, places := range []*Places{nil, shared, shared} {
		l := fresh()
		l.Pack(places)
		require.Nil(t, l.fields)
		require.Equal(t, fields, l.Fields())
		require.Equal(t, len(fields), l.Len())
		for _, want := range fields {
			got, ok := l.Get(want.Name)
			require.True(t, ok)
			require.Equal(t, want, got)
			require.Equal(t, want.Value, l.Value(want.Name))
		}
		_, ok := l.Get(Seller)
		require.False(t, ok)
		require.Empty(t, l.Value(Seller))

		l.Set(Field{Name: Seller, Value: "s", Raw: "s", From: Cell(7, "seller")})
		l.Remove(Title)
		require.Equal(t, "s", l.Value(Seller))
		require.False(t, l.Has(Title))
		require.Equal(t, "312.40", l.Value(Price))
		before := l.Fields()
		l.Pack(places)
		require.Equal(t, before, l.Fields())
	}
	require.Len(t, *shared.list, 5, "the places of a table are held once")

	empty := &Listing{}
	empty.Pack(nil)
	require.Empty(t, empty.Fields())
	empty.Set(fields[0])
	empty.Remove(ListingID)
	empty.Pack(nil)
	require.Empty(t, empty.Fields())
	require.Empty(t, empty.Value(ListingID))
}

// What the small form has no room for stays as it is.
func TestPackLeavesLargeListings(t *testing.T) {
	for name, fields := range map[string][]Field{
		"long text":    {{Name: Title, Value: "x", Raw: "x"}, {Name: Description, Value: "y", Raw: strings.Repeat("y", maxPacked-(1+2*2)*numberSize-1)}},
		"other row":    {{Name: Title, Value: "x", Raw: "x"}, {Name: Description, Value: "y", Raw: "y", From: Cell(3, "d")}},
		"longest text": {{Name: Title, Value: "x", Raw: "x"}, {Name: Description, Value: "y", Raw: strings.Repeat("y", maxPacked-(1+2*2)*numberSize-2)}},
	} {
		l := &Listing{}
		for _, f := range fields {
			l.Set(f)
		}
		l.Pack(nil)
		require.Equal(t, name != "longest text", l.fields != nil, name)
		require.Equal(t, fields, l.Fields(), name)
	}
}

func TestPlacesAreBounded(t *testing.T) {
	var shared Places
	for i := range 3 * maxPlaces {
		l := &Listing{}
		l.Set(Field{Name: Title, Value: "x", Raw: "x", From: Place{Source: "page", Start: int32(i), End: int32(i + 1)}})
		l.Pack(&shared)
		f, _ := l.Get(Title)
		require.Equal(t, int32(i), f.From.Start)
	}
	require.LessOrEqual(t, len(*shared.list), maxPlaces+int(numNames))
}
