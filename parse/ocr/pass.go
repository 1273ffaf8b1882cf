package ocr

import (
	"context"
	"image"

	"golang.org/x/image/draw"

	"counterfoil/parse/listing"
	"counterfoil/parse/photo"
)

// passVersion names the passes; another version is not read from a shelf.
const passVersion = "1"

// pass is one way of showing a picture to the program.
type pass struct {
	layout int // see recognise
	turn   int // degrees clockwise: 0, 90, 270
	size   int // of the longer side in pixels
	even   bool
	after  int // number of the pass that must have found lettering, or 0
}

// passes in the order in which they are tried. The first two must agree or be
// settled; the others follow only when they do not settle a plate or label.
var passes = []pass{
	{layout: 11, size: 1000},
	{layout: 6, size: 1400},
	{layout: 11, size: 1400, even: true},
	{layout: 11, size: 1000, turn: 90},
	{layout: 11, size: 1000, turn: 270},
	{layout: 6, size: 1400, turn: 90, after: 3},
	{layout: 6, size: 1400, turn: 270, after: 4},
}

// Numbers of passes: those that every picture with lettering gets, and those
// that a picture gets whose view is not known and that shows no number.
const (
	alwaysPasses = 2
	unsurePasses = 1
)

// memory is what is kept of a picture: the words of the passes done so far.
type memory struct {
	Passes [][]word `json:"passes"`
}

// passes shows the picture in one way after the other until enough is read, and
// gives the words of the passes that it took. known says that the picture is
// known to show a plate or label. What is given does not depend on how much was
// kept before.
func (e *Engine) passes(ctx context.Context, m *memory, known bool, pat Patterns, open func() ([]byte, error)) ([][]word, error) {
	if len(m.Passes) > len(passes) {
		m.Passes = nil
	}
	var img *image.Gray
	var scale float64
	for n := range passes {
		if enough(m.Passes[:n], known, pat) {
			return m.Passes[:n], nil
		}
		if n < len(m.Passes) {
			continue
		}
		if at := passes[n].after; at > 0 && !lettered(m.Passes[at]) {
			m.Passes = append(m.Passes, nil)
			continue
		}
		if img == nil {
			data, err := open()
			if err != nil {
				return m.Passes, err
			}
			if img, scale, err = photo.Gray(data, maxInput); err != nil {
				return m.Passes, err
			}
		}
		words, err := e.show(ctx, img, scale, passes[n])
		if err != nil {
			return m.Passes, err
		}
		m.Passes = append(m.Passes, words)
	}
	return m.Passes, nil
}

// maxInput is the longer side to which a picture is reduced before all passes.
const maxInput = 2000

// enough says whether the passes done are enough.
func enough(done [][]word, known bool, pat Patterns) bool {
	if n := len(done); n < alwaysPasses {
		return !known && n >= unsurePasses && !lettered(done[0])
	}
	sure := map[listing.Name]bool{}
	for _, r := range readings(done, listing.ViewSerialPlate, pat) {
		if r.Confidence >= listing.SureReading {
			sure[r.Field] = true
		}
	}
	return sure[listing.PlateSerial] && sure[listing.PlatePartNumber]
}

// lettered says whether the first pass found what may be a plate or label: some
// words that were read well, one of them with digits.
func lettered(words []word) bool {
	good, numbers := 0, 0
	for _, w := range words {
		if w.Conf >= 0.5 && signs(w.Text) >= 3 {
			good++
			if digits(w.Text) >= 3 {
				numbers++
			}
		}
	}
	return good >= 2 && numbers > 0
}

// show gives the words of one pass, with their places in the picture as
// displayed. scale is how many of its pixels one of img stands for.
func (e *Engine) show(ctx context.Context, img *image.Gray, scale float64, p pass) ([]word, error) {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	f := float64(p.size) / float64(max(w, h))
	shown := image.NewGray(image.Rect(0, 0, max(1, int(float64(w)*f)), max(1, int(float64(h)*f))))
	draw.CatmullRom.Scale(shown, shown.Rect, img, img.Rect, draw.Src, nil)
	if p.even {
		shown = evened(shown)
	}
	words, err := e.recognise(ctx, turned(shown, p.turn), p.layout)
	if err != nil {
		return nil, err
	}
	back := func(v int) int { return int(float64(v)*scale/f + 0.5) }
	for i := range words {
		b := unturned(words[i].Box, p.turn, shown.Rect.Dx(), shown.Rect.Dy())
		words[i].Box = listing.Box{Left: back(b.Left), Top: back(b.Top), Right: back(b.Right), Bottom: back(b.Bottom)}
	}
	return words, nil
}

// turned turns a picture clockwise by 0, 90 or 270 degrees.
func turned(img *image.Gray, degrees int) *image.Gray {
	if degrees == 0 {
		return img
	}
	w, h := img.Rect.Dx(), img.Rect.Dy()
	out := image.NewGray(image.Rect(0, 0, h, w))
	for y := range h {
		for x := range w {
			tx, ty := h-1-y, x
			if degrees == 270 {
				tx, ty = y, w-1-x
			}
			out.Pix[ty*out.Stride+tx] = img.Pix[y*img.Stride+x]
		}
	}
	return out
}

// unturned gives the place, in a picture of w x h, of a box in the turned one.
func unturned(b listing.Box, degrees, w, h int) listing.Box {
	switch degrees {
	case 90:
		return listing.Box{Left: b.Top, Top: h - b.Right, Right: b.Bottom, Bottom: h - b.Left}
	case 270:
		return listing.Box{Left: w - b.Bottom, Top: b.Left, Right: w - b.Top, Bottom: b.Right}
	}
	return b
}

// evened takes uneven light out of a picture: each pixel is set against the mean
// of its surroundings, and the result is stretched.
func evened(img *image.Gray) *image.Gray {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	sums := make([]int64, (w+1)*(h+1))
	for y := range h {
		line := int64(0)
		for x := range w {
			line += int64(img.Pix[y*img.Stride+x])
			sums[(y+1)*(w+1)+x+1] = sums[y*(w+1)+x+1] + line
		}
	}
	r := max(8, max(w, h)/24)
	out := image.NewGray(img.Rect)
	for y := range h {
		top, bottom := max(0, y-r), min(h, y+r+1)
		for x := range w {
			left, right := max(0, x-r), min(w, x+r+1)
			sum := sums[bottom*(w+1)+right] - sums[top*(w+1)+right] - sums[bottom*(w+1)+left] + sums[top*(w+1)+left]
			mean := sum / int64((bottom-top)*(right-left))
			out.Pix[y*out.Stride+x] = uint8(min(max(160+2*(int64(img.Pix[y*img.Stride+x])-mean), 0), 255))
		}
	}
	return out
}
