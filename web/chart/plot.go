package chart

import "strings"

// Plot is what every chart with two axes has. Places along the page are shares
// of the width, places down the page are pixels, so that texts keep their size on
// any screen.
type Plot struct {
	ID, Title, Desc string
	X, Y            Axis
	Flags           []Flag
	Top, Height     int // of the plot proper, in the drawing
}

// Heights below and of the plot proper.
const (
	plotHeight = 190
	tallHeight = 420 // where steps are to be seen
	plotFoot   = 23  // for the texts of the ticks
	plotHead   = 8
)

// newPlot stacks the lanes of the flags on the plot.
func newPlot(id, title string, x, y Axis, spots []Spot, height int) Plot {
	flags, lanes := flagSpots(x, spots)
	p := Plot{ID: id, Title: title, X: x, Y: y, Flags: flags, Top: lanes*laneHeight + plotHead, Height: height}
	p.Y.raise(p.Top, p.Height)
	return p
}

// Bottom is where the plot ends.
func (p Plot) Bottom() int { return p.Top + p.Height }

// TickY is the line of the texts below the plot.
func (p Plot) TickY() int { return p.Bottom() + 18 }

// Whole is the height of the drawing.
func (p Plot) Whole() int { return p.Bottom() + plotFoot }

// Gutter names the room that the ticks of the upright axis need.
func (p Plot) Gutter() string {
	switch n := p.Y.longest(); {
	case n == 0:
		return "gutter-none"
	case n <= 4:
		return "gutter-small"
	case n <= 7:
		return "gutter-middle"
	}
	return "gutter-large"
}

// y gives how far down a value stands.
func (p Plot) y(v float64) string { return p.Y.y(v, p.Top, p.Height) }

// Point is a point of a curve.
type Point struct{ X, Y float64 }

// described joins what a chart shows into one text for people who hear it.
func described(desc string, spots []Spot) string {
	var words []string
	for _, s := range spots {
		w := s.words()
		if s.Second.Text != "" {
			w += ": " + s.Second.Text
		}
		words = append(words, w)
	}
	if len(words) > 0 {
		desc += " Marked: " + strings.Join(words, "; ") + "."
	}
	return strings.TrimSpace(desc)
}
