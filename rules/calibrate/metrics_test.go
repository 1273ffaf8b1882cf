package calibrate

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Sources: the examples in scikit-learn's documentation of
// average_precision_score, roc_auc_score, brier_score_loss and ndcg_score.
func TestMetricsAgainstDocumentedExamples(t *testing.T) {
	copies, scores := []bool{false, false, true, true}, []float64{.1, .4, .35, .8}
	assert.InDelta(t, 0.8333, AveragePrecision(copies, scores), 0.00005)
	assert.InDelta(t, 0.75, ROCArea(copies, scores), 1e-12)
	assert.InDelta(t, 0.0375, Brier([]bool{false, true, true, false}, []float64{.1, .9, .8, .3}), 1e-12)
	assert.InDelta(t, 0.69569, NDCG([]float64{10, 0, 0, 1, 5}, []float64{.1, .2, .3, 4, 70}), 0.000005)
}

// With ties, which no ranking breaks.
func TestMetricsAgainstScikitLearn(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	const n = 200
	copies, scores, p, gains := make([]bool, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range n {
		scores[i] = float64(r.IntN(12))
		p[i] = (scores[i] + 1) / 14
		if copies[i] = r.Float64() < p[i]; copies[i] {
			gains[i] = 1
		}
	}
	var want struct {
		AP, AUC, Brier, NDCG float64
		Isotonic             []float64
	}
	sklearn(t, `
from sklearn.metrics import average_precision_score, roc_auc_score, brier_score_loss, ndcg_score
from sklearn.isotonic import IsotonicRegression
y, s, p = data["y"], data["s"], data["p"]
answer = dict(AP=average_precision_score(y, s), AUC=roc_auc_score(y, s), Brier=brier_score_loss(y, p),
  NDCG=ndcg_score([data["g"]], [s]), Isotonic=list(IsotonicRegression().fit(p, data["g"]).predict(p)))`,
		map[string]any{"y": copies, "s": scores, "p": p, "g": gains}, &want)
	assert.InDelta(t, want.AP, AveragePrecision(copies, scores), 1e-12)
	assert.InDelta(t, want.AUC, ROCArea(copies, scores), 1e-12)
	assert.InDelta(t, want.Brier, Brier(copies, p), 1e-12)
	assert.InDelta(t, want.NDCG, NDCG(gains, scores), 1e-12)
	curve := Curve(copies, p)
	total := 0
	for _, s := range curve {
		total += s.N
	}
	assert.Equal(t, n, total)
	for i := range n {
		for _, s := range curve {
			if s.From <= p[i] && p[i] <= s.To {
				assert.InDelta(t, want.Isotonic[i], s.Share, 1e-9)
			}
		}
	}
}

// A group of equal scores that is cut counts by its share: of the first three
// here, two of four with one copy.
func TestPrecisionAt(t *testing.T) {
	copies := []bool{true, true, false, false, false, true}
	scores := []float64{9, 5, 5, 5, 5, 1}
	for k, want := range map[int]float64{1: 1, 3: (1 + 2*0.25) / 3, 5: 2.0 / 5, 6: 0.5} {
		got, ok := PrecisionAt(copies, scores, k)
		assert.True(t, ok)
		assert.InDelta(t, want, got, 1e-12, "at %d", k)
	}
	_, ok := PrecisionAt(copies, scores, 7)
	assert.False(t, ok)
}

func TestMetricsWithoutOneKind(t *testing.T) {
	none := []bool{false, false}
	assert.Zero(t, AveragePrecision(none, []float64{1, 2}))
	assert.Equal(t, 0.5, ROCArea(none, []float64{1, 2}))
	assert.Zero(t, NDCG([]float64{0, 0}, []float64{1, 2}))
}

// Source: Newcombe, Statistics in Medicine 17 (1998), score intervals of his
// four examples (from memory; the arithmetic agrees).
func TestWilson(t *testing.T) {
	for _, c := range []struct {
		hits, n   int
		low, high float64
	}{{81, 263, .2553, .3662}, {15, 148, .0624, .1605}, {0, 20, 0, .1611}, {1, 29, .0061, .1718}} {
		low, high := Wilson(c.hits, c.n)
		assert.InDelta(t, c.low, low, 0.00005)
		assert.InDelta(t, c.high, high, 0.00005)
	}
}

// Source: R's help page and result of isoreg(c(1,0,4,3,3,5,4,2,0)) and of
// isoreg(c(1,2,3,5,4,6)), computed with R 4.2.
func TestPoolAdjacentAgainstR(t *testing.T) {
	assert.InDeltaSlice(t, []float64{.5, .5, 3, 3, 3, 3, 3, 3, 3}, PoolAdjacent([]float64{1, 0, 4, 3, 3, 5, 4, 2, 0}, nil), 1e-12)
	assert.InDeltaSlice(t, []float64{1, 2, 3, 4.5, 4.5, 6}, PoolAdjacent([]float64{1, 2, 3, 5, 4, 6}, nil), 1e-12)
	assert.Empty(t, PoolAdjacent(nil, nil))
	// Weights are repetitions: (3 x 1 + 1 x 5) / 4.
	assert.InDeltaSlice(t, []float64{2, 2}, PoolAdjacent([]float64{5, 1}, []float64{1, 3}), 1e-12)
}

func TestReliability(t *testing.T) {
	bins := Reliability([]bool{true, false, true}, []float64{1, .04, .95})
	assert.Len(t, bins, 2)
	assert.Equal(t, Bin{From: 0, To: .1, N: 1, Mean: .04, High: bins[0].High}, bins[0])
	assert.Equal(t, 2, bins[1].Copies)
	assert.InDelta(t, .975, bins[1].Mean, 1e-12)
}
