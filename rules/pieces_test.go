package rules

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/fixtures"
	"counterfoil/parse/listing"
	"counterfoil/rules/regions"
)

// drawnLuma draws the pictures of the fixtures whose hash reads "drawn-3",
// "drawn-3-crop" (six tenths of it) or "drawn-3-shot" (it within a page).
func drawnLuma(p *listing.Photo) (regions.Luma, error) {
	var seed uint64
	var how string
	if n, _ := fmt.Sscanf(p.SHA256, "drawn-%d-%s", &seed, &how); n == 0 {
		return regions.Luma{}, errors.New("not drawn")
	}
	full := discs(seed, 200)
	out := regions.Luma{W: 200, H: 150, Pix: make([]uint8, 200*150)}
	for y := range 150 {
		for x := range 200 {
			sx, sy := x, y
			switch how {
			case "crop":
				sx, sy = 60+x*6/10, 50+y*6/10
			case "shot":
				sx, sy = (x-30)*10/6, (y-20)*10/6
			}
			if x < 30 && how == "shot" || y < 20 && how == "shot" || sx >= 200 || sy >= 150 {
				out.Pix[y*200+x] = 240
				continue
			}
			out.Pix[y*200+x] = full[sy*200+sx]
		}
	}
	return out, nil
}

func discs(seed uint64, w int) []uint8 {
	r := rand.New(rand.NewPCG(seed, 9))
	pix := make([]uint8, w*w*3/4)
	for range 60 {
		cx, cy, radius, luma := r.IntN(w), r.IntN(w*3/4), 4+r.IntN(22), uint8(r.IntN(256))
		for y := max(0, cy-radius); y < min(w*3/4, cy+radius); y++ {
			for x := max(0, cx-radius); x < min(w, cx+radius); x++ {
				if (x-cx)*(x-cx)+(y-cy)*(y-cy) < radius*radius {
					pix[y*w+x] = luma
				}
			}
		}
	}
	return pix
}

// Without pixels the rule says what it lacks, and the number of jobs changes
// nothing.
func TestPieces(t *testing.T) {
	f, err := fixtures.ReadRule("photo-piece")
	require.NoError(t, err)
	without, err := Build(f.Listings, Options{})
	require.NoError(t, err)
	a := PhotoPiece.Run(&Pass{Facts: without, Listing: f.Listings[0]})
	assert.Equal(t, NeedPieces, a.lacks)

	var first string
	for _, jobs := range []int{1, 4} {
		res, err := Audit(context.Background(), f.Listings, Options{Luma: drawnLuma, Jobs: jobs})
		require.NoError(t, err)
		got := fmt.Sprint(res.Facts.Pieces)
		if first == "" {
			first = got
		}
		assert.Equal(t, first, got)
	}
}
