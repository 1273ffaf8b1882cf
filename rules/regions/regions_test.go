package regions_test

import (
	"bytes"
	"image"
	"image/jpeg"
	_ "image/png"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/draw"

	"counterfoil/parse/photo"
	"counterfoil/rules/regions"
)

const reference = "../../../shared/reference/images/photos"

func prepare(t testing.TB, data []byte) *regions.Picture {
	g, _, err := photo.Gray(data, regions.Side)
	require.NoError(t, err)
	return regions.Prepare(regions.Luma{W: g.Rect.Dx(), H: g.Rect.Dy(), Pix: g.Pix})
}

func encode(t testing.TB, img image.Image) []byte {
	var buf bytes.Buffer
	require.NoError(t, jpeg.Encode(&buf, img, &jpeg.Options{Quality: 75}))
	return buf.Bytes()
}

// Crops from any side or corner are found where they were taken, mirrored ones
// too, and no photograph is found in another one. The photographs are the Kodak
// set (PCD0992) and those of the Debian packages mate-backgrounds and tuxpaint-data.
func TestCropsAreFoundAndStrangersNot(t *testing.T) {
	var paths []string
	for _, pattern := range []string{reference + "/*.png", "/usr/share/backgrounds/mate/nature/*.jpg", "/usr/share/tuxpaint/templates/*.jpg"} {
		more, err := filepath.Glob(pattern)
		require.NoError(t, err)
		paths = append(paths, more...)
	}
	if len(paths) == 0 && os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
		t.Fatalf("needs the photographs of %s", reference)
	} else if len(paths) == 0 {
		t.Skipf("needs the photographs of %s", reference)
	}
	r := rand.New(rand.NewPCG(1, 2))
	var whole []*regions.Picture
	crops, found, inPlace := 0, 0, 0
	for _, path := range paths {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		p := prepare(t, data)
		require.NotNil(t, p, path)
		whole = append(whole, p)
		img, _, err := image.Decode(bytes.NewReader(data))
		require.NoError(t, err)
		for range 3 {
			b := img.Bounds()
			share := 0.5 + 0.4*r.Float64()
			w, h := int(share*float64(b.Dx())), int(share*float64(b.Dy()))
			x, y := r.IntN(b.Dx()-w), r.IntN(b.Dy()-h)
			crop := image.NewRGBA(image.Rect(0, 0, w, h))
			draw.Copy(crop, image.Point{}, img, image.Rect(x, y, x+w, y+h).Add(b.Min), draw.Src, nil)
			part := prepare(t, encode(t, crop))
			crops++
			if part == nil {
				continue
			}
			m, ok := regions.Find(part, p)
			if !ok {
				t.Logf("%s: %.2f of a side, score %.2f", filepath.Base(path), share, m.Score)
				continue
			}
			found++
			if near(m.Left, float64(x)/float64(b.Dx())) && near(m.Top, float64(y)/float64(b.Dy())) && near(m.Covers(), share*share) {
				inPlace++
			}
		}
	}
	most, over, pairs := 0.0, 0, 0
	for i, a := range whole {
		for k, b := range whole {
			if i == k {
				continue
			}
			pairs++
			m, ok := regions.Find(a, b)
			most = max(most, m.Score)
			if ok {
				over++
				t.Logf("%s in %s: %.2f, covers %.2f", filepath.Base(paths[i]), filepath.Base(paths[k]), m.Score, m.Covers())
			}
		}
	}
	t.Logf("%d of %d crops found, %d in their place; %d of %d unrelated pairs, the largest score %.2f", found, crops, inPlace, over, pairs, most)
	assert.GreaterOrEqual(t, float64(found), 0.9*float64(crops))
	assert.GreaterOrEqual(t, inPlace, found-2)
	assert.Zero(t, over)
}

func near(a, b float64) bool { return a-b < 0.05 && b-a < 0.05 }
