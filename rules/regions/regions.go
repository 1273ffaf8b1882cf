// Package regions tells whether one picture shows a part of another: a crop, a
// piece of a collage, a picture within a screenshot. Fingerprints find copies of
// whole pictures; this is the slower second look at a few pairs.
//
// The smaller picture is laid over the larger one in many sizes and places, both
// without their uneven light, first coarsely and then, where it seems to fit,
// finely. What is compared is the normalised cross-correlation.
package regions

import (
	"fmt"
	"math"
)

// Side is the longer side in pixels to which pictures are reduced before they
// are compared.
const Side = 320

// Least is the correlation from which two regions are the same. Over 43
// photographs 1,806 unrelated pairs stay below .71, and 120 of 129 crops from one
// side or corner that keep 50 to 90 % of each side reach it; see the test. Parts
// of one kind are more alike: in the demo, whose wheels are drawn alike, two
// different photographs came to .82, and plates and labels of different units to
// .75. Pieces of less than about a fifth of the larger picture are not looked
// for: smooth pictures fit into anything at that size.
const Least = 0.88

// Numbers of the search.
const (
	coarse      = 40   // longer side of the larger picture in the coarse search
	fine        = 220  // in the fine one
	leastSide   = 19   // of the smaller picture in the coarse search
	step        = 1.09 // between its sizes
	worthWhile  = 0.5  // coarse correlation from which a place is looked at finely
	evenness    = 8    // light is evened over a region of this share of the side
	leastSpread = 3.0  // luma steps, below which a picture is flat
)

// Luma is a grey picture, row by row.
type Luma struct {
	W, H int
	Pix  []uint8
}

// Picture is a picture prepared for comparison.
type Picture struct {
	luma   Luma
	coarse plane
	fine   plane
}

// Prepare readies a picture of at most Side pixels. It is nil for a picture that
// is flat or too small.
func Prepare(l Luma) *Picture {
	if l.W < leastSide || l.H < leastSide || len(l.Pix) != l.W*l.H || max(l.W, l.H) > 4*min(l.W, l.H) {
		return nil
	}
	p := &Picture{luma: l, coarse: evened(l, coarse), fine: evened(l, fine)}
	if p.coarse.spread() < leastSpread {
		return nil
	}
	return p
}

// Match says where a picture lies in another one.
type Match struct {
	Score    float64 // correlation, up to 1
	Mirrored bool
	// The part of the larger picture that the smaller one shows, as shares of its
	// width and height.
	Left, Top, Right, Bottom float64
}

// Covers is the share of the larger picture that the smaller one shows.
func (m *Match) Covers() float64 { return (m.Right - m.Left) * (m.Bottom - m.Top) }

// Where says in words which part of the larger picture the smaller one shows. own
// and other are what to call the two; within says that own is the larger one.
func (m *Match) Where(own, other string, within bool) string {
	text := own + " shows"
	if within {
		text, other = other+" fills", own
	}
	return fmt.Sprintf("%s %.0f %% of %s, from %.0f to %.0f %% of its width and from %.0f to %.0f %% of its height (correlation %.2f)",
		text, 100*m.Covers(), other, 100*m.Left, 100*m.Right, 100*m.Top, 100*m.Bottom, m.Score)
}

// Find looks for part in whole; ok is false when no place correlates enough.
func Find(part, whole *Picture) (best Match, ok bool) {
	for _, mirrored := range []bool{false, true} {
		piece := part.luma
		if mirrored {
			piece = mirror(piece)
		}
		at, score := search(piece, &whole.coarse)
		if score < worthWhile {
			continue
		}
		m := refine(piece, whole, at)
		m.Mirrored = mirrored
		if m.Score > best.Score {
			best = m
		}
	}
	return best, best.Score >= Least
}

func mirror(l Luma) Luma {
	out := Luma{l.W, l.H, make([]uint8, len(l.Pix))}
	for y := range l.H {
		for x := range l.W {
			out.Pix[y*l.W+x] = l.Pix[y*l.W+l.W-1-x]
		}
	}
	return out
}

// spot is a size and place of the smaller picture in a plane of the larger one.
type spot struct {
	long float64 // its longer side
	x, y int
}

// search tries all sizes and places in the coarse plane.
func search(piece Luma, in *plane) (best spot, score float64) {
	for long := float64(coarse); long >= leastSide; long /= step {
		t := template(piece, long, coarse)
		for y := 0; y+t.h <= in.h; y++ {
			for x := 0; x+t.w <= in.w; x++ {
				if s := in.correlate(&t, x, y); s > score {
					best, score = spot{long, x, y}, s
				}
			}
		}
	}
	return best, score
}

// refine tries sizes and places near a spot in the fine plane.
func refine(piece Luma, whole *Picture, at spot) (best Match) {
	ratio := float64(fine) / coarse
	in := &whole.fine
	for f := 0.92; f < 1.09; f += 0.02 {
		t := template(piece, at.long*ratio*f, fine)
		// The middle stays where it is.
		cx := int((float64(at.x)+sideOf(piece.W, piece, at.long)/2)*ratio) - t.w/2
		cy := int((float64(at.y)+sideOf(piece.H, piece, at.long)/2)*ratio) - t.h/2
		reach := int(ratio) + 2
		for y := max(0, cy-reach); y <= min(in.h-t.h, cy+reach); y++ {
			for x := max(0, cx-reach); x <= min(in.w-t.w, cx+reach); x++ {
				if s := in.correlate(&t, x, y); s > best.Score {
					best = Match{Score: s, Left: float64(x) / float64(in.w), Top: float64(y) / float64(in.h),
						Right: float64(x+t.w) / float64(in.w), Bottom: float64(y+t.h) / float64(in.h)}
				}
			}
		}
	}
	return best
}

// sideOf is the length of a side when the longer one is long.
func sideOf(side int, l Luma, long float64) float64 {
	return float64(side) * long / float64(max(l.W, l.H))
}

// plane is a picture without its uneven light, with sums over its rectangles.
type plane struct {
	w, h        int
	pix         []float32
	sum, square []float64 // (w+1) x (h+1)
}

// evened reduces a picture to a longer side and takes the mean of each pixel's
// surroundings from it.
func evened(l Luma, long int) plane {
	p := reduced(l, float64(long))
	p.even(max(2, long/evenness))
	p.sum, p.square = make([]float64, (p.w+1)*(p.h+1)), make([]float64, (p.w+1)*(p.h+1))
	for y := range p.h {
		var a, b float64
		for x := range p.w {
			v := float64(p.pix[y*p.w+x])
			a, b = a+v, b+v*v
			i := (y+1)*(p.w+1) + x + 1
			p.sum[i], p.square[i] = p.sum[i-p.w-1]+a, p.square[i-p.w-1]+b
		}
	}
	return p
}

// template is the smaller picture in one size, with mean 0 and length 1. Light is
// evened as in the plane it is laid on.
func template(l Luma, long float64, side int) plane {
	p := reduced(l, long)
	p.even(max(2, side/evenness))
	mean, n := 0.0, float64(len(p.pix))
	for _, v := range p.pix {
		mean += float64(v) / n
	}
	length := 0.0
	for i := range p.pix {
		p.pix[i] -= float32(mean)
		length += float64(p.pix[i]) * float64(p.pix[i])
	}
	if length = math.Sqrt(length); length < leastSpread*math.Sqrt(n) {
		return plane{w: p.w, h: p.h, pix: make([]float32, len(p.pix))} // correlates with nothing
	}
	for i := range p.pix {
		p.pix[i] /= float32(length)
	}
	return p
}

// reduced averages the pixels under each pixel of the copy.
func reduced(l Luma, long float64) plane {
	p := plane{w: max(1, int(sideOf(l.W, l, long)+0.5)), h: max(1, int(sideOf(l.H, l, long)+0.5))}
	p.pix = make([]float32, p.w*p.h)
	for y := range p.h {
		top := y * l.H / p.h
		bottom := max(top+1, (y+1)*l.H/p.h)
		for x := range p.w {
			left := x * l.W / p.w
			right := max(left+1, (x+1)*l.W/p.w)
			sum := 0
			for r := top; r < bottom; r++ {
				for _, v := range l.Pix[r*l.W+left : r*l.W+right] {
					sum += int(v)
				}
			}
			p.pix[y*p.w+x] = float32(sum) / float32((bottom-top)*(right-left))
		}
	}
	return p
}

// even takes from each pixel the mean of those within radius.
func (p *plane) even(radius int) {
	sums := make([]float64, (p.w+1)*(p.h+1))
	for y := range p.h {
		line := 0.0
		for x := range p.w {
			line += float64(p.pix[y*p.w+x])
			sums[(y+1)*(p.w+1)+x+1] = sums[y*(p.w+1)+x+1] + line
		}
	}
	for y := range p.h {
		top, bottom := max(0, y-radius), min(p.h, y+radius+1)
		for x := range p.w {
			left, right := max(0, x-radius), min(p.w, x+radius+1)
			sum := rectangle(sums, p.w+1, left, top, right, bottom)
			p.pix[y*p.w+x] -= float32(sum / float64((bottom-top)*(right-left)))
		}
	}
}

func rectangle(sums []float64, stride, left, top, right, bottom int) float64 {
	return sums[bottom*stride+right] - sums[top*stride+right] - sums[bottom*stride+left] + sums[top*stride+left]
}

func (p *plane) spread() float64 {
	n := float64(len(p.pix))
	mean := p.sum[len(p.sum)-1] / n
	return math.Sqrt(max(0, p.square[len(p.square)-1]/n-mean*mean))
}

// correlate is the normalised cross-correlation of a template with the region
// under it, 0 where the region is flat.
func (p *plane) correlate(t *plane, x, y int) float64 {
	n := float64(t.w * t.h)
	sum := rectangle(p.sum, p.w+1, x, y, x+t.w, y+t.h)
	variance := rectangle(p.square, p.w+1, x, y, x+t.w, y+t.h) - sum*sum/n
	if variance < leastSpread*leastSpread*n {
		return 0
	}
	var dot float32
	for r := range t.h {
		row := p.pix[(y+r)*p.w+x : (y+r)*p.w+x+t.w]
		for i, v := range t.pix[r*t.w : (r+1)*t.w] {
			dot += row[i] * v
		}
	}
	return float64(dot) / math.Sqrt(variance)
}
