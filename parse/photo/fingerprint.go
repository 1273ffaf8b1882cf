package photo

import (
	"math"
)

// Version names the fingerprint algorithm. Fingerprints of different versions
// must not be compared.
const Version = "luma-dct-1"

// grid is the side of the square of luma means that the transform works on.
const grid = 32

// flat is the standard deviation of the grid, in luma steps of 255, below which
// a picture is taken for flat: noise would decide its fingerprint.
const flat = 2.0

// fingerprint gives the fingerprint of the picture and of its mirror image, and
// whether the picture has enough contrast to have one.
func (m *lumaMap) fingerprint() (print, mirror uint64, ok bool) {
	g := m.grid()
	if deviation(g) < flat {
		return 0, 0, false
	}
	bit := 0
	for v := range 9 {
		for u := range 9 {
			if u+v == 0 || u+v > 11 || bit == 64 {
				continue
			}
			c := coefficient(g, u, v)
			if c > 0 {
				print |= 1 << bit
			}
			if (c > 0) != (u%2 == 1) {
				mirror |= 1 << bit
			}
			bit++
		}
	}
	return print, mirror, true
}

// grid box-filters the map to grid x grid means, in luma steps.
func (m *lumaMap) grid() []float64 {
	xs := edges(m.width, m.step, m.cols, m.flipX)
	ys := edges(m.height, m.step, m.rows, m.flipY)
	half := make([]float64, m.rows*grid) // columns done
	for r := range m.rows {
		for g := range grid {
			lo, hi := float64(g)*float64(m.width)/grid, float64(g+1)*float64(m.width)/grid
			half[r*grid+g] = span(xs, lo, hi, func(c int) float64 { return float64(m.mean[r*m.cols+c]) })
		}
	}
	out := make([]float64, grid*grid)
	for y := range grid {
		lo, hi := float64(y)*float64(m.height)/grid, float64(y+1)*float64(m.height)/grid
		for x := range grid {
			out[y*grid+x] = span(ys, lo, hi, func(r int) float64 { return half[r*grid+x] }) / 16
		}
	}
	return out
}

// span averages value over lo to hi, weighing each block by its overlap.
func span(edge []int, lo, hi float64, value func(int) float64) float64 {
	sum := 0.0
	for i := 0; i+1 < len(edge); i++ {
		w := math.Min(hi, float64(edge[i+1])) - math.Max(lo, float64(edge[i]))
		if w > 0 {
			sum += w * value(i)
		}
	}
	return sum / (hi - lo)
}

func deviation(g []float64) float64 {
	sum, square := 0.0, 0.0
	for _, v := range g {
		sum += v
		square += v * v
	}
	n := float64(len(g))
	return math.Sqrt(max(0, square/n-sum/n*sum/n))
}

func coefficient(g []float64, u, v int) float64 {
	sum := 0.0
	for y := range grid {
		cy := math.Cos(math.Pi * float64(v) * (float64(y) + .5) / grid)
		for x := range grid {
			sum += g[y*grid+x] * cy * math.Cos(math.Pi*float64(u)*(float64(x)+.5)/grid)
		}
	}
	return sum
}
