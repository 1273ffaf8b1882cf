package calibrate

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func drawn(n int) (x [][]float64, offset []float64, y []bool) {
	r := rand.New(rand.NewPCG(3, 14))
	for range n {
		row := []float64{r.NormFloat64(), 0, 4 * r.NormFloat64(), 0.5}
		row[1] = row[0] + 0.1*r.NormFloat64() // nearly the same: what the penalty is for
		x = append(x, row)
		offset = append(offset, 2*r.NormFloat64())
		y = append(y, r.Float64() < sigmoid(row[0]-row[2]/2-1))
	}
	return x, offset, y
}

func TestLogisticAgainstScikitLearn(t *testing.T) {
	x, _, y := drawn(300)
	lambdas := []float64{0.25, 4, 100}
	var want []struct {
		Intercept float64
		Coef      []float64
	}
	sklearn(t, `
from sklearn.linear_model import LogisticRegression
answer = []
for l in data["lambdas"]:
  m = LogisticRegression(penalty="l2", C=1/l, solver="newton-cholesky", tol=1e-12, max_iter=1000).fit(data["x"], data["y"])
  answer.append(dict(Intercept=m.intercept_[0], Coef=list(m.coef_[0])))`, map[string]any{"x": x, "y": y, "lambdas": lambdas}, &want)
	for i, lambda := range lambdas {
		got, err := FitLogistic(x, nil, y, lambda)
		require.NoError(t, err)
		assert.InDelta(t, want[i].Intercept, got.Intercept, 1e-6, "lambda %v", lambda)
		assert.InDeltaSlice(t, want[i].Coef, got.Coef, 1e-6, "lambda %v", lambda)
	}
}

// At the optimum the residuals are orthogonal to the constant and, but for the
// penalty, to each column; with an offset as well.
func TestLogisticIsStationary(t *testing.T) {
	x, offset, y := drawn(300)
	const lambda = 4
	got, err := FitLogistic(x, offset, y, lambda)
	require.NoError(t, err)
	sums := make([]float64, 5)
	for i, row := range x {
		e := got.Intercept + offset[i]
		for k, v := range row {
			e += v * got.Coef[k]
		}
		residual := 1 / (1 + math.Exp(-e))
		if y[i] {
			residual--
		}
		sums[0] += residual
		for k, v := range row {
			sums[k+1] += residual * v
		}
	}
	assert.InDelta(t, 0, sums[0], 1e-7)
	for k, b := range got.Coef {
		assert.InDelta(t, -lambda*b, sums[k+1], 1e-7)
		assert.Greater(t, got.SD[k], 0.0)
	}
}

// Bayes' theorem: of 10,000 offers 5 in 100 are copies, 80 % of them are
// flagged, and 95 % of the honest pass. 400 of the 875 flagged are copies, .457;
// the same comes of prior odds and a likelihood ratio of 16.
func TestBaseRates(t *testing.T) {
	var x [][]float64
	var y []bool
	add := func(n int, flagged float64, isCopy bool) {
		for range n {
			x, y = append(x, []float64{flagged}), append(y, isCopy)
		}
	}
	add(400, 1, true)
	add(100, 0, true)
	add(475, 1, false)
	add(9025, 0, false)
	fit, err := FitLogistic(x, nil, y, 0)
	require.NoError(t, err)
	assert.InDelta(t, .457, sigmoid(fit.Intercept+fit.Coef[0]), 0.0005)
	db := 10 * math.Log10(.8/.05)
	assert.InDelta(t, .457, sigmoid(math.Log(.05/.95)+db/perNat), 0.0005)
}

// Outcomes that a family tells apart without error have no finite optimum
// without a penalty; with one they have.
func TestLogisticSeparated(t *testing.T) {
	x, y := [][]float64{{0}, {0}, {1}, {1}}, []bool{false, false, true, true}
	got, err := FitLogistic(x, nil, y, 4)
	require.NoError(t, err)
	assert.False(t, math.IsInf(got.Coef[0], 0))
	_, err = FitLogistic(x, nil, []bool{true, true, true, true}, 4)
	assert.ErrorIs(t, err, errOneClass)
}

// Weights at their bounds give evidence of a thousand decibans; where it is
// wrong, the intercept must still be found: by symmetry 0 here.
func TestLogisticFarOff(t *testing.T) {
	got, err := FitLogistic(make([][]float64, 4), []float64{-250, -250, 250, 250}, []bool{false, true, true, false}, 0)
	require.NoError(t, err)
	assert.InDelta(t, 0, got.Intercept, 1e-6)
	got, err = FitLogistic(make([][]float64, 4), []float64{-250, -100, 100, 300}, []bool{false, true, true, false}, 0)
	require.NoError(t, err)
	assert.False(t, math.IsNaN(got.Intercept))
}
