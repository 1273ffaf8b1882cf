package workbook_test

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/report/internal/sample"
	"counterfoil/report/workbook"
	"counterfoil/rules"
	"counterfoil/rules/regions"
)

// A finding that compares two pictures has them side by side, with how far they
// are apart; one that quotes the listing's own alone has none.
func TestPicturesSideBySide(t *testing.T) {
	res := sample.Result(sample.Offers())
	own, other := res.Facts.Photo(res.Facts.PhotoOf[0]), res.Facts.Photo(res.Facts.PhotoOf[1])
	other.SHA256, other.Fingerprint = strings.Repeat("b", 64), own.Fingerprint^0xff
	other.Printed, own.Mirror, other.Mirror = true, 1, 2
	first := res.Ranked[0]
	require.Equal(t, 0, first.N)
	photo := &rules.Rule{ID: "photo-test", Family: rules.FamilyPhoto, Doc: rules.Doc{Title: "Pictures"}}
	first.Findings = append(first.Findings,
		rules.Finding{Rule: photo, Statement: "Alike.", Strength: 1, Evidence: []rules.Evidence{rules.QuotePhoto(own), rules.QuotePhoto(other)}},
		rules.Finding{Rule: photo, Statement: "Alone.", Strength: 1, Evidence: []rules.Evidence{rules.QuotePhoto(own)}})
	f := open(t, write(t, res, sample.Run(), workbook.Options{Thumb: thumb}))
	rows := map[string]int{"Alike.": 1, "Alone.": 0}
	for statement, want := range rows {
		row := rowOf(t, f, "Findings", "F", statement)
		for _, column := range []string{"H", "I"} {
			cell := column + strconv.Itoa(row)
			pictures, err := f.GetPictures("Findings", cell)
			require.NoError(t, err)
			assert.Len(t, pictures, want, "%s %s", statement, cell)
		}
	}
	for _, r := range table(t, f, "Findings", "Rank") {
		if r["What was found"] == "Alike." {
			assert.Contains(t, r["Evidence: place and exact text"], "Pictures: 8 of 64 bits from the first picture")
		} else {
			assert.NotContains(t, r["Evidence: place and exact text"], "Pictures:")
		}
	}
}

// What the comparison piece by piece found stands on the sheet of photos with
// both pictures, places, hashes, distance and what they have in common.
func TestPiecesOnSheetOfPhotos(t *testing.T) {
	res := sample.Result(sample.Offers())
	other := res.Facts.Photo(res.Facts.PhotoOf[1])
	other.SHA256 = strings.Repeat("b", 64)
	other.Fingerprint, other.Mirror = ^other.Fingerprint, 0x123456789abcdef
	res.Facts.Pieces = map[int][]rules.Piece{0: {{Copy: 0, Other: 1,
		Match: regions.Match{Score: 0.93, Left: 0.38, Top: 0.15, Right: 1, Bottom: 0.85}}}}
	f := open(t, write(t, res, sample.Run(), workbook.Options{Thumb: thumb}))
	rows := table(t, f, "Photos", "Group")
	require.NotEmpty(t, rows)
	assert.Equal(t, "piece of a picture", rows[0]["Kind"])
	where := rows[0]["Where it is used"]
	assert.Contains(t, where, "in/photos/1.jpg, SHA-256 ")
	assert.Contains(t, where, "in/photos/2.jpg, SHA-256 bbbbbbbbbbbb…")
	// .62 of the width times .70 of the height
	assert.Contains(t, where, "Picture 1 shows 43 % of picture 2, from 38 to 100 % of its width and from 15 to 85 % of its height (correlation 0.93)")
	assert.Regexp(t, `\d+ of 64 bits from the first picture, by which alone no copy is told`, where)
	row := rowOf(t, f, "Photos", "B", "piece of a picture")
	for _, column := range []string{"I", "J"} {
		pictures, err := f.GetPictures("Photos", column+strconv.Itoa(row))
		require.NoError(t, err)
		assert.Len(t, pictures, 1)
	}
}
