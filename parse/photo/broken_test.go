package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"image/gif"
	"image/jpeg"
	"math/bits"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/gen2brain/avif"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// TestBrokenFilesEndInErrorOrPicture reads the broken samples of image-rs
// jpeg-decoder and lovell/sharp. Where image/jpeg refuses a file, so must Read.
func TestBrokenFilesEndInErrorOrPicture(t *testing.T) {
	paths := files(t, reference+"/broken/*.jpg")
	need(t, len(paths) > 0, "the files of "+reference+"/broken")
	for _, path := range paths {
		data := read(t, path)
		p, err := Read(data)
		assertWhole(t, data, p, err)
		if Format(data) != JPEG {
			assert.Error(t, err, path)
			continue
		}
		img, other := jpeg.Decode(bytes.NewReader(data))
		if other != nil || img.Bounds().Empty() { // a height of 0 is no picture
			assert.Error(t, err, "%s: image/jpeg says %v", filepath.Base(path), other)
		} else {
			assert.NoError(t, err, path)
		}
	}
}

// assertWhole checks what holds of every result of Read.
func assertWhole(t *testing.T, data []byte, p listing.Photo, err error) {
	t.Helper()
	assert.Len(t, p.SHA256, 64)
	assert.Equal(t, int64(len(data)), p.Size)
	if err == nil {
		assert.Positive(t, p.Width)
		assert.Positive(t, p.Height)
		return
	}
	var e *Error
	require.True(t, errors.As(err, &e))
	assert.NotZero(t, e.Kind)
	assert.NotEmpty(t, e.Reason)
	assert.NotEmpty(t, e.Problem().Hint)
	assert.Zero(t, p.Width|p.Height)
	assert.False(t, p.Printed)
}

func encodeJPEG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var buf bytes.Buffer
	require.NoError(t, jpeg.Encode(&buf, img, nil))
	return buf.Bytes()
}

func encodeGIF(t testing.TB, img image.Image) []byte {
	t.Helper()
	var buf bytes.Buffer
	require.NoError(t, gif.Encode(&buf, img, nil))
	return buf.Bytes()
}

func encodeAVIF(t testing.TB, img image.Image) []byte {
	t.Helper()
	var buf bytes.Buffer
	require.NoError(t, avif.Encode(&buf, img))
	return buf.Bytes()
}

// convert makes a picture in a format that Go does not write.
func convert(t testing.TB, img image.Image, to string) []byte {
	t.Helper()
	path, err := exec.LookPath("convert")
	need(t, err == nil, "ImageMagick, apt-get install imagemagick")
	cmd := exec.Command(path, "png:-", to)
	cmd.Stdin = bytes.NewReader(encodePNG(t, img))
	out, err := cmd.Output()
	need(t, err == nil && len(out) > 0, "ImageMagick that writes "+to)
	return out
}

// TestShortenedFileIsAnError cuts files of each format at many places.
func TestShortenedFileIsAnError(t *testing.T) {
	img := shapes(96, 64)
	for name, make := range map[string]func() []byte{
		"jpeg": func() []byte { return encodeJPEG(t, img) },
		"png":  func() []byte { return encodePNG(t, img) },
		"gif":  func() []byte { return encodeGIF(t, img) },
		"progressive jpeg": func() []byte {
			return convert(t, img, "pjpeg:-")
		},
		"avif": func() []byte { return encodeAVIF(t, img) },
		"webp": func() []byte { return convert(t, img, "webp:-") },
	} {
		t.Run(name, func(t *testing.T) {
			data := make()
			whole, err := Read(data)
			require.NoError(t, err)
			assert.Equal(t, [2]int{96, 64}, [2]int{whole.Width, whole.Height})
			step := 1
			if name == "avif" {
				step = len(data)/5 + 1 // its decoder is slow to start
			}
			for n := 0; n < len(data); n += step {
				p, err := Read(data[:n])
				assertWhole(t, data[:n], p, err)
				// A file may end in bytes that say nothing, such as padding.
				if err == nil {
					assert.Equal(t, whole.Fingerprint, p.Fingerprint, "%d of %d bytes", n, len(data))
					assert.Greater(t, n, len(data)-3, "%d of %d bytes", n, len(data))
				}
			}
		})
	}
}

// TestFormatsAgree reads one picture in all formats.
func TestFormatsAgree(t *testing.T) {
	img := shapes(640, 600)
	want, err := Read(encodePNG(t, img))
	require.NoError(t, err)
	for format, data := range map[string][]byte{
		JPEG: encodeJPEG(t, img), GIF: encodeGIF(t, img), WebP: convert(t, img, "webp:-"), AVIF: encodeAVIF(t, img),
	} {
		got, err := Read(data)
		require.NoError(t, err, format)
		assert.Equal(t, format, got.Format)
		assert.LessOrEqual(t, bits.OnesCount64(want.Fingerprint^got.Fingerprint), 2, format)
		assert.LessOrEqual(t, bits.OnesCount64(want.Mirror^got.Mirror), 2, format)
	}
	flopped := image.NewRGBA(img.Rect)
	for y := range 600 {
		for x := range 640 {
			flopped.SetRGBA(639-x, y, img.RGBAAt(x, y))
		}
	}
	got, err := Read(encodePNG(t, flopped))
	require.NoError(t, err)
	assert.Equal(t, want.Fingerprint, got.Mirror)
	assert.Equal(t, want.Mirror, got.Fingerprint)
}

func TestReadRefuses(t *testing.T) {
	huge := encodePNG(t, image.NewGray(image.Rect(0, 0, 8, 8)))
	copy(huge[16:], []byte{0, 1, 0, 0, 0, 1, 0, 0}) // IHDR: 65536 x 65536
	changed := encodePNG(t, shapes(60, 60))
	changed[60] ^= 1
	patchCRC(huge)
	for name, tt := range map[string]struct {
		data   []byte
		kind   Kind
		reason string
	}{
		"empty":        {nil, NotImage, "the file is empty"},
		"page":         {[]byte("\xEF\xBB\xBF\n <!DOCTYPE html><title>404</title>"), NotImage, "the file holds markup, not a picture"},
		"text":         {[]byte("hello"), NotImage, "not a JPEG, PNG, GIF, WebP, AVIF or HEIC picture"},
		"heic":         {[]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), NotDecoded, "HEIC pictures are not decoded: only the hash of the bytes is compared"},
		"bomb":         {huge, TooLarge, "the picture has 65536 x 65536 pixels, more than the limit of 100 million"},
		"jpeg start":   {[]byte{0xFF, 0xD8, 0xFF}, Truncated, "the JPEG picture is cut short"},
		"png changed":  {changed, Damaged, "the PNG picture is damaged"},
		"avif rubbish": {[]byte("\x00\x00\x00\x18ftypavif\x00\x00\x00\x00mif1avif\x00\x00\x00\x08free"), Damaged, "the AVIF picture is damaged"},
	} {
		p, err := Read(tt.data)
		assertWhole(t, tt.data, p, err)
		var e *Error
		require.ErrorAs(t, err, &e, name)
		assert.Equal(t, tt.kind, e.Kind, name)
		assert.Equal(t, tt.reason, err.Error(), name)
	}
}

// TestGIFFrameIsPlacedOnItsScreen has a frame smaller than the screen.
func TestGIFFrameIsPlacedOnItsScreen(t *testing.T) {
	frame := image.NewPaletted(image.Rect(40, 20, 100, 80), color.Palette{color.White, color.Black})
	draw.Draw(frame, image.Rect(50, 30, 90, 70), image.Black, image.Point{}, draw.Src)
	var buf bytes.Buffer
	require.NoError(t, gif.EncodeAll(&buf, &gif.GIF{Image: []*image.Paletted{frame}, Delay: []int{0},
		Config: image.Config{Width: 200, Height: 120, ColorModel: frame.Palette}}))
	p, err := Read(buf.Bytes())
	require.NoError(t, err)
	assert.Equal(t, [2]int{200, 120}, [2]int{p.Width, p.Height})
	small, w, h, err := Thumbnail(buf.Bytes(), 100)
	require.NoError(t, err)
	assert.Equal(t, [2]int{100, 60}, [2]int{w, h})
	back, err := jpeg.Decode(bytes.NewReader(small))
	require.NoError(t, err)
	assert.Less(t, lumaOf(back.At(35, 25)), uint8(40))
	assert.Greater(t, lumaOf(back.At(80, 50)), uint8(230))
}

// patchCRC sets the checksum of a PNG's first chunk.
func patchCRC(png []byte) {
	binary.BigEndian.PutUint32(png[29:], crc32.ChecksumIEEE(png[12:29]))
}
