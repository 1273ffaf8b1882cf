package robust

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// oracleSamples are seeded: normal values, values with outliers, and values with
// ties, of every size up to 40 and some above.
func oracleSamples() [][]float64 {
	r := rand.New(rand.NewPCG(1992, 4))
	var list [][]float64
	sizes := []int{50, 63, 100, 137, 200, 500}
	for n := 2; n <= 40; n++ {
		sizes = append(sizes, n)
	}
	for _, n := range sizes {
		for kind := range 3 {
			x := make([]float64, n)
			for i := range x {
				x[i] = r.NormFloat64()
				switch {
				case kind == 1 && i%3 == 0:
					x[i] = 20 + 5*x[i]
				case kind == 2:
					x[i] = math.Round(4 * x[i])
				}
			}
			list = append(list, x)
		}
	}
	return list
}

// askR runs testdata/oracle.R over samples and gives the words of each line.
func askR(t *testing.T, samples [][]float64, more ...string) [][]string {
	t.Helper()
	rscript, err := exec.LookPath("Rscript")
	why := "R is not there: install the Debian packages r-base-core, r-cran-robustbase and r-cran-diptest"
	if err == nil {
		err = exec.Command(rscript, "--vanilla", "-e", "loadNamespace('robustbase'); loadNamespace('diptest')").Run()
	}
	if err != nil {
		if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
			t.Fatal(why)
		}
		t.Skip(why)
	}
	var b bytes.Buffer
	for _, x := range samples {
		for i, v := range x {
			if i > 0 {
				b.WriteByte(' ')
			}
			fmt.Fprintf(&b, "%.17g", v)
		}
		b.WriteByte('\n')
	}
	file := filepath.Join(t.TempDir(), "samples.txt")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
	cmd := exec.Command(rscript, append([]string{"--vanilla", "testdata/oracle.R", file}, more...)...)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	require.NoError(t, err, stderr.String())
	var list [][]string
	for line := range strings.Lines(string(out)) {
		list = append(list, strings.Fields(line))
	}
	return list
}

// TestAgainstR compares the statistics with R's median, mad, quantile (types 6,
// 7 and 8 of Hyndman & Fan) and wilcox.test, and with the packages robustbase and
// diptest, each computed from the same values.
func TestAgainstR(t *testing.T) {
	samples := oracleSamples()
	lines := askR(t, samples)
	require.Len(t, lines, len(samples)+1)
	for i, x := range samples {
		var want []float64
		for _, w := range lines[i] {
			v, err := strconv.ParseFloat(strings.Replace(w, "NA", "NaN", 1), 64)
			require.NoError(t, err)
			want = append(want, v)
		}
		got := []float64{Median(x).Value, MAD(x).Value, ScaledMAD(x).Value, NewSample(x).MeanAbsDev()}
		for _, kind := range []QuantileType{Weibull, Linear, MedianUnbiased} {
			for _, p := range []float64{.1, .25, .5, .9} {
				got = append(got, Quantile(x, p, kind).Value)
			}
		}
		estimate, interval := HodgesLehmann(x, .95)
		got = append(got, estimate.Value, interval.Low, interval.High, Dip(x).Value)
		require.Len(t, want, len(got))
		for j := range got {
			if !math.IsNaN(want[j]) {
				assert.InDelta(t, want[j], got[j], 1e-9*(1+math.Abs(want[j])), "figure %d of sample %d, %d values", j, i, len(x))
			}
		}
	}

	points := lines[len(lines)-1][1:]
	require.Len(t, points, len(dipPoints), "rows of diptest's table")
	for i, p := range points {
		n, d, _ := strings.Cut(p, "=")
		want, err := strconv.ParseFloat(d, 64)
		require.NoError(t, err)
		assert.Equal(t, n, strconv.Itoa(int(dipPoints[i].n)))
		assert.InDelta(t, want, dipPoints[i].d, 6e-7, "95 %% point of %s values", n)
	}
}

// TestMADFactorAgainstR holds the finite-sample factor of the MAD against those
// that robustbase has in Sn and Qn (Croux & Rousseeuw 1992): over the same normal
// samples of a size all three estimate the same standard deviation.
func TestMADFactorAgainstR(t *testing.T) {
	const each = 800
	sizes := []int{2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 15, 20, 40}
	r := rand.New(rand.NewPCG(1992, 5))
	var samples [][]float64
	for _, n := range sizes {
		for range each {
			x := make([]float64, n)
			for i := range x {
				x[i] = r.NormFloat64()
			}
			samples = append(samples, x)
		}
	}
	lines := askR(t, samples, "scales")
	for i, n := range sizes {
		var ours, sn, qn float64
		for k := i * each; k < (i+1)*each; k++ {
			ours += MADFactor(n) * ScaledMAD(samples[k]).Value
			w := lines[k]
			require.Len(t, w, 2)
			s, err := strconv.ParseFloat(w[0], 64)
			require.NoError(t, err)
			q, err := strconv.ParseFloat(w[1], 64)
			require.NoError(t, err)
			sn, qn = sn+s, qn+q
		}
		t.Logf("n %2d: scaled MAD with its factor %.3f, Sn %.3f, Qn %.3f", n, ours/each, sn/each, qn/each)
		assert.InDelta(t, 1, ours/sn, .03, "n %d, Sn", n)
		assert.InDelta(t, 1, ours/qn, .03, "n %d, Qn", n)
	}
}
