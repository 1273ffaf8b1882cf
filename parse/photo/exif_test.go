package photo

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math/bits"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestOrientationIsObeyed reads the samples of recurser/exif-orientation-examples:
// one picture stored in each of the eight orientations.
func TestOrientationIsObeyed(t *testing.T) {
	for name, size := range map[string][2]int{"Landscape": {1800, 1200}, "Portrait": {1200, 1800}} {
		paths := files(t, reference+"/exif/"+name+"_[0-8].jpg")
		need(t, len(paths) > 0, "the files of "+reference+"/exif")
		first, err := Read(read(t, paths[1]))
		require.NoError(t, err)
		for _, path := range paths {
			data := read(t, path)
			p, err := Read(data)
			require.NoError(t, err)
			assert.Equal(t, size, [2]int{p.Width, p.Height}, path)
			assert.LessOrEqual(t, bits.OnesCount64(first.Fingerprint^p.Fingerprint), 4, path)
			_, w, h, err := Thumbnail(data, 300)
			require.NoError(t, err)
			assert.Equal(t, [2]int{size[0] / 6, size[1] / 6}, [2]int{w, h}, path)
		}
	}
}

// TestEXIFAgreesWithExiftool compares with ExifTool (Debian
// libimage-exiftool-perl) over the samples of ianare/exif-samples.
func TestEXIFAgreesWithExiftool(t *testing.T) {
	paths := files(t, reference+"/exif/*.jpg")
	need(t, len(paths) > 0, "the files of "+reference+"/exif")
	_, err := exec.LookPath("exiftool")
	need(t, err == nil, "exiftool, apt-get install libimage-exiftool-perl")
	out, err := exec.Command("exiftool", append([]string{"-json", "-n", "-a", "-EXIF:DateTimeOriginal", "-EXIF:CreateDate",
		"-EXIF:Make", "-EXIF:Model", "-EXIF:Software", "-EXIF:GPSLatitude"}, paths...)...).Output()
	require.NoError(t, err)
	var tags []map[string]any
	require.NoError(t, json.Unmarshal(out, &tags))
	require.Len(t, tags, len(paths))
	for i, path := range paths {
		got, err := ReadEXIF(read(t, path))
		text := func(name string) string {
			if v, ok := tags[i][name]; ok {
				return strings.TrimSpace(fmt.Sprint(v))
			}
			return ""
		}
		name := filepath.Base(path)
		if err != nil {
			t.Logf("%s: %v", name, err)
		}
		assert.Equal(t, taken(text("DateTimeOriginal"), text("CreateDate")), got.Taken, name)
		if name != "WWL_(Polaroid)_ION230.jpg" { // imagemeta reads on after the NUL that ends the model
			assert.Equal(t, device(text("Make"), text("Model")), got.Device, name)
		}
		assert.Equal(t, text("Software"), got.Software, name)
		_, location := tags[i]["GPSLatitude"]
		assert.Equal(t, location, got.HasLocation, name)
	}
}

func TestThumbnailIsDeterministicAndBounded(t *testing.T) {
	data := encodePNG(t, shapes(300, 200))
	a, w, h, err := Thumbnail(data, 120)
	require.NoError(t, err)
	b, _, _, err := Thumbnail(data, 120)
	require.NoError(t, err)
	assert.Equal(t, a, b)
	cfg, err := jpeg.DecodeConfig(bytes.NewReader(a))
	require.NoError(t, err)
	assert.Equal(t, [4]int{120, 80, 120, 80}, [4]int{w, h, cfg.Width, cfg.Height})
	_, w, h, err = Thumbnail(data, 5000)
	require.NoError(t, err)
	assert.Equal(t, [2]int{300, 200}, [2]int{w, h})
}

// TestAVIFRotationIsRead has the box alone: no encoder at hand writes it.
func TestAVIFRotationIsRead(t *testing.T) {
	for angle, want := range []int{1, 8, 3, 6} {
		assert.Equal(t, want, orientation(AVIF, append([]byte("....\x00\x00\x00\x09irot"), byte(angle))))
	}
	assert.Equal(t, 1, orientation(AVIF, []byte("\x00\x00\x00\x09irot")))
	assert.True(t, mirroredAVIF([]byte("\x00\x00\x00\x09imir\x00")))
}

// ExifTool (Debian libimage-exiftool-perl) writes the number of the camera's
// body as EXIF 2.3 has it, BodySerialNumber.
func TestCameraByItsNumber(t *testing.T) {
	_, err := exec.LookPath("exiftool")
	need(t, err == nil, "exiftool, apt-get install libimage-exiftool-perl")
	camera := func(side int, args ...string) string {
		var buf bytes.Buffer
		require.NoError(t, jpeg.Encode(&buf, shapes(side, side), nil))
		name := filepath.Join(t.TempDir(), "a.jpg")
		require.NoError(t, os.WriteFile(name, buf.Bytes(), 0o600))
		out, err := exec.Command("exiftool", append(args, name)...).CombinedOutput()
		require.NoError(t, err, string(out))
		p, err := Read(read(t, name))
		require.NoError(t, err)
		return p.Camera
	}
	one := camera(100, "-Make=Invented", "-Model=P7", "-ExifIFD:SerialNumber=A1047733")
	assert.Regexp(t, "^[0-9a-f]{16}$", one)
	assert.Equal(t, one, camera(140, "-Make=Invented", "-Model=P7", "-ExifIFD:SerialNumber=A1047733"))
	assert.NotEqual(t, one, camera(100, "-Make=Invented", "-Model=P7", "-ExifIFD:SerialNumber=A1047734"))
	assert.NotEqual(t, one, camera(100, "-Make=Invented", "-Model=P8", "-ExifIFD:SerialNumber=A1047733"))
	assert.Empty(t, camera(100, "-Make=Invented", "-Model=P7", "-ExifIFD:SerialNumber=00000000"))
	assert.Empty(t, camera(100, "-Make=Invented", "-Model=P7"))
}

// A part of a picture as displayed is found in the picture as stored: each of its
// pixels is one of those that turning shows there.
func TestPartOfATurnedPicture(t *testing.T) {
	const w, h = 11, 7
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetRGBA(x, y, color.RGBA{uint8(x), uint8(y), 0, 255})
		}
	}
	for orientation := range 10 {
		shown := oriented(img, orientation)
		part := image.Rect(1, 2, 4, 6)
		at := stored(part, orientation, w, h)
		assert.Equal(t, part.Dx()*part.Dy(), at.Dx()*at.Dy(), orientation)
		for y := part.Min.Y; y < part.Max.Y; y++ {
			for x := part.Min.X; x < part.Max.X; x++ {
				c := shown.RGBAAt(x, y)
				assert.True(t, image.Pt(int(c.R), int(c.G)).In(at), "orientation %d, %d,%d", orientation, x, y)
			}
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	_, gw, gh, err := Crop(b.Bytes(), image.Rect(-5, 2, 6, 100), 300)
	require.NoError(t, err)
	assert.Equal(t, [2]int{6, 5}, [2]int{gw, gh}, "cut to the picture")
	_, _, _, err = Crop(b.Bytes(), image.Rect(20, 2, 30, 5), 300)
	assert.Error(t, err)
}

// Means of Y, Cb and Cr give the colours that means of colours give, but for what
// rounding leaves and for strong colours, of which what lies out of bounds is cut from
// the mean instead of from each pixel: checked against image/color's own
// conversion, pixel by pixel.
func TestSmallCopyOfAJPEGHasItsColours(t *testing.T) {
	img, err := jpeg.Decode(bytes.NewReader(encodeJPEG(t, shapes(320, 240))))
	require.NoError(t, err)
	part := img.(*image.YCbCr).SubImage(image.Rect(16, 8, 304, 232))
	small := shrink(part, 36)
	require.Equal(t, image.Rect(0, 0, 36, 28), small.Rect)
	for y := range 28 {
		for x := range 36 {
			var sum [3]int
			for v := range 8 {
				for u := range 8 {
					r, g, b, _ := part.At(16+8*x+u, 8+8*y+v).RGBA()
					sum[0], sum[1], sum[2] = sum[0]+int(r>>8), sum[1]+int(g>>8), sum[2]+int(b>>8)
				}
			}
			c := small.RGBAAt(x, y)
			for i, got := range []uint8{c.R, c.G, c.B} {
				assert.InDelta(t, sum[i]/64, got, 8, "%d,%d", x, y)
			}
		}
	}
}
