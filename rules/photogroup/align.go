package photogroup

import (
	"math"

	"counterfoil/parse/listing"
)

// Two pictures of which one may be a crop of the other are laid over each other
// in their grey steps: in some sizes and places coarsely, then finer and finer
// around the best. What is compared is the normalised cross-correlation, of the
// steps as they are and then of the steps without the mean of their surroundings,
// which tells things of one shape apart.
const (
	gridSide    = listing.DetailSide
	coarseSide  = gridSide / 2
	leastCommon = 0.55 // of the cells of the first picture that both must show
	leastSpread = 4.0  // steps of grey, below which a part is flat
	worthWhile  = 0.5  // coarse correlation from which finer steps are made
	surrounding = 4    // cells on each side of a cell, over which light is evened

	// LeastPlain and LeastEvened are the correlations from which two pictures are
	// copies of one another. Things of one kind are the hard case: of the pairs of
	// different plates and box labels of the demo, which differ in their lettering
	// and ground only, the likest reach .98 plain with .84 evened, or .91 with .91;
	// of crops by 10 %, one in twenty stays below .94 evened.
	LeastPlain  = 0.95
	LeastEvened = 0.935

	// SureBits is the distance of fingerprints up to which nothing more is asked.
	// Where they are near, but not so near, less is enough than for crops:
	// it keeps most copies that were turned by 3 degrees or have a watermark across.
	SureBits   = 5
	nearPlain  = 0.85
	nearEvened = 0.75
)

// plane is a picture's grey steps in three forms.
type plane struct {
	full, evened [gridSide * gridSide]float32
	coarse       [coarseSide * coarseSide]float32
}

// newPlane prepares a picture, or its mirror image.
func newPlane(d *listing.Detail, mirrored bool) *plane {
	p := &plane{}
	for y := range gridSide {
		for x := range gridSide {
			from := x
			if mirrored {
				from = gridSide - 1 - x
			}
			v := float32(d.Luma[y*gridSide+from])
			p.full[y*gridSide+x] = v
			p.coarse[y/2*coarseSide+x/2] += v / 4
		}
	}
	for y := range gridSide {
		for x := range gridSide {
			sum, n := float32(0), float32(0)
			for r := max(0, y-surrounding); r <= min(gridSide-1, y+surrounding); r++ {
				for c := max(0, x-surrounding); c <= min(gridSide-1, x+surrounding); c++ {
					sum += p.full[r*gridSide+c]
					n++
				}
			}
			p.evened[y*gridSide+x] = p.full[y*gridSide+x] - sum/n
		}
	}
	return p
}

// axis carries a place along one side of the first picture, 0 to 1, to the
// second's: size times the place, plus shift.
type axis struct{ size, shift float64 }

// starts are the sizes and places that are tried first: crops of 10 and 20 % from
// either end or both, of the second picture and of the first.
var starts = func() (list []axis) {
	list = append(list, axis{1, 0})
	for _, size := range []float64{.8, .9, 1 / .9, 1 / .8} {
		for _, at := range []float64{0, .5, 1} {
			list = append(list, axis{size, at * (1 - size)})
		}
	}
	return list
}()

// common is the part of the first picture's side that lies within the second.
func (a axis) common() (from, to float64) {
	return max(0, -a.shift/a.size), min(1, (1-a.shift)/a.size)
}

// tap is where a cell of the first picture lies between two of the second.
type tap struct {
	cell   int
	beyond float32
}

// taps fills in the cells whose middle lies in the second picture, from first on.
func (a axis) taps(n int, out *[gridSide]tap) (first, count int) {
	for i := range n {
		u := a.size*(float64(i)+.5)/float64(n) + a.shift
		if u < 0 || u > 1 {
			continue
		}
		if count == 0 {
			first = i
		}
		at := min(max(u*float64(n)-.5, 0), float64(n)-1.001)
		out[i] = tap{int(at), float32(at - math.Floor(at))}
		count++
	}
	return first, count
}

// correlate is the correlation of the parts of two grids that lie on each other,
// -1 when they are too small or flat.
func correlate(a, b []float32, n int, x, y axis) float64 {
	var across, down [gridSide]tap
	left, w := x.taps(n, &across)
	top, h := y.taps(n, &down)
	if float64(w*h) < leastCommon*float64(n*n) {
		return -1
	}
	var sa, sb, saa, sbb, sab float32
	for r := top; r < top+h; r++ {
		t := down[r]
		upper, lower := b[t.cell*n:(t.cell+1)*n], b[(t.cell+1)*n:(t.cell+2)*n]
		own := a[r*n+left : r*n+left+w]
		for i, u := range across[left : left+w] {
			over := upper[u.cell] + u.beyond*(upper[u.cell+1]-upper[u.cell])
			under := lower[u.cell] + u.beyond*(lower[u.cell+1]-lower[u.cell])
			vb, va := over+t.beyond*(under-over), own[i]
			sa, sb = sa+va, sb+vb
			saa, sbb, sab = saa+va*va, sbb+vb*vb, sab+va*vb
		}
	}
	k := float64(w * h)
	varA, varB := float64(saa)-float64(sa)*float64(sa)/k, float64(sbb)-float64(sb)*float64(sb)/k
	if least := leastSpread * leastSpread * k; varA < least || varB < least {
		return -1
	}
	return (float64(sab) - float64(sa)*float64(sb)/k) / math.Sqrt(varA*varB)
}

// align lays b over a. ok is false when they do not correlate by so much.
func align(a, b *plane, leastPlain, leastEvened float64) (o Overlap, ok bool) {
	best, x, y := -1.0, axis{}, axis{}
	for _, sx := range starts {
		for _, sy := range starts {
			if s := correlate(a.coarse[:], b.coarse[:], coarseSide, sx, sy); s > best {
				best, x, y = s, sx, sy
			}
		}
	}
	if best < worthWhile {
		return o, false
	}
	if best, x, y = improve(a.full[:], b.full[:], x, y, .03); best < leastPlain {
		return o, false
	}
	evened := -1.0
	if evened, x, y = improve(a.evened[:], b.evened[:], x, y, .015); evened < leastEvened {
		return o, false
	}
	left, right := x.common()
	top, bottom := y.common()
	of := (right - left) * (bottom - top)
	return Overlap{Score: evened, OfCentre: min(1, of), OfMember: min(1, of*x.size*y.size)}, true
}

// improve changes sizes and places as long as the correlation grows, by step and
// then by half of it, and so on.
func improve(a, b []float32, x, y axis, step float64) (float64, axis, axis) {
	best := correlate(a, b, gridSide, x, y)
	for ; step > .003; step /= 2 {
		for moved, n := true, 0; moved && n < 4; n++ {
			moved = false
			for _, d := range []float64{step, -step} {
				for k := range 4 {
					nx, ny := x, y
					switch k {
					case 0:
						nx.shift += d
					case 1:
						ny.shift += d
					case 2:
						nx.size, nx.shift = nx.size+d, nx.shift-d/2
					case 3:
						ny.size, ny.shift = ny.size+d, ny.shift-d/2
					}
					if s := correlate(a, b, gridSide, nx, ny); s > best {
						best, x, y, moved = s, nx, ny, true
					}
				}
			}
		}
	}
	return best, x, y
}

// view is a picture whose plane is made when it is first asked for.
type view struct {
	detail *listing.Detail
	plane  *plane
}

// like confirms that a picture whose fingerprint is near is a copy. Without
// detail of both there is nothing to confirm it by, and it is taken for one.
func (v *view) like(d *listing.Detail, mirrored bool) bool {
	if v.detail == nil || d == nil {
		return true
	}
	if v.plane == nil {
		v.plane = newPlane(v.detail, false)
	}
	_, ok := align(v.plane, newPlane(d, mirrored), nearPlain, nearEvened)
	return ok
}
