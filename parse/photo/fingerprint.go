package photo

import "math"

// Version names the fingerprint algorithm. Fingerprints of different versions
// must not be compared; a change of any number in grid.go, content.go, luma.go,
// detail.go or this file is a new version.
//
// The algorithm: luma (ITU-R BT.601) is averaged over blocks of 8 x 8 pixels
// (single pixels for pictures under 512 on the shorter side); frames and margins
// are cut off (content.go); what remains is averaged to 64 x 64, then to 32 x 32 and weighed by a
// Gaussian around its middle, so that what a crop takes counts little; each bit
// is the sign of one low coefficient of the discrete cosine transform. Mirroring
// changes the sign of the coefficients of odd horizontal order and of no other.
//
// Detail (detail.go) adds fingerprints of the content with strips cut off, and its
// steps of grey. What both are worth is measured by the test of the package that
// groups pictures, rules/photogroup, and stands in DEVELOPERS.md.
const Version = "content-cosine-2"

const (
	side   = 32      // of the grid that is transformed
	bell   = 0.46    // the Gaussian's width: exp(-(x/bell)^2), the side being 1
	weight = 1 << 14 // scale of the transform's whole-number factors
)

// reach gives the highest horizontal order used for each vertical order: the 64
// coefficients with u^2.5 + v^2.5 below 185.6, without the mean.
var reach = [...]int{8, 8, 7, 7, 7, 7, 6, 5, 1}

// A picture has a fingerprint if at least clearLeast of its coefficients stand
// out from what noise and compression make of a flat or evenly shaded one:
// 1/clearPart luma step, averaged over the absolute factors. The others are
// as good as random bits, which copies do not share.
const (
	clearLeast = 24
	clearPart  = 10
)

// factor is the Gaussian times the cosine of each order, at each place.
var factor = factors()

func factors() (f [len(reach)][side]int64) {
	for k := range f {
		for i := range side {
			x := (float64(i)+.5)/side - .5
			f[k][i] = int64(math.Round(weight * math.Exp(-(x/bell)*(x/bell)) * math.Cos(math.Pi*float64(k)*(x+.5))))
		}
	}
	return f
}

// contentGrid is the content of the picture in wide x wide cells.
func (m *lumaMap) contentGrid() []int64 { return m.sample(m.content(), wide) }

// fingerprint gives the fingerprint of a grid of content and of its mirror image,
// and whether it has enough contrast to have one.
func fingerprint(g []int64) (print, mirror uint64, ok bool) {
	across := transformRows(halved(g))
	bit, clear := 0, 0
	for v, most := range reach {
		for u := range most + 1 {
			if u+v == 0 {
				continue
			}
			sum := int64(0)
			for y, f := range factor[v] {
				sum += f * across[y][u]
			}
			if sum > 0 {
				print |= 1 << bit
			}
			if (sum > 0) != (u%2 == 1) {
				mirror |= 1 << bit
			}
			if abs(sum)*clearPart > lumaUnit*extent[v]*extent[u] {
				clear++
			}
			bit++
		}
	}
	if clear < clearLeast {
		return 0, 0, false
	}
	return print, mirror, true
}

// extent is the sum of the absolute factors of each order.
var extent = extents()

func extents() (e [len(reach)]int64) {
	for k := range e {
		for _, f := range factor[k] {
			e[k] += abs(f)
		}
	}
	return e
}

// transformRows takes the mean under the Gaussian off the grid and gives the
// horizontal coefficients of each line.
func transformRows(g []int64) (out [side][len(reach)]int64) {
	sum, all := int64(0), int64(0)
	for y := range side {
		for x := range side {
			w := factor[0][y] * factor[0][x]
			sum += w / weight * g[y*side+x]
			all += w / weight
		}
	}
	for y := range side {
		for x := range side {
			v := g[y*side+x] - sum/all
			for u := range out[y] {
				out[y][u] += factor[u][x] * v
			}
		}
	}
	return out
}
