package groups

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"counterfoil/report"
	"counterfoil/rules/disjoint"
	"counterfoil/rules/sellers"
)

// drawnMost is the number of accounts that are drawn; the others are counted.
const drawnMost = 50

// size is the height of the drawing and the radius of the circle.
func size(n int) (height, radius float64) {
	if n < turnedFrom {
		return 420, 150
	}
	return 800, 195
}

// The drawing: accounts on a circle, labels outside it, turned towards the
// middle when there are many. Lengths in units of the drawing.
const (
	drawnWidth = 960
	labelGap   = 18
	turnedFrom = 13 // accounts from which labels are turned
	labelRunes = 22
)

type drawing struct {
	Width, Height int
	Nodes         []node
	Lines         []line // thin ones first
	Title, Text   string
	More          int // accounts that are not drawn
}

type node struct {
	Number         int
	X, Y           float64
	LabelX, LabelY float64
	Turn           float64 // degrees
	Anchor         string
	Label          string
}

type line struct {
	X1, Y1, X2, Y2 float64
	Class          string
	Title          string
}

// tie joins two members, by their numbers from 0.
type tie struct {
	a, b   int
	weight float64
	kinds  []sellers.Kind // heaviest first
	backed bool           // it keeps the group in one piece: of the heaviest such set
}

// draw lays the accounts out. Members stand in the order in which the heaviest
// ties reach them from the one with most ties, so that neighbours on the circle
// hang together; the same group gives the same drawing.
func draw(names []string, ties []tie) *drawing {
	n := min(len(names), drawnMost)
	order := orderOf(n, ties)
	place := make([]int, n)
	for at, member := range order {
		place[member] = at
	}
	height, radius := size(n)
	middleX, middleY := drawnWidth/2.0, height/2
	d := &drawing{Width: drawnWidth, Height: int(height), More: len(names) - n}
	where := func(member int) (x, y, angle float64) {
		angle = 2*math.Pi*float64(place[member])/float64(n) - math.Pi/2
		return round(middleX + radius*math.Cos(angle)), round(middleY + radius*math.Sin(angle)), angle
	}
	for m := range n {
		x, y, angle := where(m)
		v := node{Number: m + 1, X: x, Y: y, Label: cut(names[m], labelRunes), Anchor: "start"}
		v.LabelX, v.LabelY = round(middleX+(radius+labelGap)*math.Cos(angle)), round(middleY+(radius+labelGap)*math.Sin(angle))
		left := math.Cos(angle) < -1e-9
		if left {
			v.Anchor = "end"
		}
		if n >= turnedFrom {
			v.Turn = round(angle * 180 / math.Pi)
			if left {
				v.Turn = round(v.Turn - 180)
			}
		} else if math.Abs(math.Cos(angle)) < 0.2 {
			v.Anchor = "middle"
			v.LabelY = round(v.LabelY + 8*math.Sin(angle))
		}
		d.Nodes = append(d.Nodes, v)
	}
	slices.SortStableFunc(d.Nodes, func(a, b node) int { return cmp.Compare(a.Number, b.Number) })
	for _, backed := range []bool{false, true} {
		for _, t := range ties {
			if t.a >= n || t.b >= n || t.backed != backed {
				continue
			}
			x1, y1, _ := where(t.a)
			x2, y2, _ := where(t.b)
			class := "tie " + look(t.kinds)
			if backed {
				class += " backed"
			}
			d.Lines = append(d.Lines, line{x1, y1, x2, y2, class,
				fmt.Sprintf("%d and %d: %s, %s", t.a+1, t.b+1, kindsText(t.kinds), report.Decibans(t.weight))})
		}
	}
	d.Title = fmt.Sprintf("%s and what joins them", report.Plural(len(names), "account"))
	d.Text = fmt.Sprintf("%s on a circle, %s between them. The table of links below says the same in words.", report.Plural(n, "account"), report.Plural(len(d.Lines), "line"))
	return d
}

// round keeps two decimals, so that the same numbers are printed everywhere.
func round(x float64) float64 { return math.Round(x*100)/100 + 0 }

// look is the style of a line by what joins: a way to reach the trader, what can
// be copied, or anything else.
func look(kinds []sellers.Kind) string {
	if len(kinds) == 0 {
		return "other"
	}
	switch k := kinds[0]; {
	case k.IsContact():
		return "contact"
	case k == sellers.SamePhoto || k == sellers.SameFile || k == sellers.SameText || k == sellers.SamePhrase || k == sellers.SameSlip || k == sellers.SameSerial:
		return "copied"
	}
	return "other"
}

// orderOf walks the heaviest ties outwards from the member with most of them.
func orderOf(n int, ties []tie) []int {
	degree := make([]int, n)
	for _, t := range ties {
		if t.a < n && t.b < n {
			degree[t.a]++
			degree[t.b]++
		}
	}
	seen := make([]bool, n)
	var order []int
	for len(order) < n {
		next, best := -1, math.Inf(-1)
		for _, t := range ties {
			if t.a >= n || t.b >= n || seen[t.a] == seen[t.b] {
				continue
			}
			fresh := t.a
			if seen[t.a] {
				fresh = t.b
			}
			if t.weight > best || t.weight == best && fresh < next {
				next, best = fresh, t.weight
			}
		}
		if next < 0 {
			for m := range n {
				if !seen[m] && (next < 0 || degree[m] > degree[next]) {
					next = m
				}
			}
		}
		seen[next] = true
		order = append(order, next)
	}
	return order
}

// back marks the heaviest ties that suffice to keep the members in one piece
// (Kruskal 1956).
func back(n int, ties []tie) {
	order := make([]int, len(ties))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(ties[j].weight, ties[i].weight) })
	sets := disjoint.New[int](n)
	for _, i := range order {
		ties[i].backed = sets.Join(ties[i].a, ties[i].b)
	}
}
