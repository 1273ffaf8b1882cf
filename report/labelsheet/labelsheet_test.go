package labelsheet_test

import (
	"bytes"
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/report/labelsheet"
	"counterfoil/rules"
)

func offer(n int, seller, claim string, prints ...uint64) *listing.Listing {
	l := &listing.Listing{Key: fmt.Sprintf("L%d", n), File: "in/a.csv", Row: n, PhotosKnown: true}
	for name, value := range map[listing.Name]string{listing.Title: claim, listing.Brand: "Halden", listing.Seller: seller,
		listing.PartNumber: "712345-0012", listing.Condition: listing.New} {
		l.Set(listing.Field{Name: name, Value: value, Raw: value, From: listing.Cell(n, name.String())})
	}
	for i, p := range prints {
		l.Photos = append(l.Photos, listing.Photo{File: fmt.Sprintf("in/%d-%d.jpg", n, i), SHA256: fmt.Sprintf("%064x", p), Size: 9,
			Fingerprint: p, Mirror: p*0x9e3779b97f4a7c15 + 77, Printed: true, From: listing.Cell(n, "photo_files")})
	}
	return l
}

// Pictures of several listings come before those of one, pictures that stand
// alone in their listing before those with others beside them, and what was
// looked at and copies that say so come last.
func TestOrder(t *testing.T) {
	const a, b, c, d, e = 0x1234567890abcdef, 0xfedcba0987654321, 0x00ffaa5500ffaa55, 0x3c3cc3c3f00f0ff0, 0x9999666633cc33cc
	batch := []*listing.Listing{
		offer(1, "Alfa", "Halden turbocharger genuine", a),
		offer(2, "Beta", "Halden turbocharger genuine", a),
		offer(3, "Gamma", "Halden turbocharger genuine", b, c),
		offer(4, "Delta", "Halden turbocharger genuine", d),
		offer(5, "Eps", "Halden turbocharger replica 1:1 copy", e),
	}
	batch[3].Photos[0].Views = []listing.View{{Name: listing.ViewWheelNut, By: "tag"}}
	res, err := rules.Audit(context.Background(), batch, rules.Options{})
	require.NoError(t, err)
	run := &report.Run{Version: "1", AsOf: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)}
	var first bytes.Buffer
	require.NoError(t, labelsheet.Write(&first, res, run, labelsheet.Options{Version: "v-2"}))
	for range 3 {
		var again bytes.Buffer
		require.NoError(t, labelsheet.Write(&again, res, run, labelsheet.Options{Version: "v-2"}))
		require.Equal(t, first.Bytes(), again.Bytes())
	}
	book, err := excelize.OpenReader(bytes.NewReader(first.Bytes()))
	require.NoError(t, err)
	rows, err := book.GetRows("Photos")
	require.NoError(t, err)
	var order []string
	for _, r := range rows[4:] {
		order = append(order, r[10])
	}
	sha := func(p uint64) string { return fmt.Sprintf("%064x", p) }
	require.Len(t, order, 5)
	assert.Equal(t, sha(a), order[0])
	assert.ElementsMatch(t, []string{sha(b), sha(c)}, order[1:3])
	assert.ElementsMatch(t, []string{sha(d), sha(e)}, order[3:])
	assert.Contains(t, rows[4][1], "2 photos, 2 listings")

	// A text that looks like a formula stays text when it is typed again.
	styleID, err := book.GetCellStyle("Photos", "J5")
	require.NoError(t, err)
	mark := book.Styles.CellXfs.Xf[styleID].QuotePrefix
	require.NotNil(t, mark)
	assert.True(t, *mark)

	validations, err := book.GetDataValidations("Photos")
	require.NoError(t, err)
	require.Len(t, validations, 5)
	assert.Equal(t, "E5:E9", validations[0].Sqref)
	assert.Equal(t, "Words!$A$2:$A$7", validations[0].Formula1)
}
