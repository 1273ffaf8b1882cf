package main

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/parse/photo"
	"counterfoil/parse/table"
	"counterfoil/report"
	"counterfoil/report/labelsheet"
	"counterfoil/rules"
	"counterfoil/rules/labels"
)

// A sheet of labels is read the same after its columns and rows were put in
// another order, rows were hidden by a filter and lines were put above the
// headings; a row that was taken out is gone, and no other.
func TestRearrangedSheetOfLabels(t *testing.T) {
	var batch []*listing.Listing
	for n := range 5 {
		l := &listing.Listing{Key: fmt.Sprintf("L%d", n), File: "in/a.csv", Row: n, PhotosKnown: true}
		print := uint64(n+1) * 0x9e3779b97f4a7c15
		d := &listing.Detail{}
		d.Luma[n] = uint8(40 * n)
		l.Photos = []listing.Photo{{File: fmt.Sprintf("in/%d.jpg", n), SHA256: fmt.Sprintf("%064x", n+1), Fingerprint: print, Mirror: ^print,
			Printed: true, Detail: d, Views: []listing.View{{Name: listing.ViewWheelNut, By: "label"}, {Name: "mark-ground", By: "label"}}}}
		batch = append(batch, l)
	}
	res, err := rules.Audit(context.Background(), batch, rules.Options{})
	require.NoError(t, err)
	var plain bytes.Buffer
	require.NoError(t, labelsheet.Write(&plain, res, &report.Run{AsOf: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)}, labelsheet.Options{Version: photo.Version}))

	read := func(data []byte) map[string]labels.Label {
		set := labels.NewSet(nil)
		r := labels.NewReader("l.xlsx", labelsheet.Vocabulary(nil, photo.Version), set)
		require.NoError(t, table.StreamGrid(bytes.NewReader(data), r.Row))
		require.NoError(t, r.Err())
		require.Empty(t, set.Notes())
		of := map[string]labels.Label{}
		for _, l := range set.All() {
			of[l.SHA256] = l
		}
		return of
	}
	want := read(plain.Bytes())
	require.Len(t, want, 5)
	for n := range 5 {
		l := want[fmt.Sprintf("%064x", n+1)]
		assert.Equal(t, []string{listing.ViewWheelNut, "mark-ground"}, l.Views)
		assert.Equal(t, batch[n].Photos[0].Fingerprint, l.Fingerprint)
		assert.Equal(t, batch[n].Photos[0].Mirror, l.Mirror)
		assert.Equal(t, batch[n].Photos[0].Detail, l.Detail)
	}

	old, err := excelize.OpenReader(bytes.NewReader(plain.Bytes()))
	require.NoError(t, err)
	rows, err := old.GetRows("Photos")
	require.NoError(t, err)
	const head = 3
	assert.Contains(t, rows[head], "Fingerprint "+photo.Version)
	rearranged := func(drop int) []byte {
		f := excelize.NewFile()
		require.NoError(t, f.SetSheetName("Sheet1", "Photos"))
		at := 7 // lines above
		put := func(cells []string) {
			line := make([]any, len(rows[head]))
			for i, c := range cells {
				line[len(line)-1-i] = c
			}
			at++
			require.NoError(t, f.SetSheetRow("Photos", fmt.Sprintf("C%d", at), &line))
		}
		put(rows[head])
		data := slices.Clone(rows[head+1:])
		slices.Reverse(data)
		for i, r := range data {
			if i == drop {
				continue
			}
			put(r)
			require.NoError(t, f.SetRowVisible("Photos", at, i%2 == 0))
		}
		require.NoError(t, f.AutoFilter("Photos", fmt.Sprintf("C8:P%d", at), nil))
		var b bytes.Buffer
		require.NoError(t, f.Write(&b))
		return b.Bytes()
	}
	assert.Equal(t, want, read(rearranged(-1)))
	got := read(rearranged(1))
	assert.Len(t, got, 4)
	for sha, l := range got {
		assert.Equal(t, want[sha], l)
	}
}
