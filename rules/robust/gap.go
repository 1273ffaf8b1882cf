package robust

// Gap is the widest step between neighbours of a sorted sample.
type Gap struct {
	Width        float64 // in the unit of the values
	Lower, Upper int     // how many values are under and over it
}

// equal is the relative difference under which two widths count as the same, so
// that rounding does not choose between them.
const equal = 1e-9

// LargestGap finds the widest step that has at least side values on each side,
// the lowest of equally wide ones; side under 1 counts as 1. The zero Gap means
// that there is none: fewer than 2 side values, or all equal.
func (s Sample) LargestGap(side int) Gap {
	side = max(side, 1)
	var best Gap
	n := s.Len()
	for i := side; i <= n-side; i++ {
		if width := s.At(i) - s.At(i-1); width > best.Width*(1+equal) {
			best = Gap{Width: width, Lower: i, Upper: n - i}
		}
	}
	return best
}
