package calibrate

import (
	"errors"
	"math"
)

// Logistic is a fitted logistic regression.
type Logistic struct {
	Intercept float64
	Coef      []float64
	SD        []float64 // of Coef: the normal approximation at the optimum
	Steps     int       // Newton steps taken
}

// Convergence of the fit: the largest component of the gradient must fall below
// maxGradient for each case, within maxSteps steps.
const (
	maxGradient = 1e-11
	maxSteps    = 100
	maxHalvings = 40
	maxMove     = 8 // of any component in one step: far off, the curvature misleads
)

var (
	errOneClass     = errors.New("a logistic regression needs outcomes of both kinds")
	errNotConverged = errors.New("the logistic regression did not converge")
)

// FitLogistic fits P(y) = 1 / (1 + exp(-(intercept + offset + x.coef))) with a
// ridge penalty, by Newton's method (iteratively reweighted least squares;
// McCullagh and Nelder, Generalized Linear Models, 1989, section 4.4; penalty:
// le Cessie and van Houwelingen, Applied Statistics 41, 1992). It minimises
//
//	-sum ln P(y_i) + lambda/2 * |coef|^2
//
// and leaves the intercept free. That is the penalty of scikit-learn's
// LogisticRegression with C = 1/lambda. x has a row for each case and may have no
// columns; offset may be nil. Steps are halved until the objective falls, so the
// result does not depend on a start; nothing in it is random.
func FitLogistic(x [][]float64, offset []float64, y []bool, lambda float64) (*Logistic, error) {
	copies := 0
	for _, is := range y {
		if is {
			copies++
		}
	}
	if copies == 0 || copies == len(y) {
		return nil, errOneClass
	}
	f := newtonFit{x: x, offset: offset, y: y, lambda: lambda, size: 1 + len(x[0])}
	at := make([]float64, f.size)
	value := f.objective(at)
	for step := 0; step <= maxSteps; step++ {
		gradient, hessian := f.slope(at)
		if !cholesky(hessian) {
			return nil, errNotConverged
		}
		if largest(gradient) <= maxGradient*float64(len(y)) {
			return f.result(at, hessian, step), nil
		}
		move := solve(hessian, gradient)
		next, lower := f.descend(at, move, value)
		if next == nil { // as low as the arithmetic reaches
			if largest(gradient) <= 1e-7*float64(len(y)) {
				return f.result(at, hessian, step), nil
			}
			return nil, errNotConverged
		}
		at, value = next, lower
	}
	return nil, errNotConverged
}

type newtonFit struct {
	x      [][]float64
	offset []float64
	y      []bool
	lambda float64
	size   int // intercept and coefficients
}

func (f *newtonFit) eta(at []float64, i int) float64 {
	e := at[0]
	if f.offset != nil {
		e += f.offset[i]
	}
	for k, v := range f.x[i] {
		e += v * at[k+1]
	}
	return e
}

func (f *newtonFit) objective(at []float64) float64 {
	sum := 0.0
	for i := range f.y {
		e := f.eta(at, i)
		if f.y[i] {
			e = -e
		}
		sum += math.Max(e, 0) + math.Log1p(math.Exp(-math.Abs(e))) // ln(1 + exp(e))
	}
	for _, b := range at[1:] {
		sum += f.lambda / 2 * b * b
	}
	return sum
}

// slope gives the gradient and the matrix of second derivatives.
func (f *newtonFit) slope(at []float64) (gradient []float64, hessian [][]float64) {
	gradient, hessian = make([]float64, f.size), make([][]float64, f.size)
	for k := range hessian {
		hessian[k] = make([]float64, f.size)
	}
	row := make([]float64, f.size)
	row[0] = 1
	for i := range f.y {
		copy(row[1:], f.x[i])
		p := sigmoid(f.eta(at, i))
		residual, spread := p, p*(1-p)
		if f.y[i] {
			residual--
		}
		for k, v := range row {
			gradient[k] += residual * v
			for l, u := range row[:k+1] {
				hessian[k][l] += spread * v * u
			}
		}
	}
	for k := 1; k < f.size; k++ {
		gradient[k] += f.lambda * at[k]
		hessian[k][k] += f.lambda
	}
	return gradient, hessian
}

// descend goes along -move, halving the step until the objective falls; nil when
// it does not.
func (f *newtonFit) descend(at, move []float64, value float64) ([]float64, float64) {
	share := min(1, maxMove/max(largest(move), math.SmallestNonzeroFloat64))
	for range maxHalvings {
		next := make([]float64, f.size)
		for k := range next {
			next[k] = at[k] - share*move[k]
		}
		if lower := f.objective(next); lower < value {
			return next, lower
		}
		share /= 2
	}
	return nil, value
}

func (f *newtonFit) result(at []float64, factor [][]float64, steps int) *Logistic {
	l := &Logistic{Intercept: at[0], Coef: at[1:], SD: make([]float64, f.size-1), Steps: steps}
	for k := range l.SD {
		unit := make([]float64, f.size)
		unit[k+1] = 1
		l.SD[k] = math.Sqrt(solve(factor, unit)[k+1])
	}
	return l
}

func sigmoid(e float64) float64 {
	if e < 0 {
		t := math.Exp(e)
		return t / (1 + t)
	}
	return 1 / (1 + math.Exp(-e))
}

func largest(v []float64) float64 {
	m := 0.0
	for _, a := range v {
		m = math.Max(m, math.Abs(a))
	}
	return m
}

// cholesky replaces the lower triangle of a by its factor; false when a is not
// positive definite.
func cholesky(a [][]float64) bool {
	for j := range a {
		for k := range j {
			a[j][j] -= a[j][k] * a[j][k]
		}
		if !(a[j][j] > 0) || math.IsInf(a[j][j], 0) {
			return false
		}
		a[j][j] = math.Sqrt(a[j][j])
		for i := j + 1; i < len(a); i++ {
			for k := range j {
				a[i][j] -= a[i][k] * a[j][k]
			}
			a[i][j] /= a[j][j]
		}
	}
	return true
}

// solve solves a x = b by the factor of a.
func solve(factor [][]float64, b []float64) []float64 {
	x := make([]float64, len(b))
	copy(x, b)
	for i := range x {
		for k := range i {
			x[i] -= factor[i][k] * x[k]
		}
		x[i] /= factor[i][i]
	}
	for i := len(x) - 1; i >= 0; i-- {
		for k := i + 1; k < len(x); k++ {
			x[i] -= factor[k][i] * x[k]
		}
		x[i] /= factor[i][i]
	}
	return x
}
