//go:build ignore

// The loop that a person would write in Go. Usage: loop seed draws rounds; prints
// the mean and the fewest nanoseconds per draw of all rounds; with a fourth word
// "drawing", of the drawing alone.
package main

import (
	"fmt"
	"math"
	"os"
	"time"
)

// golden is the step of the counter that is scrambled: 2^64 ÷ the golden ratio.
const golden = 0x9e3779b97f4a7c15

func scramble(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// fraction scrambles a counter to a number from 0 to 1.
func fraction(at uint64) float64 { return float64(scramble(at)>>11) * 0x1p-53 }

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

// mean draws the inputs, computes the formula and gives its mean.
func mean(seed uint64, draws int) float64 {
	d := newDraw(seed)
	sum := 0.0
	for range draws {
		d.next()
		sum += formula(&d.x)
	}
	return sum / float64(draws)
}

// meanInput does the drawing alone: what is left of the time when the formula costs
// nothing.
func meanInput(seed uint64, draws int) float64 {
	d := newDraw(seed)
	sum := 0.0
	for range draws {
		d.next()
		sum += d.x[0]
	}
	return sum / float64(draws)
}

func main() {
	var seed uint64
	var draws, rounds int
	fmt.Sscan(os.Args[1], &seed)
	fmt.Sscan(os.Args[2], &draws)
	fmt.Sscan(os.Args[3], &rounds)
	loop := mean
	if len(os.Args) > 4 && os.Args[4] == "drawing" {
		loop = meanInput
	}
	best, m := math.Inf(1), 0.0
	for range rounds {
		from := time.Now()
		m = loop(seed, draws)
		best = min(best, float64(time.Since(from).Nanoseconds())/float64(draws))
	}
	fmt.Printf("%.17g %.6g\n", m, best)
}

// draw is the state of the drawing.
type draw struct {
	at    uint64
	s     [inputs][2]side
	share [inputs]float64
	x     [inputs]float64
}

func newDraw(seed uint64) *draw {
	d := &draw{at: seed}
	for j, r := range ranges {
		d.s[j], d.share[j] = sides(r)
	}
	return d
}

// next draws all inputs.
func (d *draw) next() {
	at := d.at
	for j := range d.x {
		at += golden
		u := fraction(at)
		h := &d.s[j][math.Float64bits(u-d.share[j])>>63]
		d.x[j] = h.base + h.sign*math.Sqrt((h.from+h.turn*u)*h.scale)
	}
	d.at = at
}
