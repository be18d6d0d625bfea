package chart

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Run is a stretch of quantities over which a figure moves without a step. Where
// it meets the next run there is a break: an open end leaves the break quantity
// to the neighbour. Its last point then holds what the figure would come to
// there. A run over whole quantities, both ends included, has no open end.
type Run struct {
	Points  []Point // X the quantity, Y the figure, ascending X
	OpenEnd bool
}

// Curve is one figure over quantities: its runs in ascending order, and how many break
// quantities are told of it.
type Curve struct {
	Name   string
	Runs   []Run
	Breaks int
}

// CurveSpot marks a point of a curve: a quantity and the figure there.
type CurveSpot struct {
	Spot
	Level Mark
}

// StepCurveData is what a step curve is made of: one curve, or two to compare.
type StepCurveData struct {
	ID, Title, Desc string
	Quantity        string // axis along the page, such as "batch quantity, pieces"
	Figure          string // upright axis, such as "EUR per piece"
	Curves          []Curve
	Marks           []CurveSpot
	// Table holds exact values at chosen quantities and at the breaks.
	Table Table
}

// StepCurve shows a figure over quantities with its steps as they are.
type StepCurve struct {
	Plot
	Lines []Line
	Dots  []Dot // of the marks
	Marks Table
	Table Table
}

// Line is one curve as it is drawn.
type Line struct {
	Name         string
	Class, Shape string
	Paths        []string // one for each run
	Lone         string   // points that are joined to nothing, all in one path
	Dots         []Dot    // at the breaks
	Breaks       int
}

const (
	mostCurves = 2
	// dotsApart is the share of the width that dots of different breaks keep.
	dotsApart = 0.03
	// Ratios of the largest to the smallest value: below the first the upright
	// axis starts where the values do, above the second it is logarithmic.
	zeroFrom       = 3
	logUprightFrom = 12
)

// Forms of the dots of the first and second curve.
var shapes = [mostCurves]string{"disc", "square"}

// NewStepCurve lays out one curve, or two on the same axes.
func NewStepCurve(d StepCurveData) StepCurve {
	x, y := d.axes()
	spots := make([]Spot, len(d.Marks))
	for i, m := range d.Marks {
		spots[i] = m.Spot
		spots[i].Second = m.Level
	}
	p := newPlot(d.ID, d.Title, x, y, spots, tallHeight)
	c := StepCurve{Plot: p, Table: d.Table, Marks: d.markTable()}
	c.Lines = c.lines(d.Curves)
	c.Desc = d.Desc
	for _, l := range c.Lines {
		c.Desc += fmt.Sprintf(" %s has %d break quantities.", l.Name, l.Breaks)
	}
	c.Desc = described(c.Desc, spots)
	c.mark()
	return c
}

// axes reach over all points and marks.
func (d StepCurveData) axes() (x, y Axis) {
	first := d.Curves[0].Runs[0].Points[0]
	west, east, low, high := first.X, first.X, first.Y, first.Y
	for _, c := range d.Curves {
		for _, r := range c.Runs {
			for _, p := range r.Points {
				west, east = min(west, p.X), max(east, p.X)
				low, high = min(low, p.Y), max(high, p.Y)
			}
		}
	}
	for _, m := range d.Marks {
		west, east = reach(west, east, m.Spot)
		low, high = reach(low, high, Spot{Mark: m.Level})
	}
	return newLogAxis(d.Quantity, west, east), uprightFor(d.Figure, low, high)
}

// uprightFor picks the scale on which steps can be seen.
func uprightFor(label string, low, high float64) Axis {
	switch {
	case low > 0 && high/low > logUprightFrom:
		return newLogUpright(label, low, high)
	case low > 0 && high/low > zeroFrom:
		low = 0
	}
	return newUpright(label, low, high)
}

// lines draws the curves.
func (c StepCurve) lines(curves []Curve) []Line {
	out := make([]Line, len(curves))
	for i, curve := range curves {
		l := Line{Name: curve.Name, Class: "curve-" + strconv.Itoa(i+1), Shape: shapes[i], Breaks: curve.Breaks}
		for _, r := range curve.Runs {
			if len(r.Points) == 1 {
				l.Lone += c.path(r.Points)
			} else {
				l.Paths = append(l.Paths, c.path(r.Points))
			}
		}
		l.Dots = c.breakDots(curve.Runs, l.Shape, l.Class)
		out[i] = l
	}
	return out
}

// breakDots marks the ends that meet at a break, the largest steps first, as far
// as dots of different breaks keep apart. The drawing shows the step itself even
// where there is no room for dots. A run of one quantity, which is no line, is
// marked in the same way.
func (c StepCurve) breakDots(runs []Run, shape, class string) []Dot {
	var taken []float64
	free := func(p Point) bool {
		at := c.X.share(p.X)
		ok := !slices.ContainsFunc(taken, func(o float64) bool { return math.Abs(o-at) < dotsApart })
		if ok {
			taken = append(taken, at)
		}
		return ok
	}
	dotted := map[int]bool{} // breaks by the run after them
	for _, i := range breaksBySize(runs) {
		dotted[i] = free(runs[i].Points[0])
	}
	var out []Dot
	for i, r := range runs {
		before, after := dotted[i], dotted[i+1]
		lone := len(r.Points) == 1 && !before && !after && free(r.end())
		if before || lone {
			out = append(out, c.dot(r.Points[0], false, shape, class))
		}
		if after && (len(r.Points) > 1 || !before) {
			out = append(out, c.dot(r.end(), r.OpenEnd, shape, class))
		}
	}
	return out
}

// breaksBySize lists the breaks, each by the run after it, the largest step
// first.
func breaksBySize(runs []Run) []int {
	var order []int
	for i := 1; i < len(runs); i++ {
		order = append(order, i)
	}
	step := func(i int) float64 { return math.Abs(runs[i].Points[0].Y - runs[i-1].end().Y) }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(step(b), step(a)) })
	return order
}

func (r Run) end() Point { return r.Points[len(r.Points)-1] }

func (c StepCurve) dot(p Point, open bool, shape, class string) Dot {
	look := "closed "
	if open {
		look = "open "
	}
	return Dot{X: percent(c.X.share(p.X)), Y: c.y(p.Y), Class: look + class, Shape: shape}
}

// HasBreaks tells whether any curve has a step.
func (c StepCurve) HasBreaks() bool {
	return slices.ContainsFunc(c.Lines, func(l Line) bool { return l.Breaks > 0 })
}

// HasOpenEnds tells whether any dot stands for an open end.
func (c StepCurve) HasOpenEnds() bool {
	return slices.ContainsFunc(c.Lines, func(l Line) bool {
		return slices.ContainsFunc(l.Dots, func(d Dot) bool { return strings.HasPrefix(d.Class, "open ") })
	})
}

// mark puts a diamond on each marked point.
func (c *StepCurve) mark() {
	for _, f := range c.Flags {
		level, ok := f.Second.place()
		if !ok {
			continue
		}
		c.Dots = append(c.Dots, Dot{X: f.X, Y: c.y(level), Class: "spot " + f.Class, Shape: "diamond"})
	}
}

func (d StepCurveData) markTable() Table {
	t := Table{ID: d.ID + "-marks", Caption: d.Title + ": marked points", Heads: columns("Mark", d.Quantity, d.Figure)}
	for _, m := range d.Marks {
		t.Rows = append(t.Rows, Row{Name: m.Label, Cells: []Mark{m.Mark, m.Level}})
	}
	return t
}
