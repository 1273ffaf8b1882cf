package photo

import (
	"math"

	"counterfoil/parse/listing"
)

// wide is the side of the grid of which fingerprints of crops are taken. strip is
// how much of it is cut off a side: 7.8 %, so that with the 11 bits that copies
// may differ by, crops of 3 to 12 % are within reach, and the whole picture's own
// fingerprint reaches those of less.
const (
	wide  = 2 * side
	strip = 5
)

// window is the Gaussian times the cosine of each order, as in factor, over a part
// of the grid, and the sum over each.
type window struct {
	factor [len(reach)][wide]int64
	sum    [len(reach)]int64
}

// windows are the whole side, and those without the strip at its start and at its
// end.
var windows = [3]window{windowOf(0, wide), windowOf(strip, wide), windowOf(0, wide-strip)}

func windowOf(from, to int) (w window) {
	for k := range w.factor {
		for i := from; i < to; i++ {
			x := (float64(i-from)+.5)/float64(to-from) - .5
			w.factor[k][i] = int64(math.Round(weight * math.Exp(-(x/bell)*(x/bell)) * math.Cos(math.Pi*float64(k)*(x+.5))))
			w.sum[k] += w.factor[k][i]
		}
	}
	return w
}

// detail gives the finer fingerprint of a grid of wide x wide.
func detail(g []int64) *listing.Detail {
	d := &listing.Detail{Luma: reducedLuma(g)}
	n := 0
	var across [len(windows)][wide][len(reach)]int64
	for x := range windows {
		for y := range wide {
			for u := range reach {
				sum := int64(0)
				for i, f := range windows[x].factor[u][:wide] {
					sum += f * g[y*wide+i]
				}
				across[x][y][u] = sum
			}
		}
	}
	for y := range windows {
		for x := range windows {
			if x+y > 0 {
				d.Crops[n] = crop(&across[x], &windows[x], &windows[y])
				n++
			}
		}
	}
	return d
}

// crop is the fingerprint under two windows. The mean under the Gaussian is taken
// off afterwards: it adds mean times the sums of the factors.
func crop(across *[wide][len(reach)]int64, x, y *window) (print uint64) {
	bit := 0
	mean := int64(0)
	for v, most := range reach {
		for u := range most + 1 {
			sum := int64(0)
			for i, f := range y.factor[v][:wide] {
				sum += f * across[i][u]
			}
			if u+v == 0 {
				mean = sum / (x.sum[0] * y.sum[0])
				continue
			}
			if sum > mean*x.sum[u]*y.sum[v] {
				print |= 1 << bit
			}
			bit++
		}
	}
	return print
}

// halved averages 2 x 2 cells of a grid of wide x wide.
func halved(g []int64) []int64 {
	out := make([]int64, side*side)
	for y := range side {
		for x := range side {
			i := 2*y*wide + 2*x
			out[y*side+x] = (g[i] + g[i+1] + g[i+wide] + g[i+wide+1] + 2) / 4
		}
	}
	return out
}

// reducedLuma averages a grid of wide x wide to listing.DetailSide, a cell in
// eighths of which three make one of the grid's, and stretches it to 0 to 255.
func reducedLuma(g []int64) (out [listing.DetailSide * listing.DetailSide]uint8) {
	const n = listing.DetailSide
	const parts = 8 // n * parts = 3 * wide
	var rows [wide][n]int64
	for y := range wide {
		for x := range n {
			for i := range parts {
				rows[y][x] += g[y*wide+(x*parts+i)/3]
			}
		}
	}
	var sums [n * n]int64
	low, high := int64(math.MaxInt64), int64(0)
	for y := range n {
		for x := range n {
			sum := int64(0)
			for i := range parts {
				sum += rows[(y*parts+i)/3][x]
			}
			sums[y*n+x] = sum
			low, high = min(low, sum), max(high, sum)
		}
	}
	for i, s := range sums {
		out[i] = uint8(((s-low)*255 + (high-low)/2) / max(1, high-low))
	}
	return out
}
