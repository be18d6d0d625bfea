package chart

import (
	"sort"
	"strings"
)

// CumulativeData is what a cumulative curve is made of: points in ascending
// order, each with the chance, from 0 to 1, of no more than its X. A spot of the class
// "target" is led over to the scale of chances.
type CumulativeData struct {
	ID, Title, Desc string
	Unit            string
	Points          []Point
	Marks           []Spot
}

// Cumulative shows the chance of no more than each amount.
type Cumulative struct {
	Plot
	Path  string
	Dots  []Dot
	Leads []Lead
	Marks Table
}

// Dot is a point that is marked. Class names its look, Shape its form: "disc", "square"
// or "diamond".
type Dot struct {
	X, Y         string
	Class, Shape string
}

// Lead is a line from a point of a curve to the upright scale.
type Lead struct{ X, Y string }

// NewCumulative lays out a cumulative curve.
func NewCumulative(d CumulativeData) Cumulative {
	last := d.Points[len(d.Points)-1]
	low, high := reach(d.Points[0].X, last.X, d.Marks...)
	p := newPlot(d.ID, d.Title, newAxis(d.Unit, low, high), newUpright("chance of no more, %", 0, 100), d.Marks, plotHeight)
	p.Desc = described(d.Desc, d.Marks)
	c := Cumulative{Plot: p, Path: p.rising(d.Points), Marks: spotTable(d.ID, d.Title, d.Unit, d.Marks)}
	for _, f := range p.Flags {
		at := p.y(100 * chanceAt(d.Points, f.at))
		c.Dots = append(c.Dots, Dot{f.X, at, "closed " + f.Class, "disc"})
		if f.Class == "target" {
			c.Leads = append(c.Leads, Lead{f.X, at})
		}
	}
	return c
}

// rising draws the curve from no chance at the left end of the plot to certainty
// at its right end.
func (p Plot) rising(points []Point) string {
	first, last := points[0], points[len(points)-1]
	whole := append([]Point{{p.X.low, 0}, {first.X, 0}}, points...)
	whole = append(whole, Point{last.X, 1}, Point{p.X.high, 1})
	for i := range whole {
		whole[i].Y *= 100
	}
	return p.path(whole)
}

// path writes a line through points in the thousandths that the inner drawing of
// a plot counts in. A lone point becomes a line of no length, which round ends
// make visible.
func (p Plot) path(points []Point) string {
	var b strings.Builder
	for i, v := range points {
		b.WriteByte([...]byte{'M', 'L'}[min(i, 1)])
		b.WriteString(pixels(1000 * p.X.share(v.X)))
		b.WriteByte(' ')
		b.WriteString(pixels(1000 * (1 - p.Y.share(v.Y))))
	}
	if len(points) == 1 {
		b.WriteString("h0")
	}
	return b.String()
}

// chanceAt reads the chance of no more than x off the curve.
func chanceAt(points []Point, x float64) float64 {
	i := sort.Search(len(points), func(i int) bool { return points[i].X > x })
	switch {
	case i == 0:
		return 0
	case i == len(points):
		return points[i-1].Y
	}
	a, b := points[i-1], points[i]
	return a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X)
}
