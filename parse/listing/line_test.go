package listing

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLineRoundTrip(t *testing.T) {
	l := &Listing{Key: "x1", File: "a.csv", SHA256: "ab", Row: 12, PhotosKnown: true}
	l.Set(Field{Name: Price, Value: "312.40", Raw: "EUR 312,40", From: Cell(12, "Preis, brutto")})
	l.Set(Field{Name: Title, Value: "t", Raw: "t", From: Place{Source: "json-ld", Path: "name"}})
	l.Set(Field{Name: Seller, Value: "s", Raw: "s", From: Place{Source: "page", Path: "main > dd", Start: 120, End: 150}})
	l.Disagreements = []Disagreement{{Kept: Field{Name: Price, Value: "1", From: Cell(1, "a")}, Other: Field{Name: Price, Value: "2", From: Cell(1, "b")}}}
	l.Photos = []Photo{{File: "p.jpg", SHA256: "cd", Size: 3, Format: "jpeg", Width: 4, Height: 5,
		Fingerprint: 0xfedcba9876543210, Mirror: 1, Printed: true, From: Place{Source: "page", Path: "img"},
		Views: []View{{Name: ViewSerialPlate, By: "alt", Text: "plate"}},
		Taken: "2026-03-04T10:11:12", Device: "Invented P7", Software: "Editor 2", Camera: "0123456789abcdef", HasLocation: true, Position: &Position{Latitude: -33.448889, Longitude: 0}, Lettering: "SHOP ONE\ntel 030 5550123",
		Looks:    []Look{{Maker: "Halden", Feature: "wheel-nut", Seen: SeenCopy}},
		Readings: []Reading{{Field: PlateSerial, Value: "N1", Raw: "N1", Confidence: 0.93, Box: Box{1, 2, 30, 40}}}}}
	data, err := json.Marshal(ToLine(l))
	require.NoError(t, err)
	back, err := FromLine(data)
	require.NoError(t, err)
	assert.Equal(t, l, back)

	l.Photos[0].Position = &Position{Unreadable: true}
	data, err = json.Marshal(ToLine(l))
	require.NoError(t, err)
	back, err = FromLine(data)
	require.NoError(t, err)
	assert.Equal(t, l, back)

	l.DropPositions()
	data, err = json.Marshal(ToLine(l))
	require.NoError(t, err)
	assert.Contains(t, string(data), `"location_recorded":true`)
	assert.NotContains(t, string(data), `"position"`)

	l.PhotosKnown = false // a further one could not be read
	data, err = json.Marshal(ToLine(l))
	require.NoError(t, err)
	back, err = FromLine(data)
	require.NoError(t, err)
	assert.Equal(t, l, back)
}

func TestPlaceRoundTrip(t *testing.T) {
	for _, p := range []Place{{}, Cell(3, "price"), Cell(3, "a, column b"), {Row: 7},
		{Source: "json-ld", Path: "offers.price"}, {Source: "page", Path: "main > h1", Start: 0, End: 9}} {
		assert.Equal(t, p, ParsePlace(p.String()), p.String())
	}
}

func TestFromLineRefuses(t *testing.T) {
	for _, bad := range []string{``, `{}`, `[]`, `{"listing":"a","file":"b","fields":{"nope":{}}}`,
		`{"listing":"a","file":"b","fields":{},"photos":[{"fingerprint":"zz"}]}`,
		`{"listing":"a","file":"b","fields":{},"photos":[{"position":{}}]}`,
		`{"listing":"a","file":"b","fields":{},"photos":[{"position":{"longitude":1}}]}`,
		`{"listing":"a","file":"b","fields":{},"photos":[{"position":{"latitude":90.1,"longitude":1}}]}`,
		`{"listing":"a","file":"b","fields":{},"photos":[{"position":{"latitude":1,"longitude":-180.1}}]}`,
		`{"listing":"a","file":"b","fields":{},"photos":[{"position":{"latitude":1,"longitude":1,"unreadable":true}}]}`,
		`{"listing":"a","file":"b","fields":{},"photos":[{"position":{"latitude":"1","longitude":1}}]}`} {
		_, err := FromLine([]byte(bad))
		assert.Error(t, err, bad)
	}
}

func FuzzFromLine(f *testing.F) {
	f.Add([]byte(`{"listing":"a","file":"b","fields":{"price":{"value":"1","raw":"1","from":"row 2, column p"}},"photos":null}`))
	f.Add([]byte(`{"listing":"a","file":"b","fields":{},"photos":[{"position":{"latitude":-0.00000001,"longitude":179.9999999}},{"position":{"unreadable":true}}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		l, err := FromLine(data)
		if err != nil {
			return
		}
		again, err := json.Marshal(ToLine(l))
		require.NoError(t, err)
		l2, err := FromLine(again)
		require.NoError(t, err)
		third, err := json.Marshal(ToLine(l2))
		require.NoError(t, err)
		assert.Equal(t, string(again), string(third))
		fields := slices.Clone(l.Fields())
		l.Pack(nil)
		assert.Equal(t, fields, slices.Clone(l.Fields()), "packed")
	})
}
