// Package peers holds one formula of the demo written out in other ways, for
// comparison: the full cost of one lamp of trim glow in a batch of 250, with every
// range of it drawn. formula.go, c/formula.c and python/formula.py are printed from the
// graph by the test of this package (go test ./testdata/peers -update), one line
// per figure that varies, with what does not vary worked out beforehand: as a
// person would write it who had to write some four hundred lines. The lines are not
// joined any further, as the column evaluator joins them by algebra; that is part
// of what is compared. Nothing here is used by the program.
package peers

import "math"

// Golden is the step of the counter that is scrambled: 2^64 ÷ the golden ratio.
const Golden = 0x9e3779b97f4a7c15

func scramble(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// Fraction scrambles a counter to a number from 0 to 1.
func Fraction(at uint64) float64 { return float64(scramble(at)>>11) * 0x1p-53 }

// side is one side of a triangle: base + sign·√((from + turn·u)·scale).
type side struct{ from, turn, scale, base, sign float64 }

// sides prepares the inverse of a triangular distribution, above and below the
// share at which it turns.
func sides(r [3]float64) (s [2]side, share float64) {
	width := r[2] - r[0]
	return [2]side{
		{1, -1, width * (r[2] - r[1]), r[2], -1},
		{0, 1, width * (r[1] - r[0]), r[0], 1},
	}, (r[1] - r[0]) / width
}

// Mean draws the inputs, computes the formula and gives its mean: the loop that a
// person would write by hand.
func Mean(seed uint64, draws int) float64 {
	d := newDraw(seed)
	sum := 0.0
	for range draws {
		d.next()
		sum += Formula(&d.x)
	}
	return sum / float64(draws)
}

// MeanInput does the drawing alone: what is left of the time when the formula costs
// nothing.
func MeanInput(seed uint64, draws int) float64 {
	d := newDraw(seed)
	sum := 0.0
	for range draws {
		d.next()
		sum += d.x[0]
	}
	return sum / float64(draws)
}

// draw is the state of the drawing.
type draw struct {
	at    uint64
	s     [Inputs][2]side
	share [Inputs]float64
	x     [Inputs]float64
}

func newDraw(seed uint64) *draw {
	d := &draw{at: seed}
	for j, r := range Ranges {
		d.s[j], d.share[j] = sides(r)
	}
	return d
}

// next draws all inputs.
func (d *draw) next() {
	at := d.at
	for j := range d.x {
		at += Golden
		u := Fraction(at)
		h := &d.s[j][math.Float64bits(u-d.share[j])>>63]
		d.x[j] = h.base + h.sign*math.Sqrt((h.from+h.turn*u)*h.scale)
	}
	d.at = at
}
