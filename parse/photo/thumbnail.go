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
	return smallCopy(data, maxSide, func(img image.Image, _ int) image.Image { return img })
}

// Crop gives a JPEG copy of a part of the picture, as displayed, like [Thumbnail].
// The part is cut to the picture; one that lies outside of it is an error.
func Crop(data []byte, part image.Rectangle, maxSide int) (jpegBytes []byte, w, h int, err error) {
	return smallCopy(data, maxSide, func(img image.Image, turn int) image.Image {
		b := img.Bounds()
		part := stored(part, turn, b.Dx(), b.Dy()).Add(b.Min).Intersect(b)
		whole, ok := img.(interface {
			SubImage(image.Rectangle) image.Image
		})
		if part.Empty() || !ok {
			return nil
		}
		return whole.SubImage(part)
	})
}

// smallCopy copies what of gives of the picture as it is stored; nil is an error.
func smallCopy(data []byte, maxSide int, of func(image.Image, int) image.Image) (jpegBytes []byte, w, h int, err error) {
	format := Format(data)
	if err := checkFormat(format, data); err != nil {
		return nil, 0, 0, err
	}
	img, err := decode(format, data)
	if err != nil {
		return nil, 0, 0, err
	}
	turn := orientation(format, data)
	if img = of(img, turn); img == nil {
		return nil, 0, 0, &Error{Kind: NotDecoded, Format: format, Reason: "there is no such part of the picture"}
	}
	small := oriented(shrink(img, max(1, maxSide)), turn)
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, small, &jpeg.Options{Quality: thumbnailQuality}); err != nil {
		return nil, 0, 0, decoderError(format, err)
	}
	return buf.Bytes(), small.Rect.Dx(), small.Rect.Dy(), nil
}

// stored gives where a part of a picture as displayed stands in the picture as
// stored, which is w x h pixels.
func stored(r image.Rectangle, orientation, w, h int) image.Rectangle {
	if orientation >= 5 && orientation <= 8 {
		r = image.Rect(r.Min.Y, r.Min.X, r.Max.Y, r.Max.X)
	}
	if orientation == 2 || orientation == 3 || orientation == 7 || orientation == 8 {
		r.Min.X, r.Max.X = w-r.Max.X, w-r.Min.X
	}
	if orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7 {
		r.Min.Y, r.Max.Y = h-r.Max.Y, h-r.Min.Y
	}
	return r
}

// Gray gives the luma (ITU-R BT.601) of the picture, as displayed, whose longer
// side has at most maxSide pixels; the picture is never enlarged. It also gives
// how many pixels of the picture one of the copy stands for. The error is an
// *Error.
func Gray(data []byte, maxSide int) (img *image.Gray, scale float64, err error) {
	format := Format(data)
	if err := checkFormat(format, data); err != nil {
		return nil, 0, err
	}
	full, err := decode(format, data)
	if err != nil {
		return nil, 0, err
	}
	long := max(full.Bounds().Dx(), full.Bounds().Dy())
	small := oriented(shrink(full, max(1, maxSide)), orientation(format, data))
	img = image.NewGray(small.Rect)
	for i := range img.Pix {
		p := small.Pix[4*i:]
		img.Pix[i] = uint8((299*int(p[0]) + 587*int(p[1]) + 114*int(p[2]) + 500) / 1000)
	}
	return img, float64(long) / float64(max(small.Rect.Dx(), small.Rect.Dy())), nil
}

// shrink averages the pixels under each pixel of the copy, on white. Of a picture
// in YCbCr it averages those and turns the means into colours.
func shrink(img image.Image, maxSide int) *image.RGBA {
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	if long := max(w, h); long > maxSide {
		w, h = max(1, (w*maxSide+long/2)/long), max(1, (h*maxSide+long/2)/long)
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	line := make([]uint8, 3*b.Dx())
	sums := make([]int, 3*w)
	ycc, isYCC := img.(*image.YCbCr)
	for y := range h {
		clear(sums)
		top, bottom := y*b.Dy()/h, (y+1)*b.Dy()/h
		for at := top; at < bottom; at++ {
			if isYCC {
				yccRow(line, ycc, b.Min.X, b.Min.Y+at)
			} else {
				rgbRow(line, img, b.Min.X, b.Min.Y+at)
			}
			from := 0
			for x := range w {
				to := 3 * ((x + 1) * b.Dx() / w)
				var s0, s1, s2 int
				for i := from; i+2 < to; i += 3 {
					s0 += int(line[i])
					s1 += int(line[i+1])
					s2 += int(line[i+2])
				}
				sums[3*x] += s0
				sums[3*x+1] += s1
				sums[3*x+2] += s2
				from = to
			}
		}
		for x := range w {
			n := (bottom - top) * ((x+1)*b.Dx()/w - x*b.Dx()/w)
			p, q, r := uint8((sums[3*x]+n/2)/n), uint8((sums[3*x+1]+n/2)/n), uint8((sums[3*x+2]+n/2)/n)
			if isYCC {
				p, q, r = color.YCbCrToRGB(p, q, r)
			}
			out.SetRGBA(x, y, color.RGBA{p, q, r, 255})
		}
	}
	return out
}

// yccRow fills row with the Y, Cb and Cr of line y.
func yccRow(row []uint8, img *image.YCbCr, x0, y int) {
	at := img.YOffset(x0, y)
	for i := 0; i < len(row); i += 3 {
		x := i / 3
		c := img.COffset(x0+x, y)
		row[i], row[i+1], row[i+2] = img.Y[at+x], img.Cb[c], img.Cr[c]
	}
}

// rgbRow fills row with the colours of line y, transparent pixels laid on white.
func rgbRow(row []uint8, img image.Image, x0, y int) {
	for i := 0; i < len(row); i += 3 {
		x := x0 + i/3
		switch img := img.(type) {
		case *image.NRGBA:
			p := img.Pix[img.PixOffset(x, y):]
			row[i], row[i+1], row[i+2] = onWhite(p[0], p[3]), onWhite(p[1], p[3]), onWhite(p[2], p[3])
		default:
			row[i], row[i+1], row[i+2] = whitened(img.At(x, y))
		}
	}
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
