package photo

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func encodePNG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var buf bytes.Buffer
	require.NoError(t, png.Encode(&buf, img))
	return buf.Bytes()
}

func TestFlatPictureHasNoFingerprint(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 300, 300))
	for i := range img.Pix {
		img.Pix[i] = 200 + uint8(i%3)
	}
	p, err := Read(encodePNG(t, img))
	require.NoError(t, err)
	assert.False(t, p.Printed)
	assert.Equal(t, [2]int{300, 300}, [2]int{p.Width, p.Height})
	for y := 100; y < 200; y++ {
		for x := 100; x < 250; x++ {
			img.SetGray(x, y, color.Gray{Y: 40})
		}
	}
	p, err = Read(encodePNG(t, img))
	require.NoError(t, err)
	assert.True(t, p.Printed)
}
