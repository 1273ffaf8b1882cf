package photo

import (
	"image"
	"image/color"
)

// block is the side in pixels of the squares whose mean luma a large picture is
// reduced to. It is the size of a JPEG block, so that the DC terms of a JPEG
// file are such means already.
const block = 8

// smallSide is the shorter side in pixels below which a picture is not reduced:
// its blocks would be too few to compare.
const smallSide = 512

// meanUnit is the number of steps of a stored mean per luma step.
const meanUnit = 16

// lumaMap is a picture in grey, reduced to means of step x step pixels, 0 to 255
// counted in 1/meanUnit. The last column and row may stand for fewer pixels.
type lumaMap struct {
	width, height int // of the picture in pixels
	step          int
	cols, rows    int
	mean          []uint16
	// flipX and flipY say that the partial blocks stand at the left or the top.
	flipX, flipY bool
}

func newMap(width, height, step int) *lumaMap {
	cols, rows := (width+step-1)/step, (height+step-1)/step
	return &lumaMap{width: width, height: height, step: step, cols: cols, rows: rows, mean: make([]uint16, cols*rows)}
}

// stepFor gives the side of the blocks for a picture of that size.
func stepFor(width, height int) int {
	if min(width, height) < smallSide {
		return 1
	}
	return block
}

// reduce takes the block means of a decoded picture.
func reduce(img image.Image) *lumaMap {
	b := img.Bounds()
	m := newMap(b.Dx(), b.Dy(), stepFor(b.Dx(), b.Dy()))
	row := make([]uint8, m.width)
	sum := make([]int, m.cols)
	for r := range m.rows {
		clear(sum)
		top, bottom := r*m.step, min((r+1)*m.step, m.height)
		for y := top; y < bottom; y++ {
			lumaRow(row, img, b.Min.X, b.Min.Y+y)
			addRow(sum, row, m.step)
		}
		for c := range m.cols {
			n := (bottom - top) * (min((c+1)*m.step, m.width) - c*m.step)
			m.mean[r*m.cols+c] = uint16((sum[c]*meanUnit + n/2) / n)
		}
	}
	return m
}

func addRow(sum []int, row []uint8, step int) {
	for c := range sum {
		s := 0
		for _, v := range row[c*step : min((c+1)*step, len(row))] {
			s += int(v)
		}
		sum[c] += s
	}
}

// lumaRow fills row with the luma (ITU-R BT.601, as JFIF uses) of line y.
// Transparent pixels are laid on white.
func lumaRow(row []uint8, img image.Image, x0, y int) {
	switch img := img.(type) {
	case *image.YCbCr:
		copy(row, img.Y[img.YOffset(x0, y):])
	case *image.Gray:
		copy(row, img.Pix[img.PixOffset(x0, y):])
	case *image.NRGBA:
		pix := img.Pix[img.PixOffset(x0, y):]
		for x := range row {
			p := pix[4*x : 4*x+4]
			row[x] = luma(onWhite(p[0], p[3]), onWhite(p[1], p[3]), onWhite(p[2], p[3]))
		}
	default:
		for x := range row {
			row[x] = lumaOf(img.At(x0+x, y))
		}
	}
}

func onWhite(v, alpha uint8) uint8 {
	return uint8((int(v)*int(alpha) + 255*(255-int(alpha)) + 127) / 255)
}

func lumaOf(c color.Color) uint8 { return luma(whitened(c)) }

// whitened lays a colour on white.
func whitened(c color.Color) (r, g, b uint8) {
	r16, g16, b16, a := c.RGBA()
	white := 0xFFFF - a
	on := func(v uint32) uint8 { return uint8(min(v+white, 0xFFFF) >> 8) }
	return on(r16), on(g16), on(b16)
}

func luma(r, g, b uint8) uint8 {
	return uint8((19595*uint32(r) + 38470*uint32(g) + 7471*uint32(b) + 1<<15) >> 16)
}

// turn applies an EXIF orientation (1 to 8; anything else is 1).
func (m *lumaMap) turn(orientation int) *lumaMap {
	switch orientation {
	case 2:
		return m.mirrored()
	case 3:
		return m.mirrored().upended()
	case 4:
		return m.upended()
	case 5:
		return m.transposed()
	case 6: // stored picture must be turned clockwise
		return m.transposed().mirrored()
	case 7:
		return m.transposed().mirrored().upended()
	case 8:
		return m.transposed().upended()
	}
	return m
}

func (m *lumaMap) mirrored() *lumaMap {
	out := *m
	out.flipX = !m.flipX
	out.mean = make([]uint16, len(m.mean))
	for r := range m.rows {
		for c := range m.cols {
			out.mean[r*m.cols+c] = m.mean[r*m.cols+m.cols-1-c]
		}
	}
	return &out
}

func (m *lumaMap) upended() *lumaMap {
	out := *m
	out.flipY = !m.flipY
	out.mean = make([]uint16, 0, len(m.mean))
	for r := m.rows - 1; r >= 0; r-- {
		out.mean = append(out.mean, m.mean[r*m.cols:(r+1)*m.cols]...)
	}
	return &out
}

func (m *lumaMap) transposed() *lumaMap {
	out := *m
	out.width, out.height, out.cols, out.rows = m.height, m.width, m.rows, m.cols
	out.flipX, out.flipY = m.flipY, m.flipX
	out.mean = make([]uint16, len(m.mean))
	for r := range m.rows {
		for c := range m.cols {
			out.mean[c*out.cols+r] = m.mean[r*m.cols+c]
		}
	}
	return &out
}
