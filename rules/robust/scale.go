package robust

import "math"

const (
	// NormalFactor makes the MAD estimate the standard deviation of normal
	// values: 1 / 0.6745, the reciprocal of the normal distribution's third
	// quartile.
	NormalFactor = 1.4826
	// scoreFactor and meanFactor are those of Iglewicz & Hoaglin, How to Detect
	// and Handle Outliers (1993): 0.6745 of the modified z-score, and
	// 1.253314 = sqrt(pi/2), by which the mean absolute deviation of normal
	// values estimates their standard deviation.
	scoreFactor = 0.6745
	meanFactor  = 1.253314
)

// madFactors are for n 2 to 9.
var madFactors = [...]float64{1.196, 1.495, 1.363, 1.206, 1.200, 1.140, 1.129, 1.107}

// MADFactor is the finite-sample factor by which the scaled MAD of n normal
// values must be multiplied to estimate the standard deviation without bias
// (Croux & Rousseeuw, Time-efficient algorithms for two highly robust
// estimators of scale, 1992): a table up to n 9, then n/(n-0.8). It is 1 for
// n 0 and 1, where the MAD says nothing.
func MADFactor(n int) float64 {
	switch {
	case n < 2:
		return 1
	case n-2 < len(madFactors):
		return madFactors[n-2]
	}
	return float64(n) / (float64(n) - 0.8)
}

// ModifiedZ is 0.6745 (x - median) / mad (Iglewicz & Hoaglin 1993), without a
// unit; beyond 3.5 in size they call x an outlier. It is NaN for mad 0.
func ModifiedZ(x, median, mad float64) float64 {
	if mad == 0 {
		return math.NaN()
	}
	return scoreFactor * (x - median) / mad
}

// ScoreMAD gives what ModifiedZ may divide by, in MAD units, for a sample of the
// given MAD. That is the MAD times factor; if the MAD is 0, the mean absolute deviation, scaled so that the
// score becomes (x - median) / (1.253314 MeanAD), and then substitute is true.
// It is 0 when all values are equal and for n 1, and NaN for n 0.
func (s Sample) ScoreMAD(mad, factor float64) (score float64, substitute bool) {
	if mad != 0 {
		return mad * factor, false
	}
	return scoreFactor * meanFactor * s.MeanAbsDev(), true
}

// Scores gives the modified z-score of each value, in the order of x, and the
// median with its spread. The MAD is used raw, as published; when it is 0, the
// mean absolute deviation takes its place, and a warning says so. When that is
// 0 too, or there are fewer than two values, there are no scores (nil).
func Scores(x []float64) ([]float64, Stat) {
	median := Median(x)
	if len(x) < 2 || math.IsNaN(median.Value) {
		return nil, median
	}
	mad, substitute := NewSample(x).ScoreMAD(median.Spread, 1)
	if mad == 0 {
		median.Warnings = append(median.Warnings, "all values are equal: no scores")
		return nil, median
	}
	if substitute {
		median.Warnings = append(median.Warnings, "scores use the mean absolute deviation")
	}
	scores := make([]float64, len(x))
	for i, v := range x {
		scores[i] = ModifiedZ(v, median.Value, mad)
	}
	return scores, median
}
