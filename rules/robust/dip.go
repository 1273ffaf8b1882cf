package robust

import (
	"math"
	"slices"
)

// Dip gives the dip statistic of Hartigan & Hartigan, The Dip Test of
// Unimodality (1985): the greatest distance between the sample's distribution
// function and the nearest unimodal one, by the algorithm of Hartigan (Applied
// Statistics algorithm AS 217, 1985). It has no unit and lies between 1/(2n) and
// 1/4. NaN for n 0; for n 1 and equal values 1/(2n), with a warning that no test
// is possible.
func Dip(x []float64) Stat {
	return stat(x, Sample.Dip)
}

// Dip is the dip statistic; see the function of that name. It takes O(n) for
// each narrowing of the modal interval.
func (s Sample) Dip() float64 {
	x := s.x
	if s.skip < len(x) {
		x = slices.Delete(slices.Clone(x), s.skip, s.skip+1)
	}
	if len(x) == 0 {
		return math.NaN()
	}
	return dipOfSorted(x) / (2 * float64(len(x)))
}

// dipOfSorted works in steps of the distribution function: the i-th value, from
// 0, stands at height i for the convex minorant and at i + 1 for the concave
// majorant. It returns 2n times the dip.
func dipOfSorted(x []float64) float64 {
	dip := 1.0
	low, high := 0, len(x)-1
	if x[low] == x[high] {
		return dip
	}
	previous, next := convexMinorant(x), concaveMajorant(x)
	for {
		var minorant, majorant []int // corners within the modal interval, ascending
		for i := high; i > low; i = previous[i] {
			minorant = append(minorant, i)
		}
		minorant = append(minorant, low)
		slices.Reverse(minorant)
		for i := low; i < high; i = next[i] {
			majorant = append(majorant, i)
		}
		majorant = append(majorant, high)

		distance, a, b := widest(x, minorant, majorant)
		if distance < dip {
			return dip
		}
		for i := range a {
			dip = max(dip, rise(x, minorant[i], minorant[i+1]))
		}
		for i := b; i < len(majorant)-1; i++ {
			dip = max(dip, sag(x, majorant[i], majorant[i+1]))
		}
		if low == minorant[a] && high == majorant[b] {
			return dip
		}
		low, high = minorant[a], majorant[b]
	}
}

// convexMinorant gives, for each value, the corner before it on the greatest
// convex minorant of the values up to it.
func convexMinorant(x []float64) []int {
	previous := make([]int, len(x))
	for j := 1; j < len(x); j++ {
		i := j - 1
		for i > 0 {
			h := previous[i]
			if (x[j]-x[i])*float64(i-h) < (x[i]-x[h])*float64(j-i) {
				break // steeper after i than before it: a corner
			}
			i = h
		}
		previous[j] = i
	}
	return previous
}

// concaveMajorant gives, for each value, the corner after it on the least
// concave majorant of the values from it on.
func concaveMajorant(x []float64) []int {
	last := len(x) - 1
	next := make([]int, len(x))
	next[last] = last
	for j := last - 1; j >= 0; j-- {
		i := j + 1
		for i < last {
			k := next[i]
			if (x[i]-x[j])*float64(k-i) < (x[k]-x[i])*float64(i-j) {
				break // flatter after i than before it: a corner
			}
			i = k
		}
		next[j] = i
	}
	return next
}

// widest finds the greatest distance between majorant and minorant at a corner
// of either, the last one when several are equal, and the corners that enclose
// the next modal interval: from minorant[a] to majorant[b].
func widest(x []float64, minorant, majorant []int) (distance float64, a, b int) {
	if len(minorant) == 2 && len(majorant) == 2 {
		return 1, 0, 1
	}
	i, j := 1, 1
	for minorant[i] != majorant[j] {
		g, h := minorant[i], majorant[j]
		if g > h { // a corner of the majorant over a side of the minorant
			from := minorant[i-1]
			if d := float64(h-from+1) - line(x, from, g, h); d >= distance {
				distance, a, b = d, i-1, j
			}
			j = min(j+1, len(majorant)-1)
		} else { // a corner of the minorant under a side of the majorant
			from := majorant[j-1]
			if d := line(x, from, h, g) - float64(g-from-1); d >= distance {
				distance, a, b = d, i, j
			}
			i = min(i+1, len(minorant)-1)
		}
	}
	return distance, a, b
}

// line is the height over from, at value i, of the side between two corners.
func line(x []float64, from, to, i int) float64 {
	if x[from] == x[to] {
		return float64(to - from)
	}
	return (x[i] - x[from]) * float64(to-from) / (x[to] - x[from])
}

// rise is how far the distribution function lies over a side of the minorant.
func rise(x []float64, from, to int) float64 {
	top := 1.0
	if x[from] == x[to] {
		return top
	}
	for i := from; i <= to; i++ {
		top = max(top, float64(i-from+1)-line(x, from, to, i))
	}
	return top
}

// sag is how far it lies under a side of the majorant.
func sag(x []float64, from, to int) float64 {
	top := 1.0
	if x[from] == x[to] {
		return top
	}
	for i := from; i <= to; i++ {
		top = max(top, line(x, from, to, i)-float64(i-from-1))
	}
	return top
}

// dipPoints are the 95 % points of the dip of n uniform values, rounded to six
// decimals from the simulation of 1,000,001 samples that Maechler published with
// the R package diptest (its table qDiptab); Hartigan & Hartigan (1985) give a
// coarser one.
var dipPoints = []struct{ n, d float64 }{
	{4, .207270}, {5, .186392}, {6, .164770}, {7, .159903}, {8, .153978}, {9, .146604},
	{10, .139611}, {15, .118761}, {20, .105130}, {30, .088169}, {50, .070274},
	{100, .051128}, {200, .036842}, {500, .023729}, {1000, .016934}, {2000, .012038},
	{5000, .007651}, {10000, .005424}, {20000, .003843}, {40000, .002724}, {72000, .002032},
}

// DipCritical gives the dip that a unimodal sample of n values exceeds with
// probability 5 % at most. Between the table's n it is linear in n on the scale
// sqrt(n) D, beyond it sqrt(n) D is constant. It is 1 for n under 4, which no
// dip reaches.
func DipCritical(n int) float64 {
	v := float64(n)
	i, found := slices.BinarySearchFunc(dipPoints, v, func(p struct{ n, d float64 }, n float64) int {
		return int(p.n - n)
	})
	scaled := func(i int) float64 { return math.Sqrt(dipPoints[i].n) * dipPoints[i].d }
	switch {
	case found:
		return dipPoints[i].d
	case i == 0:
		return 1
	case i == len(dipPoints):
		return scaled(i-1) / math.Sqrt(v)
	}
	low, high := dipPoints[i-1].n, dipPoints[i].n
	share := (v - low) / (high - low)
	return (scaled(i-1) + share*(scaled(i)-scaled(i-1))) / math.Sqrt(v)
}
