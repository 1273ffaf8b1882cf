package photo

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	"math"
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
	for _, little := range []bool{false, true} {
		f.Add(located(little, func(order binary.AppendByteOrder) []tag {
			return []tag{{1, typeASCII, 2, []byte("S\x00")}, {2, typeRational, 3, rationals(order, 48, 1, 8, 1, 1325, 100)},
				{3, typeASCII, 2, []byte("E\x00")}, {4, typeRational, 3, rationals(order, 11, 1, 34, 1, 3178, 100)}}
		}))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		e, _ := ReadEXIF(data)
		assert.LessOrEqual(t, len(e.Device)+len(e.Software), 3*3*maxTagSize)
		o := orientation(Format(data), data)
		assert.True(t, o >= 1 && o <= 8)
		p := Position(data)
		assert.Equal(t, e.HasLocation, p != nil)
		if p != nil {
			assert.True(t, math.Abs(p.Latitude) <= 90 && math.Abs(p.Longitude) <= 180)
		}
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
