// Package disjoint keeps sets of numbers that have none in common, and joins
// them (union-find with path halving; Tarjan and van Leeuwen 1984).
package disjoint

// Sets says of each number, from 0, in which set it is. A set goes by its least
// number, so that the order of joining does not show.
type Sets[N int | int32] []N

// New puts each of n numbers into a set of its own.
func New[N int | int32](n int) Sets[N] {
	s := make(Sets[N], n)
	for i := range s {
		s[i] = N(i)
	}
	return s
}

// Add makes a set of the next number.
func (s *Sets[N]) Add() N {
	n := N(len(*s))
	*s = append(*s, n)
	return n
}

// Of gives the least number of the set that a number is in.
func (s Sets[N]) Of(i N) N {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

// Join makes one set of the sets of two numbers, and reports whether they were
// two.
func (s Sets[N]) Join(i, j N) bool {
	i, j = s.Of(i), s.Of(j)
	s[max(i, j)] = min(i, j)
	return i != j
}
