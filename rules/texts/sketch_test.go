package texts

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// pair draws two sets of n elements together with the Jaccard index j.
func pair(rng *rand.Rand, n int, j float64) (a, b []uint32) {
	both := int(math.Round(j * float64(n)))
	for i := range n {
		v := rng.Uint32()
		switch {
		case i < both:
			a, b = append(a, v), append(b, v)
		case i%2 == 0:
			a = append(a, v)
		default:
			b = append(b, v)
		}
	}
	slices.Sort(a)
	slices.Sort(b)
	return a, b
}

// The share of equal bins estimates the Jaccard index without bias and with
// standard error sqrt(J(1-J)/k): Broder 1997, 'On the resemblance and
// containment of documents'. One permutation reaches that too for sets much larger
// than the number of bins (a little better: an element is drawn at most once);
// for sets smaller than it, copied bins agree and disagree together, which costs
// about a tenth more.
func TestSketchError(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, c := range []struct {
		n     int
		j     float64
		bound float64 // of the error, in standard errors
	}{
		{3000, .2, 1.1}, {3000, .5, 1.1}, {3000, .8, 1.1}, {3000, .95, 1.1},
		{400, .8, 1.1}, {60, .8, 1.25}, {60, .5, 1.25},
	} {
		const trials = 600
		var sum, square float64
		for range trials {
			a, b := pair(rng, c.n, c.j)
			var sa, sb signature
			sa.sketch(a)
			sb.sketch(b)
			equal := 0
			for i := range sa {
				if sa[i] == sb[i] {
					equal++
				}
			}
			d := float64(equal)/bins - jaccard(a, b, 0)
			sum, square = sum+d, square+d*d
		}
		se := math.Sqrt(c.j * (1 - c.j) / bins)
		rmse := math.Sqrt(square / trials)
		t.Logf("n %d, J %.2f: bias %+.4f, error %.4f = %.2f x %.4f", c.n, c.j, sum/trials, rmse, rmse/se, se)
		assert.Less(t, math.Abs(sum/trials), 4*rmse/math.Sqrt(trials)+.002)
		assert.Less(t, rmse, c.bound*se)
		assert.Greater(t, rmse, .7*se)
	}
}

// sCurve is the chance that two sets meet in a band.
func sCurve(s float64, b, r int) float64 {
	return 1 - math.Pow(1-math.Pow(s, float64(r)), float64(b))
}

// Leskovec, Rajaraman, Ullman, 'Mining of Massive Datasets', chapter 3 (values
// for b = 20, r = 5 recomputed from the exact identity).
func TestSCurve(t *testing.T) {
	assert.InDelta(t, .9996, sCurve(.8, 20, 5), 5e-5)
	assert.InDelta(t, .470, sCurve(.5, 20, 5), 5e-4)

	rng := rand.New(rand.NewPCG(3, 4))
	for _, c := range []struct {
		n        int
		j, slack float64
	}{{3000, .3, .02}, {3000, .5, .04}, {3000, .8, .004}, {60, .8, .004}, {25, .8, .01}} {
		const trials = 1500
		met := 0
		for range trials {
			a, b := pair(rng, c.n, c.j)
			var sa, sb signature
			sa.sketch(a)
			sb.sketch(b)
			for i := range bands {
				if sa.band(i) == sb.band(i) {
					met++
					break
				}
			}
		}
		got, want := float64(met)/trials, sCurve(c.j, bands, rows)
		t.Logf("n %d, J %.2f: met %.4f, curve %.4f", c.n, c.j, got, want)
		assert.InDelta(t, want, got, c.slack)
	}
}

func TestJaccard(t *testing.T) {
	a, b := []uint32{1, 2, 3, 4}, []uint32{2, 3, 4, 5, 6}
	assert.InDelta(t, 3.0/6, jaccard(a, b, 0), 1e-12)
	assert.InDelta(t, 3.0/6, jaccard(b, a, .5), 1e-12)
	assert.Zero(t, jaccard(a, b, .81)) // 4/5 at best
	assert.Zero(t, jaccard(nil, b, 0))
}
