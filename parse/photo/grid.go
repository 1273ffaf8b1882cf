package photo

// Lengths inside a picture are counted in units of 1/64 pixel, and luma means
// in units of 1/256 of a luma step, so that the fingerprint is computed in whole
// numbers and is the same on every machine.
const (
	unit     = 64
	lumaUnit = 256
)

// area is a part of a picture, in units, half-open.
type area struct{ left, top, right, bottom int64 }

func (m *lumaMap) whole() area {
	return area{0, 0, int64(m.width) * unit, int64(m.height) * unit}
}

// share is how much of an output cell one block covers.
type share struct {
	block  int
	length int64
}

// sample box-filters an area to n x n means, each in lumaUnit, row by row.
func (m *lumaMap) sample(a area, n int) []int64 {
	across := shares(m.width, m.step, m.cols, m.flipX, a.left, a.right, n)
	down := shares(m.height, m.step, m.rows, m.flipY, a.top, a.bottom, n)
	lines := make([]int64, m.rows*n)
	lengths := make([]int64, n)
	for x, cell := range across {
		for _, s := range cell {
			lengths[x] += s.length
		}
	}
	first, last := down[0][0].block, down[n-1][len(down[n-1])-1].block
	for r := first; r <= last; r++ {
		row := m.mean[r*m.cols : (r+1)*m.cols]
		for x, cell := range across {
			sum, length := int64(0), lengths[x]
			for _, s := range cell {
				sum += s.length * int64(row[s.block])
			}
			lines[r*n+x] = (sum*(lumaUnit/meanUnit) + length/2) / length
		}
	}
	out := make([]int64, n*n)
	for y, cell := range down {
		length := int64(0)
		for _, s := range cell {
			length += s.length
			for x := range n {
				out[y*n+x] += s.length * lines[s.block*n+x]
			}
		}
		for x := range n {
			out[y*n+x] = (out[y*n+x] + length/2) / length
		}
	}
	return out
}

// shares divides lo to hi into n cells and gives the blocks that each covers.
func shares(size, step, blocks int, flip bool, lo, hi int64, n int) [][]share {
	edge := func(block int) int64 {
		at := block * step
		if flip { // the partial block stands first
			at -= blocks*step - size
		}
		return int64(min(max(at, 0), size)) * unit
	}
	out := make([][]share, n)
	all := make([]share, 0, blocks+2*n)
	b := 0
	for i := range out {
		from := lo + (hi-lo)*int64(i)/int64(n)
		to := max(from+1, lo+(hi-lo)*int64(i+1)/int64(n))
		for b+1 < blocks && edge(b+1) <= from {
			b++
		}
		start := len(all)
		for k := b; k < blocks && edge(k) < to; k++ {
			if length := min(to, edge(k+1)) - max(from, edge(k)); length > 0 {
				all = append(all, share{k, length})
			}
		}
		out[i] = all[start:len(all):len(all)]
	}
	return out
}
