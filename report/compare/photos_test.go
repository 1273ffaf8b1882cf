package compare

import (
	"bytes"
	"image"
	"image/jpeg"
	"math/bits"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/parse/photo"
	"counterfoil/rules/photogroup"
)

// cropped cuts a strip of a share of the width off the left of a picture, by the
// standard library.
func cropped(t *testing.T, data []byte, share float64) []byte {
	im, err := jpeg.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	r := im.Bounds()
	r.Min.X += int(share * float64(r.Dx()))
	var out bytes.Buffer
	require.NoError(t, jpeg.Encode(&out, im.(interface {
		SubImage(image.Rectangle) image.Image
	}).SubImage(r), &jpeg.Options{Quality: 90}))
	return out.Bytes()
}

// A photo that was only cropped is no other one, although its fingerprint is far
// off; where one side keeps no more than fingerprints, as a casebook does, they
// decide.
func TestCroppedPhotosAreKept(t *testing.T) {
	files, err := filepath.Glob("../../fixtures/demo/photos/*.jpg")
	require.NoError(t, err)
	require.Greater(t, len(files), 30)
	told := 0
	for _, file := range files[:30] {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		whole, err := photo.Read(data)
		require.NoError(t, err)
		part, err := photo.Read(cropped(t, data, .1))
		require.NoError(t, err)
		if bits.OnesCount64(whole.Fingerprint^part.Fingerprint) <= photogroup.DefaultBound {
			continue
		}
		told++
		assert.Empty(t, unlike([]*listing.Photo{&whole}, []*listing.Photo{&part}), file)
		bare := part
		bare.Detail = nil
		assert.Len(t, unlike([]*listing.Photo{&whole}, []*listing.Photo{&bare}), 1, file)
	}
	require.Positive(t, told, "some crops are beyond what fingerprints tell")
}
