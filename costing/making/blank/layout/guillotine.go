package layout

import (
	"slices"
	"strconv"
)

// A mixed layout cuts a sheet from edge to edge into two, each of these again,
// and so on, until a piece holds a grid of blanks that lie one way. Sides of
// sheet and blank contain one gap more than they have, as in S2, so that blanks
// then lie side by side without any.
//
// Some best layout has every cut at a sum of sides of blanks that lie before it
// (Herz 1972 on discretised cuts, from memory); only those places are tried.

// The bounds of one search. They are numbers of places and looks, never a time, so
// that the same blank always has the same layout.
const (
	maxPlaces = 6_000   // places along one side where a cut is tried
	maxCells  = 120_000 // different pieces a search may remember
	maxLooks  = 150_000 // cuts looked at in one search
)

// Thoroughness tells how thorough a search was.
type Thoroughness int

const (
	Complete  Thoroughness = iota // every guillotine layout was considered
	Curtailed                     // stopped at maxLooks; the best so far
	OneCut                        // only one cut, with a grid on either side
	GridsOnly                     // too many places even for one cut
)

// Rule words for a decision how its layout was found.
func (s Thoroughness) Rule() string {
	const most = "most blanks that cuts from edge to edge yield, blanks both ways round"
	switch s {
	case Complete:
		return most
	case Curtailed:
		return most + "; the search ended after " + strconv.Itoa(maxLooks) + " cuts looked at, so that there may be a better one"
	case OneCut:
		return most + "; blanks this small were only laid in two grids with one cut between them"
	default:
		return "the better of the two grids; for a mixed layout the blanks are too small beside the sheet, or their sizes have too many digits"
	}
}

// split is what is known of one piece: its count and the cut that gives it.
type split struct {
	count int64
	cut   int32 // place along x if above 0, along y if below, none if 0
	known bool
}

// Guillotine searches one sheet. Lengths are in steps.
type Guillotine struct {
	a, b   int64   // the blank with its gap: length, width
	xs, ys []int64 // places, ascending from 0; the last is the whole side
	cells  []split // by place along x, then y; nil if there are too many
	top    split   // the sheet as a whole
	// fromOneCut says that top is one cut between two grids, whatever is
	// known of smaller pieces.
	fromOneCut bool
	looks      int
	How        Thoroughness
}

// NewGuillotine finds the most blanks of a × b, both ways round, on u × v; all four
// contain a gap.
func NewGuillotine(u, v, a, b int64) *Guillotine {
	m := &Guillotine{a: a, b: b, looks: maxLooks, How: GridsOnly}
	if u <= 0 || v <= 0 {
		m.xs, m.ys = []int64{0}, []int64{0}
		return m
	}
	xs, okX := places(u, a, b)
	ys, okY := places(v, a, b)
	if !okX || !okY {
		m.xs, m.ys = []int64{0, u}, []int64{0, v}
		m.top = split{count: m.grid(u, v)}
		return m
	}
	m.xs, m.ys = xs, ys
	i, j := len(xs)-1, len(ys)-1
	// First, so that a search that is cut short never does worse than one cut.
	m.top = m.oneCut(i, j)
	m.How, m.fromOneCut = OneCut, true
	// A table that large would take long and much memory for blanks so small that a
	// grid wastes next to nothing.
	if len(xs)*len(ys) > maxCells {
		return m
	}
	m.How = Complete
	m.cells = make([]split, len(xs)*len(ys))
	if full := m.best(i, j); full > m.top.count {
		m.top, m.fromOneCut = *m.cell(i, j), false
	}
	if m.looks < 0 {
		m.How = Curtailed
	}
	return m
}

// Count is how many blanks the layout found has.
func (m *Guillotine) Count() int64 { return m.top.count }

// places gives 0 and the sums of a and b up to side in ascending order, or false
// where there are too many.
func places(side, a, b int64) ([]int64, bool) {
	// In steps of what both sides are multiples of there are as many places and far fewer
	// steps to walk.
	g := gcd(a, b)
	side, a, b = side/g, a/g, b/g
	var out []int64
	switch {
	case side < maxPlaces:
		out = marked(side, a, b)
	case (side/a+1)*(side/b+1) <= 4*maxPlaces: // about half of the pairs lie beyond the side, and sums coincide
		out = summed(side, a, b)
	default:
		return nil, false
	}
	if len(out) > maxPlaces {
		return nil, false
	}
	for i := range out {
		out[i] *= g
	}
	return out, true
}

// marked walks along the side step by step.
func marked(side, a, b int64) []int64 {
	reached := make([]bool, side+1)
	reached[0] = true
	out := []int64{0}
	for x := int64(1); x <= side; x++ {
		if x >= a && reached[x-a] || x >= b && reached[x-b] {
			reached[x] = true
			out = append(out, x)
		}
	}
	return out
}

// summed adds sides up, where there are few of them but many steps.
func summed(side, a, b int64) []int64 {
	var out []int64
	for x := int64(0); x <= side; x += a {
		for y := x; y <= side; y += b {
			out = append(out, y)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func gcd(a, b int64) int64 {
	for b > 0 {
		a, b = b, a%b
	}
	return max(a, 1)
}

// grid is the better of the two grids on x × y.
func (m *Guillotine) grid(x, y int64) int64 {
	return max((x/m.a)*(y/m.b), (x/m.b)*(y/m.a))
}

func (m *Guillotine) cell(i, j int) *split { return &m.cells[i*len(m.ys)+j] }

// oneCut is the best of a grid and two grids with a cut between them.
func (m *Guillotine) oneCut(i, j int) split {
	x, y := m.xs[i], m.ys[j]
	out := split{count: m.grid(x, y)}
	for k := 1; k < i; k++ {
		if n := m.grid(m.xs[k], y) + m.grid(x-m.xs[k], y); n > out.count {
			out.count, out.cut = n, int32(k)
		}
	}
	for k := 1; k < j; k++ {
		if n := m.grid(x, m.ys[k]) + m.grid(x, y-m.ys[k]); n > out.count {
			out.count, out.cut = n, int32(-k)
		}
	}
	return out
}

// best is the most blanks on the piece of the i-th length and the j-th width. A
// piece is looked at once; it stops at what its area allows, and leaves out cuts
// whose two pieces cannot hold more than has been found.
func (m *Guillotine) best(i, j int) int64 {
	c := m.cell(i, j)
	if c.known {
		return c.count
	}
	x, y := m.xs[i], m.ys[j]
	c.known, c.count = true, m.grid(x, y)
	bound := m.bound(x, y)
	// A cut at k leaves the piece beyond it, of which only what reaches a place counts;
	// past the middle the same two pieces come again.
	for k, rest := 1, i-1; c.count < bound && m.looks >= 0; k++ {
		if rest = partner(m.xs, k, rest, x); k > rest {
			break
		}
		m.looks--
		if m.bound(m.xs[k], y)+m.bound(m.xs[rest], y) <= c.count {
			continue
		}
		if n := m.best(k, j) + m.best(rest, j); n > c.count {
			c.count, c.cut = n, int32(k)
		}
	}
	for k, rest := 1, j-1; c.count < bound && m.looks >= 0; k++ {
		if rest = partner(m.ys, k, rest, y); k > rest {
			break
		}
		m.looks--
		if m.bound(x, m.ys[k])+m.bound(x, m.ys[rest]) <= c.count {
			continue
		}
		if n := m.best(i, k) + m.best(i, rest); n > c.count {
			c.count, c.cut = n, int32(-k)
		}
	}
	return c.count
}

// partner is the last place at or before rest that leaves room for the k-th in
// side.
func partner(places []int64, k, rest int, side int64) int {
	if k >= len(places) {
		return 0
	}
	for rest > 0 && places[rest] > side-places[k] {
		rest--
	}
	return rest
}

// bound is what the area of x × y allows.
func (m *Guillotine) bound(x, y int64) int64 { return x * y / (m.a * m.b) }
