package photo

import (
	"bytes"
	"image"
	"image/jpeg"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func addSeeds(f *testing.F) {
	small := shapes(40, 30)
	for _, data := range [][]byte{encodeJPEG(f, small), encodePNG(f, small), encodeGIF(f, small), encodeJPEG(f, shapes(520, 512)),
		[]byte("RIFF\x10\x00\x00\x00WEBPVP8L\x04\x00\x00\x00\x2f\x00\x00\x00"),
		[]byte("\x00\x00\x00\x18ftypavif\x00\x00\x00\x00mif1avif"), []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic")} {
		f.Add(data)
	}
	// Small seeds let the fuzzer get on.
	for _, path := range append(files(f, reference+"/broken/*.jpg"), files(f, reference+"/exif/[FKNO]*.jpg")...) {
		f.Add(read(f, path))
	}
}

func FuzzRead(f *testing.F) {
	addSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		if Format(data) == AVIF {
			t.Skip("too slow to fuzz here")
		}
		p, err := Read(data)
		assertWhole(t, data, p, err)
	})
}

func FuzzReadEXIF(f *testing.F) {
	addSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		e, _ := ReadEXIF(data)
		assert.LessOrEqual(t, len(e.Device)+len(e.Software), 3*3*maxTagSize)
		o := orientation(Format(data), data)
		assert.True(t, o >= 1 && o <= 8)
	})
}

func FuzzDCTerms(f *testing.F) {
	addSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		m, ok := jpegMap(data)
		if !ok || m.width*m.height > 4_000_000 {
			return
		}
		img, err := jpeg.Decode(bytes.NewReader(data))
		require.NoError(t, err)
		require.Equal(t, img.Bounds().Size(), image.Pt(m.width, m.height))
	})
}
