package photo

import (
	"bytes"
	"image"
	"image/jpeg"
	"math/bits"
	"math/rand/v2"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fullMap is the luma map by way of image/jpeg.
func fullMap(t testing.TB, data []byte) *lumaMap {
	t.Helper()
	img, err := jpeg.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	return reduce(img)
}

// TestDCTermsAgreeWithFullDecode compares the fast way with image/jpeg over
// photos written by ImageMagick in the usual ways.
func TestDCTermsAgreeWithFullDecode(t *testing.T) {
	path, err := exec.LookPath("convert")
	need(t, err == nil, "ImageMagick, apt-get install imagemagick")
	photos := files(t, reference+"/photos/*.png")
	need(t, len(photos) > 0, "the photos of "+reference+"/photos")
	var distances []int
	for i, photo := range photos {
		for k, args := range []string{
			"-sampling-factor 4:2:0 -quality 85", "-sampling-factor 4:2:2 -quality 60", "-sampling-factor 4:4:4 -quality 92",
			"-sampling-factor 4:4:0 -quality 80", "-colorspace Gray -quality 75", "-crop 901x757+3+2 +repage -quality 40",
			"-interlace JPEG -quality 85", "-interlace JPEG -colorspace Gray", "-interlace JPEG -sampling-factor 4:4:4 -crop 757x901+0+0 -quality 35",
			"-define jpeg:optimize-coding=false -quality 75", "-define jpeg:restart-interval=3 -quality 75",
		} {
			if (i+k)%2 == 0 { // half of the combinations are enough
				continue
			}
			data, err := exec.Command(path, slices.Concat([]string{photo, "-resize", "900x900^"}, strings.Fields(args), []string{"jpeg:-"})...).Output()
			require.NoError(t, err)
			want := fullMap(t, data)
			got, ok := jpegMap(data)
			require.True(t, ok, "%s %s", photo, args)
			assert.Equal(t, [4]int{want.width, want.height, want.cols, want.rows}, [4]int{got.width, got.height, got.cols, got.rows})
			inner := 0
			for r := range want.height / block {
				for c := range want.width / block {
					inner = max(inner, int(abs(int64(want.mean[r*want.cols+c])-int64(got.mean[r*want.cols+c]))))
				}
			}
			// Sharp edges overshoot and are clipped in pixels, not in means.
			assert.LessOrEqual(t, inner, 16*meanUnit, "%s %s", photo, args)
			a, _, _ := fingerprint(want.contentGrid())
			b, _, _ := fingerprint(got.contentGrid())
			if n := bits.OnesCount64(a ^ b); n > 4 {
				t.Logf("%s %s: distance %d, content %v and %v", photo, args, n, want.content(), got.content())
			}
			distances = append(distances, bits.OnesCount64(a^b))
		}
	}
	slices.Sort(distances)
	t.Logf("%d files: distance median %d, 95 %% %d, greatest %d", len(distances),
		distances[len(distances)/2], distances[len(distances)*95/100], distances[len(distances)-1])
	assert.LessOrEqual(t, distances[len(distances)-1], 4)
}

// TestFastWayTakesNothingThatImageJPEGRefuses damages files at random places.
func TestFastWayTakesNothingThatImageJPEGRefuses(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, whole := range [][]byte{encodeJPEG(t, shapes(520, 512)), encodeJPEG(t, grey(520, 512)), convert(t, shapes(520, 512), "pjpeg:-")} {
		_, ok := jpegMap(whole)
		require.True(t, ok)
		taken := 0
		for range 400 {
			data := slices.Clone(whole)
			for range 1 + r.IntN(3) {
				data[r.IntN(len(data))] ^= 1 << r.IntN(8)
			}
			if r.IntN(4) == 0 {
				data = data[:r.IntN(len(data))]
			}
			m, ok := jpegMap(data)
			if !ok {
				continue
			}
			taken++
			img, err := jpeg.Decode(bytes.NewReader(data))
			require.NoError(t, err)
			require.Equal(t, img.Bounds().Size(), image.Pt(m.width, m.height))
		}
		t.Logf("%d of 400 damaged files still taken", taken)
	}
}

func grey(w, h int) image.Image {
	from := shapes(w, h)
	out := image.NewGray(from.Rect)
	for y := range h {
		for x := range w {
			out.Set(x, y, from.At(x, y))
		}
	}
	return out
}

func BenchmarkRead1600x1200(b *testing.B) {
	img, r := shapes(1600, 1200), rand.New(rand.NewPCG(5, 6))
	for i := range img.Pix { // the grain of a photo
		if i%4 != 3 {
			img.Pix[i] = uint8(min(max(int(img.Pix[i])+int(r.NormFloat64()*6), 0), 255))
		}
	}
	data := encodeJPEG(b, img)
	b.Logf("%d bytes", len(data))
	b.Run("Read", func(b *testing.B) {
		for b.Loop() {
			_, err := Read(data)
			require.NoError(b, err)
		}
	})
	b.Run("Read-on-all-processors", func(b *testing.B) { // a batch's time per photo
		b.RunParallel(func(pb *testing.PB) {
			for pb.Next() {
				_, err := Read(data)
				assert.NoError(b, err)
			}
		})
	})
	// What a hash library does before it can hash, with less work than most: they
	// scale colour by interpolation.
	b.Run("image-jpeg-and-box-filter", func(b *testing.B) {
		for b.Loop() {
			fingerprint(fullMap(b, data).contentGrid())
		}
	})
	b.Run("Thumbnail", func(b *testing.B) {
		for b.Loop() {
			_, _, _, err := Thumbnail(data, 240)
			require.NoError(b, err)
		}
	})
	b.Run("DC-terms-only", func(b *testing.B) {
		for b.Loop() {
			jpegMap(data)
		}
	})
}
