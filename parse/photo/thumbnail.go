package photo

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
)

// thumbnailQuality is the JPEG quality of thumbnails.
const thumbnailQuality = 80

// Thumbnail gives a JPEG copy of the picture, as displayed, whose longer side
// has at most maxSide pixels (the picture is never enlarged), and the copy's
// size. The same bytes always give the same copy. The error is an *Error.
func Thumbnail(data []byte, maxSide int) (jpegBytes []byte, w, h int, err error) {
	format := Format(data)
	if err := checkFormat(format, data); err != nil {
		return nil, 0, 0, err
	}
	img, err := decode(format, data)
	if err != nil {
		return nil, 0, 0, err
	}
	small := oriented(shrink(img, max(1, maxSide)), orientation(format, data))
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, small, &jpeg.Options{Quality: thumbnailQuality}); err != nil {
		return nil, 0, 0, decoderError(format, err)
	}
	return buf.Bytes(), small.Rect.Dx(), small.Rect.Dy(), nil
}

// shrink averages the pixels under each pixel of the copy, on white.
func shrink(img image.Image, maxSide int) *image.RGBA {
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	if long := max(w, h); long > maxSide {
		w, h = max(1, (w*maxSide+long/2)/long), max(1, (h*maxSide+long/2)/long)
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		y0, y1 := y*b.Dy()/h, (y+1)*b.Dy()/h
		for x := range w {
			x0, x1 := x*b.Dx()/w, (x+1)*b.Dx()/w
			out.SetRGBA(x, y, average(img, image.Rect(x0, y0, x1, y1).Add(b.Min)))
		}
	}
	return out
}

func average(img image.Image, box image.Rectangle) color.RGBA {
	var r, g, b, n uint64
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			pr, pg, pb, pa := img.At(x, y).RGBA()
			white := 0xFFFF - pa
			r, g, b, n = r+uint64(pr+white), g+uint64(pg+white), b+uint64(pb+white), n+1
		}
	}
	return color.RGBA{uint8(r / n >> 8), uint8(g / n >> 8), uint8(b / n >> 8), 255}
}

// oriented turns a picture as its EXIF orientation says.
func oriented(img *image.RGBA, orientation int) *image.RGBA {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	if orientation < 2 || orientation > 8 {
		return img
	}
	ow, oh := w, h
	if orientation >= 5 {
		ow, oh = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, ow, oh))
	for y := range oh {
		for x := range ow {
			sx, sy := x, y
			switch orientation {
			case 2:
				sx = w - 1 - x
			case 3:
				sx, sy = w-1-x, h-1-y
			case 4:
				sy = h - 1 - y
			case 5:
				sx, sy = y, x
			case 6:
				sx, sy = y, h-1-x
			case 7:
				sx, sy = w-1-y, h-1-x
			case 8:
				sx, sy = w-1-y, x
			}
			out.SetRGBA(x, y, img.RGBAAt(sx, sy))
		}
	}
	return out
}
