package column

import (
	"math"

	"kerfbook/costing/graph"
)

const (
	snapUnit = 1e9     // 10^graph.SnapPlaces
	snapHalf = 0.5e-9  // half a unit of the ninth place
	slack    = 0x1p-50 // what a chain of binary roundings may cost, relative
)

// snapped is x in units of the ninth place, halves away from zero.
func snapped(x float64) float64 {
	x *= snapUnit
	return math.Trunc(x + math.Copysign(0.5, x))
}

// The steps take a quotient to a whole number as the exact evaluator does after
// snapping it to nine places: whatever is nearer to a whole number (or a half)
// than half a unit of the ninth place counts as being there. So does what is
// nearer than binary rounding can tell, which matters above a million steps.

func floorStep(q float64) float64 {
	return math.Floor(q + (float64(math.Abs(q)*slack) + snapHalf))
}

func ceilingStep(q float64) float64 {
	return math.Ceil(q - (float64(math.Abs(q)*slack) + snapHalf))
}

func roundStep(q float64) float64 {
	size := math.Abs(q)
	return math.Copysign(math.Floor(size+0.5+(float64(size*slack)+snapHalf)), q)
}

func evenStep(q float64) float64 {
	size := math.Abs(q)
	near := float64(size*slack) + snapHalf
	whole := math.Floor(size + 0.5 + near)
	if size+0.5-whole < near && math.Floor(whole/2)*2 != whole {
		whole-- // a half, and the whole number above it is odd
	}
	return math.Copysign(whole, q)
}

// stepLoop computes to(x·k + base)·step.
type stepLoop func(out, x []float64, k, base, step float64)

// compileStepped takes x ÷ step straight from the form of x where it has one term.
func compileStepped(loop stepLoop, to func(q float64) float64) compileFunc {
	fixedStep := func(c *Columns, s *step, n int) {
		loop(c.cols[s.out][:n], c.cols[s.args[0]], s.k[0], s.base, s.by)
	}
	anyStep := func(c *Columns, s *step, n int) {
		stepped(c.cols[s.out][:n], c.cols[s.args[0]], c.cols[s.args[1]], to)
	}
	return func(m *compiler, n *graph.Node) form {
		x, by := m.form(n.Args[0]), m.form(n.Args[1])
		switch {
		case !by.fixed():
			return m.emit(step{do: anyStep}, m.column(x), m.column(by))
		case !(by.base > 0):
			return undefined()
		}
		// k·x + base is divided by the step in its two numbers, which no draw pays for.
		if len(x.terms) != 1 || x.terms[0].y != noReg {
			x = of(m.column(x))
		}
		t := x.terms[0]
		return m.emit(step{do: fixedStep, k: []float64{t.k / by.base}, base: x.base / by.base, by: by.base}, t.x)
	}
}

// stepped divides by a step that varies; there is none that is not positive.
func stepped(out, x, by []float64, to func(q float64) float64) {
	x, by = x[:len(out)], by[:len(out)]
	for i := range out {
		v := math.NaN()
		if by[i] > 0 {
			v = to(x[i]/by[i]) * by[i]
		}
		out[i] = v
	}
}
