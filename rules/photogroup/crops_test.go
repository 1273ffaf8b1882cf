package photogroup

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/photo"
)

// scene draws overlapping discs of different grey, other ones for another seed.
func scene(seed int) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, 640, 480))
	for y := range 480 {
		for x := range 640 {
			v := 250 - x/10
			for i := range 14 {
				cx, cy, r := (i*137+seed*91)%640, (i*211+seed*53)%480, 30+(i*seed*17)%70
				if (x-cx)*(x-cx)+(y-cy)*(y-cy) < r*r {
					v = 20 + (i*53+seed*31)%200
				}
			}
			img.SetGray(x, y, color.Gray{uint8(v)})
		}
	}
	return img
}

func photoOf(t *testing.T, img image.Image, seller string) Photo {
	t.Helper()
	var buf bytes.Buffer
	require.NoError(t, jpeg.Encode(&buf, img, &jpeg.Options{Quality: 80}))
	p, err := photo.Read(buf.Bytes())
	require.NoError(t, err)
	require.True(t, p.Printed)
	require.NotNil(t, p.Detail)
	return Photo{Fingerprint: p.Fingerprint, Mirror: p.Mirror, Printed: true, Detail: p.Detail, SHA256: p.SHA256, Seller: seller}
}

func flopped(img *image.Gray) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, img.Rect.Dx(), img.Rect.Dy()))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			out.Set(x, y, img.At(img.Rect.Max.X-1-x, img.Rect.Min.Y+y))
		}
	}
	return out
}

// A crop from one corner has another fingerprint, and stands with its picture all
// the same, mirrored or not, with the share that both show: .9 x .9 of the whole.
func TestCropsJoin(t *testing.T) {
	whole := scene(1)
	crop := whole.SubImage(image.Rect(64, 48, 640, 480)).(*image.Gray)
	photos := []Photo{photoOf(t, scene(2), "z"), photoOf(t, whole, "a"), photoOf(t, crop, "b"),
		photoOf(t, flopped(crop), "c"), photoOf(t, scene(3), "d")}
	x := Build(photos, Options{})
	require.Len(t, x.Groups(), 1)
	g := x.Of(1)
	require.NotNil(t, g)
	assert.Equal(t, []string{"a", "b", "c"}, g.Sellers)
	assert.Same(t, g, x.Of(2))
	centre := g.Members[0].Photo
	for _, m := range g.Members {
		assert.Equal(t, (centre == 3) != (m.Photo == 3), m.Mirrored, m.Photo)
		if m.Photo != 1 && centre != 1 {
			continue // two crops of one kind, or the centre itself
		}
		if m.Photo == centre {
			continue
		}
		require.NotNil(t, m.Overlap)
		assert.Greater(t, m.Distance, DefaultBound)
		of, whole := m.Overlap.OfCentre, m.Overlap.OfMember
		if centre != 1 {
			of, whole = whole, of
		}
		assert.InDelta(t, .81, of, .05)
		assert.InDelta(t, 1, whole, .05)
	}
	for i := range photos {
		for j := range photos {
			m, ok := Like(&photos[i], &photos[j], DefaultBound)
			assert.Equal(t, i == j || i%4 > 0 && j%4 > 0, ok, "%d %d: %+v", i, j, m)
		}
	}
}

// Without detail, as in captures of an earlier version, only whole pictures are
// copies of each other.
func TestNoDetailNoCrops(t *testing.T) {
	whole := scene(1)
	photos := []Photo{photoOf(t, whole, "a"), photoOf(t, whole.SubImage(image.Rect(64, 48, 640, 480)), "b")}
	photos[1].Detail = nil
	assert.Empty(t, Build(photos, Options{}).Groups())
	_, ok := Like(&photos[0], &photos[1], DefaultBound)
	assert.False(t, ok)
}

func BenchmarkAlign(b *testing.B) {
	var t testing.T
	one, two := photoOf(&t, scene(1), ""), photoOf(&t, scene(2), "")
	p, q := newPlane(one.Detail, false), newPlane(two.Detail, false)
	b.Run("alike", func(b *testing.B) {
		for b.Loop() {
			align(p, p, LeastPlain, LeastEvened)
		}
	})
	b.Run("different", func(b *testing.B) {
		for b.Loop() {
			align(p, q, LeastPlain, LeastEvened)
		}
	})
}

// Plates and box labels of one kind differ in their lettering and ground only. The
// demo shows many, of different units. The crops it has are near by their whole
// fingerprints, and every pair that lower thresholds take for crops beyond that was
// looked at: they are different pictures.
func TestThingsOfOneKindAreNoCrops(t *testing.T) {
	var list []Photo
	known := map[string]bool{}
	err := filepath.WalkDir("../../fixtures/demo", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".jpg" {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		p, err := photo.Read(data)
		if err == nil && !known[p.SHA256] {
			known[p.SHA256] = true
			list = append(list, Photo{Fingerprint: p.Fingerprint, Mirror: p.Mirror, Printed: p.Printed, Detail: p.Detail})
		}
		return nil
	})
	require.NoError(t, err)
	require.Greater(t, len(list), 100)
	for i := range list {
		for j := range i {
			m, _ := Like(&list[i], &list[j], DefaultBound)
			assert.Nil(t, m.Overlap)
		}
	}
}
