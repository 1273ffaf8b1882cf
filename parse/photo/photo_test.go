package photo

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math/bits"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const reference = "../../../shared/reference/images"

// need skips a test that lacks something from outside the project, and fails it
// where COUNTERFOIL_REQUIRE_TOOLS is set.
func need(t testing.TB, ok bool, what string) {
	t.Helper()
	switch {
	case ok:
	case os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "":
		t.Fatal("absent: " + what)
	default:
		t.Skip("absent: " + what)
	}
}

func files(t testing.TB, pattern string) []string {
	t.Helper()
	list, err := filepath.Glob(pattern)
	require.NoError(t, err)
	return list
}

func read(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return data
}

func encodePNG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var buf bytes.Buffer
	require.NoError(t, png.Encode(&buf, img))
	return buf.Bytes()
}

// shapes draws a picture with much to compare: overlapping discs of fixed places.
func shapes(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			v := uint8(255)
			for i := range 12 {
				cx, cy, r := (i*37+20)%100*w/100, (i*61+15)%100*h/100, (8+i%5*4)*h/100
				if (x-cx)*(x-cx)+(y-cy)*(y-cy) < r*r {
					v = uint8(20 + i*53%200)
				}
			}
			img.SetRGBA(x, y, color.RGBA{v, v / 2, 255 - v/3, 255})
		}
	}
	return img
}

func TestFlatPictureHasNoFingerprint(t *testing.T) {
	noisy := image.NewGray(image.Rect(0, 0, 300, 300))
	shaded := image.NewGray(image.Rect(0, 0, 300, 300))
	clear := image.NewNRGBA(image.Rect(0, 0, 300, 300))
	for i := range noisy.Pix {
		noisy.Pix[i] = 200 + uint8(i%7*i%5)
		shaded.Pix[i] = uint8(i / 300 / 2)
		clear.Pix[4*i] = uint8(i)
	}
	for name, tt := range map[string]struct {
		img     image.Image
		printed bool
	}{
		"noise on one colour":        {noisy, false},
		"even shading":               {shaded, false},
		"wholly transparent":         {clear, false},
		"one pixel":                  {image.NewGray(image.Rect(0, 0, 1, 1)), false},
		"discs of different shading": {shapes(300, 200), true},
	} {
		p, err := Read(encodePNG(t, tt.img))
		require.NoError(t, err, name)
		assert.Equal(t, tt.printed, p.Printed, name)
		assert.Equal(t, tt.img.Bounds().Size(), image.Pt(p.Width, p.Height), name)
		if !tt.printed {
			assert.Zero(t, p.Fingerprint|p.Mirror, name)
		}
	}
}

// TestTurnedMapIsTheMapOfTheTurnedPicture uses a size that leaves partial blocks.
func TestTurnedMapIsTheMapOfTheTurnedPicture(t *testing.T) {
	img := shapes(777, 613)
	for o := range 10 {
		turned := oriented(img, o)
		want, got := reduce(turned), reduce(img).turn(o)
		assert.Equal(t, turned.Rect.Size(), image.Pt(got.width, got.height), o)
		a, am, _ := fingerprint(want.contentGrid())
		b, bm, _ := fingerprint(got.contentGrid())
		assert.LessOrEqual(t, bits.OnesCount64(a^b)+bits.OnesCount64(am^bm), 2, o)
	}
}

// TestFingerprintIsStable pins the algorithm: another value needs a new Version.
func TestFingerprintIsStable(t *testing.T) {
	require.Equal(t, "content-cosine-2", Version)
	for _, tt := range []struct {
		w, h          int
		print, mirror uint64
	}{{640, 600, 0x8b364f58acf239e3, 0x21631a0df9a693b6}, {301, 203, 0x89264cc9acf37973, 0x2373199cf9a7d326}} {
		p, err := Read(encodePNG(t, shapes(tt.w, tt.h)))
		require.NoError(t, err)
		assert.Equal(t, tt.print, p.Fingerprint, "%d x %d: %#x %#x", tt.w, tt.h, p.Fingerprint, p.Mirror)
		assert.Equal(t, tt.mirror, p.Mirror)
	}
}
