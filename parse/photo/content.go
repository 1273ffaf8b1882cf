package photo

import "slices"

// scan is the side of the grid on which frames and content are looked for.
const scan = 64

const (
	frameTolerance = 8 * lumaUnit // how much a line of a frame may vary
	frameMost      = 13           // scan lines, a fifth of the side
	frameShare     = 60           // see frame, percent
	frameLesser    = 20
	frameRounds    = 2 // a frame within a frame
	// frameExtra is cut beyond a frame, in 1/fraction of a line: what is left of its
	// blurred edge would pass for the outline of what stands on a plain ground.
	frameExtra = fraction / 2

	contentLoss  = 100 // one part in this many of the content may lie outside, per side
	contentLeast = 8 * lumaUnit
	sideMost     = scan * fraction * 4 / 10 // cut from one side at most
	fraction     = 1024                     // steps within a scan cell
)

// content gives the part of the picture that its fingerprint is taken of: without
// frames laid around it, and without the margin around what it shows, so that a
// copy that was framed or had its margin cut has the same content.
func (m *lumaMap) content() area {
	a := m.whole()
	g := m.sample(a, scan)
	for range frameRounds {
		top, bottom, left, right := frame(g)
		inner := cut(a, top, bottom, left, right)
		if inner == a {
			break
		}
		a, g = inner, m.sample(inner, scan)
	}
	return withoutMargin(a, g)
}

// cut takes lines off the sides, each given in 1/fraction of a scan cell.
func cut(a area, top, bottom, left, right int64) area {
	w, h := a.right-a.left, a.bottom-a.top
	const all = scan * fraction
	return area{left: a.left + w*left/all, right: a.right - w*right/all,
		top: a.top + h*top/all, bottom: a.bottom - h*bottom/all}
}

// direction gives the k-th value of the i-th line counted from one side.
type direction func(g []int64, i, k int) int64

func downward(g []int64, i, k int) int64  { return g[i*scan+k] }
func upward(g []int64, i, k int) int64    { return g[(scan-1-i)*scan+k] }
func rightward(g []int64, i, k int) int64 { return g[k*scan+i] }
func leftward(g []int64, i, k int) int64  { return g[k*scan+scan-1-i] }

// band is a stretch of uniform lines along a side.
type band struct {
	colour int64
	depth  int64 // in 1/fraction of a line
	share  int   // percent of its length along which something else sets in at once
}

// frame measures the frame around a picture. Along a frame the picture sets in
// at once nearly everywhere; a margin around an object is uniform too, but the
// object is met by a small part of the line only. Where one side is a frame, a
// lesser share is enough for the other sides in the same colour.
func frame(g []int64) (top, bottom, left, right int64) {
	sides := [4]band{uniformBand(g, downward), uniformBand(g, upward), uniformBand(g, rightward), uniformBand(g, leftward)}
	surest := slices.MaxFunc(sides[:], func(a, b band) int { return a.share - b.share })
	if surest.share < frameShare {
		return 0, 0, 0, 0
	}
	var depth [4]int64
	for i, s := range sides {
		if s.share >= frameShare || s.share >= frameLesser && abs(s.colour-surest.colour) <= frameTolerance {
			depth[i] = s.depth + frameExtra
		}
	}
	return depth[0], depth[1], depth[2], depth[3]
}

func uniformBand(g []int64, at direction) band {
	first := make([]int64, scan)
	for k := range first {
		first[k] = at(g, 0, k)
	}
	slices.Sort(first)
	colour := first[scan/2]
	lines := 0
	for lines <= frameMost && uniform(g, at, lines, colour) {
		lines++
	}
	if lines == 0 || lines > frameMost {
		return band{}
	}
	// The last line may be half frame, half picture.
	different, mixed := 0, int64(0)
	for k := range scan {
		far := at(g, lines+1, k) - colour
		if abs(far) <= 2*frameTolerance {
			continue
		}
		different++
		mixed += min(max((at(g, lines, k)-colour)*fraction/far, 0), fraction)
	}
	if different == 0 {
		return band{}
	}
	return band{colour: colour, depth: int64(lines+1)*fraction - mixed/int64(different), share: different * 100 / scan}
}

func uniform(g []int64, at direction, line int, colour int64) bool {
	for k := range scan {
		if abs(at(g, line, k)-colour) > frameTolerance {
			return false
		}
	}
	return true
}

func abs(v int64) int64 {
	if v < 0 {
		return -v
	}
	return v
}

// withoutMargin cuts from each side as much as holds a hundredth of the content,
// content being what differs from the colour that prevails along the edge.
// A share is cut, not a threshold met, so a little noise moves the cut a little. g
// is the area's grid.
func withoutMargin(a area, g []int64) area {
	ground := edgeColour(g)
	low, high := contrast(g)
	most := max(contentLeast, (high-low)*15/100)
	var cols, rows [scan]int64
	for y := range scan {
		for x := range scan {
			d := max(0, min(abs(g[y*scan+x]-ground), most)-most*4/10)
			cols[x] += d
			rows[y] += d
		}
	}
	l, r := margins(cols)
	t, b := margins(rows)
	return cut(a, t, b, l, r)
}

// edgeColour is the median along the edge.
func edgeColour(g []int64) int64 {
	edge := make([]int64, 0, 4*scan)
	edge = append(append(edge, g[:scan]...), g[(scan-1)*scan:]...)
	for y := 1; y < scan-1; y++ {
		edge = append(edge, g[y*scan], g[y*scan+scan-1])
	}
	slices.Sort(edge)
	return edge[len(edge)/2]
}

// contrast gives the luma that 2 % of the grid lie below, and above.
func contrast(g []int64) (low, high int64) {
	var count [256]int
	for _, v := range g {
		count[min(v/lumaUnit, 255)]++
	}
	const tail = scan * scan / 50
	for n := 0; n <= tail; low++ {
		n += count[low]
	}
	high = 256
	for n := 0; n <= tail; {
		high--
		n += count[high]
	}
	return (low - 1) * lumaUnit, high * lumaUnit
}

// margins gives how much to cut from the start and from the end.
func margins(content [scan]int64) (start, end int64) {
	total := int64(0)
	for _, v := range content {
		total += v
	}
	start = margin(content[:], total)
	slices.Reverse(content[:])
	return start, margin(content[:], total)
}

func margin(content []int64, total int64) int64 {
	if total == 0 {
		return 0
	}
	sum := int64(0)
	for i, v := range content {
		if (sum+v)*contentLoss >= total {
			within := max(0, total-sum*contentLoss) * fraction / (v * contentLoss)
			return min(int64(i)*fraction+within, sideMost)
		}
		sum += v
	}
	return 0
}
