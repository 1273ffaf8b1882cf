package robust

import (
	"math"
	"sort"
)

// Core is the part of a sample that holds together around its centre when low
// values may belong to something else.
type Core struct {
	From, To int     // ranks of its first and last value, counted from 0
	Mean     float64 // of its values
	// SD is an estimate of the standard deviation from the values over Mean alone.
	SD float64
}

// CoreOptions say what a core is. All but Start and Weight are in the unit of
// the values.
type CoreOptions struct {
	Start        float64 // the quantile from which the search starts, between 0 and 1
	Below, Above float64 // how far from the mean a value may lie
	// Prior is the standard deviation that is expected before any value is seen,
	// and Weight the number of values that this expectation counts for.
	Prior, Weight float64
}

// coreSteps bounds the search, which settles within a few steps.
const coreSteps = 100

// Core is a skipped mean (Hampel's word for the mean of what a rejection rule
// leaves; from memory), one-sided by its start: the search begins at an upper
// quantile, takes the mean of the values within reach of it, and repeats this
// from the mean until the values stay the same. When at most 1 - q of the values
// are low strangers, the quantile q is still one of the others, which the
// median no longer says of its neighbours.
//
// SD is the root of (Weight Prior^2 + sum of (x - Mean)^2) / (Weight + m) over
// the m values of the core that are not under Mean: strangers are low, so the
// upper side is clean, and the expected value keeps a few values from saying
// anything (the usual weighing of a prior variance, as in Gelman et al., Bayesian
// Data Analysis; from memory). The zero Core with To -1 is that of no values.
func (s Sample) Core(o CoreOptions) Core {
	n := s.Len()
	if n == 0 {
		return Core{To: -1}
	}
	position := o.Start * float64(n-1)
	i := int(position)
	c := Core{Mean: s.At(i)}
	if i+1 < n {
		c.Mean += (position - float64(i)) * (s.At(i+1) - s.At(i))
	}
	for step := range coreSteps {
		// A value that only rounding puts outside counts.
		from := s.rank(c.Mean - o.Below - rounding)
		to := s.rank(c.Mean+o.Above+rounding) - 1
		if to < from || step > 0 && from == c.From && to == c.To {
			break
		}
		c.From, c.To, c.Mean = from, to, s.mean(from, to)
	}
	sum, count := o.Weight*o.Prior*o.Prior, o.Weight
	for i := s.rank(c.Mean - rounding); i <= c.To; i++ {
		sum += (s.At(i) - c.Mean) * (s.At(i) - c.Mean)
		count++
	}
	c.SD = math.Sqrt(sum / count)
	return c
}

const rounding = 1e-9

// rank is the number of values under x.
func (s Sample) rank(x float64) int {
	return sort.Search(s.Len(), func(i int) bool { return s.At(i) >= x })
}

// mean is the mean of the values of ranks from to to; equal values have exactly
// their own.
func (s Sample) mean(from, to int) float64 {
	first, sum := s.At(from), 0.0
	for i := from; i <= to; i++ {
		sum += s.At(i) - first
	}
	return first + sum/float64(to-from+1)
}
